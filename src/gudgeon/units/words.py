"""The list of unit words, and how a run of words is matched against it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class UnitHit:
    """Unit words found: canonical ``unit`` (``N*m``, ``mm`` …; None when ambiguous), how many words they took, and their family.

    ``family`` is one of torque, length, pressure, temperature, volume, angle, mass, turn, speed, voltage, resistance, force.
    ``ambiguous`` is True for words that are no unit by themselves for a torque ("pounds", "kilos", "newtons"): ``unit`` then holds what they
    are outside a torque ("lb", "kg") and ``reason`` says why a torque in them has no unit.
    ``mended`` keeps the words that were heard when the unit was found by its sound.
    """

    unit: str | None
    length: int
    family: str
    ambiguous: bool = False
    reason: str = ""
    mended: str | None = None


@dataclass(frozen=True, slots=True)
class UnitWords:
    """All unit words of the house, ready to match."""

    forms: Mapping[str, object]

    @classmethod
    def from_tables(cls, tables: Mapping[str, Sequence[str]], *, mil: str = "mm") -> UnitWords:
        """Build from the lines of ``unit_words.csv``; ``mil`` is what "mil" means to the owner, ``mm`` or ``thou``. Raises BadTable."""
        raise NotImplementedError

    def match(self, words: Sequence[str], at: int) -> UnitHit | None:
        """The longest unit that starts at ``words[at]`` (lower case norms; hyphens and dots between unit words may be words or absent)."""
        raise NotImplementedError

    def sounds_like(self, words: Sequence[str], at: int) -> UnitHit | None:
        """A unit of torque misheard at ``words[at]``, right after a figure, mended by its sound; None for ordinary talk."""
        raise NotImplementedError
