"""Entries and the joints of the owner's spec sheet: which rows an entry belongs to, how sure that is, and why."""

from __future__ import annotations

import re
from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import Generic, TypeVar

from rapidfuzz import fuzz, process

from gudgeon.domain import Entry, Joint, SpecRow, SpecSheet
from gudgeon.entries.joint_scores import SPELLING, fastener_score, part_score, sides_score, thread_score
from gudgeon.entries.joint_words import JointWords, Sides, joint_words

T = TypeVar("T")
SURE = 0.7
"""Scores from here on are matches; below, the entry stays without a joint."""
_TOOL = re.compile(r"\bt\s?(\d+)\b|(\d+(?:\.\d+)?(?:/\d+)?)\s*(mm|in\b|inch|\")?")


Name = tuple[tuple[str, ...], Sides]
"""Words of the part in alphabetical order, and its sides."""
_CERTAIN = 0.95
_TIE = 0.02
_TOLD = 0.9


@dataclass(frozen=True, slots=True)
class Group:
    """One joint of the sheet: its rows, in stage order, and its name in comparable words."""

    key: str
    rows: tuple[SpecRow, ...]
    named: JointWords


Scored = tuple[float, int, Group]


@dataclass(frozen=True, slots=True)
class Match:
    """The joint an entry was matched to (``group`` None when none was sure), the score 0..1, and why, in words."""

    group: Group | None
    score: float
    why: str


@dataclass(frozen=True, slots=True)
class Joints:
    """The joints of one sheet, indexed by the last word of their part, by all of its words written together, and by its words in order."""

    groups: tuple[Group, ...]
    by_head: Mapping[str, tuple[Group, ...]]
    by_name: Mapping[Name, tuple[Group, ...]]
    by_key: Mapping[str, Group]


class ByIdentity(Generic[T]):
    """A thing that never changes, compared by identity, so that what is made of it is made once."""

    __slots__ = ("of",)

    def __init__(self, of: T) -> None:
        self.of = of

    def __hash__(self) -> int:
        return id(self.of)

    def __eq__(self, other: object) -> bool:
        return isinstance(other, ByIdentity) and other.of is self.of


@lru_cache(maxsize=65_536)
def joint_key(part: str | None, place: str | None, fastener: str | None, thread: str | None = None) -> str:
    """A stable text for a joint's name, the same for all its stages and spellings; what a learnt match is stored under."""
    return _key(joint_words(part, place, fastener), thread)


def _key(named: JointWords, thread: str | None) -> str:
    sides = " ".join(side for _, side in named.sides)
    called = " ".join((*sorted(named.described), named.fastener)) if named.fastener else ""
    return f"{' '.join(named.words)} | {sides} | {called} | {thread or ''}"


def joints_of(sheet: SpecSheet) -> Joints:
    """The sheet's joints, indexed; made once a sheet."""
    return _index(ByIdentity(sheet))


def match_joint(entry: Entry, sheet: SpecSheet, *, learnt: Mapping[str, str] | None = None) -> Joint | None:
    """The first row of the joint an entry belongs to, with score and why; None when no joint, or more than one, fits.

    ``learnt`` maps the ``joint_key`` of an entry to that of the row the owner chose for it ("" for none).
    """
    found = find_joint(entry, sheet, learnt=learnt)
    if found.group is None:
        return None
    return Joint(found.group.rows[0], found.score, found.why)


def match_joints(entry: Entry, sheet: SpecSheet, *, learnt: Mapping[str, str] | None = None) -> tuple[Joint, ...]:
    """All rows (stages) of the joint an entry belongs to, in stage order; empty when no joint, or more than one, fits."""
    found = find_joint(entry, sheet, learnt=learnt)
    if found.group is None:
        return ()
    return tuple(Joint(row, found.score, found.why) for row in found.group.rows)


def find_joint(entry: Entry, sheet: SpecSheet, *, learnt: Mapping[str, str] | None = None) -> Match:
    """The joint of the sheet an entry belongs to, or none and why. Part and fastener must agree; sides never cross."""
    if not entry.part:
        return Match(None, 0.0, entry.unclear or "no part was named")
    joints = joints_of(sheet)
    choice = _learnt(entry, learnt) if learnt else None
    if choice is not None:
        group = joints.by_key.get(choice)
        if group is None and choice:
            return Match(None, 0.0, "the row the owner chose is no longer in the sheet")
        return Match(group, 1.0, "the owner chose this row" if group else "the owner chose no row")
    named = joint_words(entry.part, entry.place, entry.fastener)
    fits = _fits(entry, named, joints.by_name.get(_name(named), ()))
    if not fits or max(fits)[0] < _CERTAIN:
        fits = _fits(entry, named, _near(named, joints))
    return _choose(entry, named, fits)


def _learnt(entry: Entry, learnt: Mapping[str, str]) -> str | None:
    """What the owner chose for this joint, with or without its thread said."""
    exact = learnt.get(joint_key(entry.part, entry.place, entry.fastener, entry.thread))
    return exact if exact is not None else learnt.get(joint_key(entry.part, entry.place, entry.fastener))


def _fits(entry: Entry, named: JointWords, groups: Sequence[Group]) -> list[Scored]:
    """(score, place in ``groups``, joint) of those that can be meant."""
    return [(score, at, group) for at, group in enumerate(groups) if (score := _score(entry, named, group))]


def _name(named: JointWords) -> Name:
    return tuple(sorted(named.words)), named.sides


