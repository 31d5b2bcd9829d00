"""From text to tokens: the one way in."""

from __future__ import annotations

from collections.abc import Sequence

from gudgeon.notes.tokens import Quantity, Token
from gudgeon.units import UnitWords


def read_tokens(text: str, units: UnitWords) -> tuple[Token, ...]:
    """Cut a note into tokens, spoken numbers merged; linear in the text's length, and never raises on any text."""
    raise NotImplementedError


def quantity_at(tokens: Sequence[Token], at: int) -> Quantity | None:
    """The figure or range that starts at ``tokens[at]`` with the unit after it, or None when no figure starts there.

    Reads "eight to ten newton metres", "8-10 Nm", "between eight and ten", "18 Nm", "half a turn", "three quarters of an inch".
    """
    raise NotImplementedError


def grade_at(tokens: Sequence[Token], at: int) -> tuple[str, int] | None:
    """A property class or grade at ``tokens[at]`` and the index after it: ("10.9", at + 1) for 10.9 or "ten nine", ("A2-70", …), ("5", …).

    To be asked only where a grade fits: after "grade", "class", "marked", beside a fastener.
    """
    raise NotImplementedError
