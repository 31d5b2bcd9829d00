"""How alike two names of a joint are, by part, sides, fastener and thread, each with the reason in words; 0 is never the same joint."""

from __future__ import annotations

from functools import lru_cache

from rapidfuzz import fuzz

from gudgeon.domain import BadInput
from gudgeon.entries.joint_words import NUMBER_AXIS, Sides
from gudgeon.trade import read_thread

SPELLING = 82.0
"""rapidfuzz's ratio from which two words are one, misspelt."""
_ALIKE = ({"bolt", "screw", "fastener"}, {"nut", "stud", "fastener"})


@lru_cache(maxsize=65_536)
def part_score(said: tuple[str, ...], sheet: tuple[str, ...]) -> tuple[float, str]:
    """How alike two parts' words are, and in which words; 0 when each has a word that the other has not, or their main words differ."""
    if sorted(said) == sorted(sheet) or "".join(said) == "".join(sheet):
        return 1.0, "the part is named the same"
    if not said or not sheet or not _alike(said[-1], sheet[-1]):
        return 0.0, ""
    only_said = [word for word in said if not any(_alike(word, other) for other in sheet)]
    only_sheet = [word for word in sheet if not any(_alike(word, other) for other in said)]
    if only_said and only_sheet:
        return 0.0, ""
    if not only_said and not only_sheet:
        return 0.92, "the part is spelt nearly the same"
    longer = f"the sheet also says “{' '.join(only_sheet)}”" if only_sheet else f"the speaker also said “{' '.join(only_said)}”"
    return 0.85 if len(only_said or only_sheet) == 1 else 0.75, f"the part's main word is the same and {longer}"


def _alike(one: str, other: str) -> bool:
    return one == other or (len(one) > 3 and len(other) > 3 and fuzz.ratio(one, other) >= SPELLING)


@lru_cache(maxsize=65_536)
def sides_score(said: Sides, sheet: Sides) -> tuple[float, str]:
    """How well sides fit, 0 when they cross (left and right, number 1 and 2); lower when the sheet names a side that was not said."""
    if said == sheet:
        return 1.0, ""
    mine, theirs = dict(said), dict(sheet)
    if any(theirs.get(axis, side) != side for axis, side in mine.items()):
        return 0.0, ""
    if NUMBER_AXIS in theirs and NUMBER_AXIS not in mine:
        return 0.75, f"the sheet says number {theirs[NUMBER_AXIS]}, which was not said"
    missing = [side for axis, side in theirs.items() if axis not in mine]
    if missing:
        return 0.8, f"the sheet says {' '.join(missing)}, which was not said"
    return 0.97, "the sheet's row is for every side"


@lru_cache(maxsize=4096)
def fastener_score(one: str | None, other: str | None) -> tuple[float, str]:
    """How well fasteners fit: bolt and screw are often said for one another, a nut is never a bolt."""
    if one == other:
        return 1.0, ""
    if one is None or other is None:
        return 0.85, "only one of them names the fastener"
    if any(one in kin and other in kin for kin in _ALIKE):
        return 0.9, f"{one} was said for {other}"
    return 0.0, ""


@lru_cache(maxsize=4096)
def thread_score(said: str | None, sheet: str | None) -> tuple[float, str]:
    """How well threads fit: M8 may be said for M8x1.25; two sizes, or two pitches, never fit."""
    if not said or not sheet or said == sheet:
        return 1.0, ""
    try:
        one, other = read_thread(said), read_thread(sheet)
    except BadInput:
        return 0.9, ""
    if one.size != other.size or (one.pitch_mm and other.pitch_mm):
        return 0.0, ""
    return 0.98, f"{said} was said for {sheet}"
