"""One flag a token for each way of not being done."""

from __future__ import annotations

from dataclasses import dataclass

from gudgeon.facts.marked import Marked


@dataclass(slots=True)
class Scopes:
    """One flag a token for each way of not being done; ``buys`` and ``todos`` are the regions with the cue that opened each."""

    negated: bytearray
    reported: bytearray
    supposed: bytearray
    asked: bytearray
    planned: bytearray
    bought: bytearray
    chatter: bytearray
    confirmed: bool = False

    def unreal(self, at: int) -> bool:
        """Whether a value at this token was not applied: reported (and not confirmed), supposed, asked, planned or to be bought."""
        told = self.reported[at] and not self.confirmed
        return bool(told or self.supposed[at] or self.asked[at] or self.planned[at] or self.bought[at])


def blank(note: Marked) -> Scopes:
    """Scopes with no flag set."""
    n = len(note.tokens)
    return Scopes(bytearray(n), bytearray(n), bytearray(n), bytearray(n), bytearray(n), bytearray(n), bytearray(n))


def fill(flags: bytearray, start: int, end: int) -> None:
    """Set the flags of tokens ``start`` to ``end`` (exclusive)."""
    if end > start:
        flags[start:end] = b"\x01" * (end - start)