@lru_cache(maxsize=4)
def _index(same: ByIdentity[SpecSheet]) -> Joints:
    rows: dict[str, list[SpecRow]] = defaultdict(list)
    named: dict[str, JointWords] = {}
    for row in same.of.rows:
        words = joint_words(row.part, row.place, row.fastener)
        key = _key(words, row.thread)
        rows[key].append(row)
        named.setdefault(key, words)
    _join_threadless(rows)
    groups = tuple(Group(key, tuple(sorted(of, key=lambda r: (r.stage or r.order or 0, r.line))), named[key]) for key, of in rows.items())
    heads: dict[str, list[Group]] = defaultdict(list)
    names: dict[Name, list[Group]] = defaultdict(list)
    for group in groups:
        names[_name(group.named)].append(group)
        part = group.named.words
        for head in {part[-1], "".join(part), " ".join(sorted(part))} if part else ():
            heads[head].append(group)
    return Joints(
        groups,
        {head: tuple(of) for head, of in heads.items()},
        {name: tuple(of) for name, of in names.items()},
        {group.key: group for group in groups},
    )


def _join_threadless(rows: dict[str, list[SpecRow]]) -> None:
    """Later stages often leave the thread out: such rows join the one joint of that name that has a thread."""
    threaded: dict[str, list[str]] = defaultdict(list)
    for key in rows:
        name, _, thread = key.rpartition(" | ")
        if thread:
            threaded[name].append(key)
    for name, keys in threaded.items():
        bare = rows.get(f"{name} | ")
        if bare and len(keys) == 1 and {row.stage for row in bare}.isdisjoint(row.stage for row in rows[keys[0]]):
            rows[keys[0]] += rows.pop(f"{name} | ")


def _near(named: JointWords, joints: Joints) -> tuple[Group, ...]:
    """Groups whose part ends like the entry's: exactly, written together, in another order, or misspelt."""
    if not named.words:
        return ()
    ends = (named.words[-1], "".join(named.words), " ".join(sorted(named.words)))
    found = {group.key: group for end in ends for group in joints.by_head.get(end, ())}
    if not found:
        near = process.extractOne(named.words[-1], joints.by_head.keys(), scorer=fuzz.ratio, score_cutoff=SPELLING)
        found = {group.key: group for group in joints.by_head[near[0]]} if near else {}
    return tuple(found.values())


def _score(entry: Entry, named: JointWords, group: Group) -> float:
    """How well one joint fits; 0 when it cannot be: sides that cross, another fastener, another part or another thread."""
    sheet = group.named
    score = sides_score(named.sides, sheet.sides)[0]
    if score and (fastener := fastener_score(named.fastener, sheet.fastener)[0]) and (part := part_score(named.words, sheet.words)[0]):
        return score * fastener * part * thread_score(entry.thread, group.rows[0].thread)[0]
    return 0.0


def _why(entry: Entry, named: JointWords, group: Group) -> str:
    sheet = group.named
    parts = (
        part_score(named.words, sheet.words),
        sides_score(named.sides, sheet.sides),
        fastener_score(named.fastener, sheet.fastener),
        thread_score(entry.thread, group.rows[0].thread),
    )
    return "; ".join(why for _, why in parts if why)


def _choose(entry: Entry, named: JointWords, fits: list[Scored]) -> Match:
    """The one best match; others as good must agree in all that is checked, or be told apart by count or tool."""
    if not fits:
        return Match(None, 0.0, "the sheet has no such joint")
    best = max(fits)[0]
    rivals = [group for score, _, group in fits if score >= best - _TIE]
    told = ""
    if len(rivals) > 1:
        rivals, told = _tell_apart(entry, rivals)
    if len(rivals) > 1 and len({_values(group) for group in rivals}) > 1:
        names = ", ".join(sorted(f"line {group.rows[0].line}" for group in rivals))
        return Match(None, best / len(rivals), f"more than one joint of the sheet fits ({names}), so none was taken")
    score = round(best * (_TOLD if told else 1), 3)
    why = _why(entry, named, rivals[0]) + told
    return Match(rivals[0], score, why) if score >= SURE else Match(None, score, f"not sure enough: {why}")


def _values(group: Group) -> tuple[object, ...]:
    return tuple((r.torque, r.unit, r.low, r.high, r.angle_deg, r.stage, r.thread, r.compound, r.one_time) for r in group.rows)


def _tell_apart(entry: Entry, rivals: list[Group]) -> tuple[list[Group], str]:
    """The one rival that has the count, or the tool, that was said, and how it was told; all of them and "" when none is alone in that."""
    said = {"count": entry.count, "tool": (entry.tool.size, entry.tool.size_unit) if entry.tool and entry.tool.size else None}
    for name, value in said.items():
        same = [group for group in rivals if value is not None and _of(group.rows[0], name) == value]
        if len(same) == 1:
            return same, f"; told from its likes by the {name}"
    return rivals, ""


def _of(row: SpecRow, name: str) -> object:
    return row.count if name == "count" else tool_size(row.tool)


def tool_size(text: str | None) -> tuple[float, str] | None:
    """(size, unit) of a tool as a sheet names it: ``13 mm socket``, ``1/2 in``, ``T30``, or a bare ``13`` (millimetres); None otherwise."""
    found = _TOOL.search((text or "").lower())
    if not found:
        return None
    if found[1]:
        return float(found[1]), "T"
    over, _, under = found[2].partition("/")
    size = float(over) / float(under) if under and float(under) else float(over)
    return size, "in" if under or found[3] in {"in", "inch", '"'} else "mm"


def same_part(part: str | None, place: str | None, other: str | None, other_place: str | None) -> bool:
    """Whether two names mean the same part on the same side; a name without a side fits only a name without one, or one that is for every side."""
    said, sheet = joint_words(part, place, None), joint_words(other, other_place, None)
    mine, theirs = dict(said.sides), dict(sheet.sides)
    return part_score(said.words, sheet.words)[0] >= SURE and all(mine.get(axis) == side for axis, side in theirs.items())
