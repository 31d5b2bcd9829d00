"""A question about a joint's torque, answered from the owner's sheet where it names one joint and no other."""

from __future__ import annotations

from collections.abc import Sequence

from gudgeon.checks.words import row_words
from gudgeon.domain import SpecRow, SpecSheet
from gudgeon.entries import Group, joint_words, joints_of, singular

_ASKING = frozenset({"what", "what's", "how", "which"})
_TORQUE = frozenset({"torque", "torques", "torqued", "tight", "tighten", "tightened", "newton", "nm", "setting"})
_FASTENERS = frozenset({"bolt", "screw", "nut", "stud", "plug", "union", "fastener"})
_PASSED_OVER = frozenset({"drain", "lock", "castle", "cap", "filler", "level", "retaining", "the", "'s"})
_ENDS = _FASTENERS | {
    "go",
    "goe",
    "get",
    "take",
    "need",
    "want",
    "have",
    "be",
    "is",
    "at",
    "again",
    "then",
    "please",
    "on",
    "to",
    "supposed",
    "?",
    "",
}
"""What may follow a part's last word; any other word makes it another part ("head" in "head light")."""


def rows_asked(words: Sequence[str], sheet: SpecSheet) -> tuple[SpecRow, ...]:
    """The rows of the one joint that a question names, in stage order; empty when it asks for no torque, or names none or several.

    ``words`` are the question's words in lower case. All words of the sheet's part must be said, and no side or fastener may differ.
    """
    if not (_ASKING & set(words) and _TORQUE & set(words)):
        return ()
    said = joint_words(" ".join(words), None, None)
    sides, parts = dict(said.sides), set(said.words) | ({said.fastener} if said.fastener else set())
    fasteners = parts & _FASTENERS
    order = [singular(word) for word in words if word not in _PASSED_OVER]
    fits = [group for group in joints_of(sheet).groups if _named(group, parts, sides, fasteners) and _ends(group, order)]
    longest = max((len(group.named.words) for group in fits), default=0)
    best = [group for group in fits if len(group.named.words) == longest]
    return best[0].rows if len(best) == 1 else ()


def _named(group: Group, parts: set[str], sides: dict[int, str], fasteners: set[str]) -> bool:
    named = group.named
    if not named.words or not set(named.words) <= parts:
        return False
    if fasteners and named.fastener is not None and named.fastener not in fasteners:
        return False
    return all(sides.get(axis, side) == side for axis, side in named.sides)


def _ends(group: Group, order: Sequence[str]) -> bool:
    """Whether the part's last word ends what was named."""
    last = group.named.words[-1]
    return any(word == last and (order[at + 1] if at + 1 < len(order) else "") in _ENDS for at, word in enumerate(order))


def rows_in_words(rows: Sequence[SpecRow]) -> str:
    """What the sheet asks for, one row after the other, with where it stands."""
    return "; ".join(row_words(row) for row in rows)
