"""Heard or typed text goes in, tokens come out: spoken numbers, fractions and letters read as figures, each still pointing at its source."""

from gudgeon.notes.quantity import grade_at, quantity_at
from gudgeon.notes.read import read_tokens
from gudgeon.notes.threads import series_name
from gudgeon.notes.tokens import Figure, Piece, Quantity, Thread, Token

__all__ = ["Figure", "Piece", "Quantity", "Thread", "Token", "grade_at", "quantity_at", "read_tokens", "series_name"]
