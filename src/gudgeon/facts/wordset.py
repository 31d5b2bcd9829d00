"""Small sets of function words, written as one string."""

from __future__ import annotations


def word_set(text: str) -> frozenset[str]:
    """The words of a text, parted by spaces, as a set."""
    return frozenset(text.split())
