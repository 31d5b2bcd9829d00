"""Entries while they are being put together, and when two names mean one part."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from functools import lru_cache
from typing import Any

from gudgeon.domain import AngleDone, CompoundUsed, Entry, Fastener, OtherReading, SizeMeasured, ToolUsed, TorqueDone
from gudgeon.entries.joint_words import singular

_EMPTY = frozenset({"the", "a", "an", "of", "for", "on", "its", "hand", "side"})


@dataclass(eq=False, slots=True)
class Draft:
    """An entry in the making; compared by identity."""

    part: str | None = None
    place: str | None = None
    fastener: str | None = None
    count: int | None = None
    thread: str | None = None
    grade: str | None = None
    length_mm: float | None = None
    state: str | None = None
    torques: list[TorqueDone] = field(default_factory=list)
    angles: list[AngleDone] = field(default_factory=list)
    tool: ToolUsed | None = None
    compound: CompoundUsed | None = None
    conditions: list[str] = field(default_factory=list)
    measures: list[SizeMeasured] = field(default_factory=list)
    notes: list[int] = field(default_factory=list)
    how: list[str] = field(default_factory=list)
    history: list[str] = field(default_factory=list)
    complete: bool = False
    unclear: str | None = None
    opened: int = 0
    some_only: bool = False
    rests: frozenset[int] = frozenset()
    """The notes that told of the rest of its fasteners: "the last two"."""
    left_undone: bool = False
    put_off: bool = False
    """Whether it was said to be done at another time: "not till after dinner"."""
    size: str | None = None
    """Whether its fasteners were called big or small."""
    aside: bool = False
    """Whether its part was so far only taken off, cleaned or looked at."""
    each: bool = False
    """Whether its count was said of each side, before the sides were named."""

    job: str | None = None
    """What its fastener is for, where a part has several of one kind: its drain plug, its filler plug."""
    stranger: str | None = None
    """Words that may be its part's name."""
    maybe_place: str | None = None
    """A word that opened its note and may have been its place or mere talk: "right motor first"."""
    doubts: dict[str, tuple[object, tuple[Any, ...]]] = field(default_factory=dict)
    """What the sound may hold instead, by field: the value it was heard beside, and the others; of no account once the value is another one."""
    heard: frozenset[str] = frozenset()
    """The words of the notes that named it before its first value, as they stand alone."""

    @property
    def turned(self) -> bool:
        """Whether a torque or an angle stands here."""
        return bool(self.torques or self.angles)

    @property
    def says_something(self) -> bool:
        """Whether this becomes an entry."""
        return bool(self.turned or self.conditions or self.measures)

    @property
    def is_part_alone(self) -> bool:
        """Whether this is a size or fault of the part itself, beside the entry of its fasteners."""
        return self.fastener is None and not self.turned and bool(self.measures or self.conditions)

    def step(self, note: int, text: str) -> None:
        """Remember a note and what it added."""
        if note not in self.notes:
            self.notes.append(note)
        self.how.append(f"note {note + 1}: {text}")

    def name(self) -> str:
        """What a person would call this joint."""
        words = " ".join(w for w in (self.place, self.part, self.fastener) if w)
        return words or "a joint that was not named"

    def _doubt(self) -> str | None:
        """Why a joint with values has no part."""
        if self.part or not self.turned:
            return None
        if self.stranger:
            return f"“{self.stranger}” may name its part, and no part was named for sure"
        return f"no part was named for the {self.fastener or 'joint'}"

    def doubt(self, name: str, others: tuple[Any, ...]) -> None:
        """Remember what else the sound may hold for the value that a field has now."""
        self.doubts[name] = (getattr(self, name), others)

    def _others(self, name: str) -> tuple[Any, ...]:
        value, others = self.doubts.get(name, (None, ()))
        return others if value is not None and value == getattr(self, name) else ()

    def entry(self) -> Entry:
        """The finished entry."""
        return Entry(
            part=self.part,
            place=self.place,
            fastener=self.fastener,
            count=self.count,
            count_heard=tuple(other for other in self._others("count") if other.value != self.count),
            thread=self.thread,
            thread_heard=self._others("thread"),
            grade=self.grade,
            grade_heard=self._others("grade"),
            length_mm=self.length_mm,
            length_heard=self._others("length_mm"),
            state=self.state,
            torques=tuple(self.torques),
            angles=tuple(self.angles),
            tool=self.tool,
            compound=self.compound,
            conditions=tuple(self.conditions),
            measures=tuple(self.measures),
            notes=tuple(sorted(self.notes)),
            how=tuple(self.how),
            history=tuple(self.history),
            complete=self.complete,
            unclear=self.unclear or self._doubt(),
        )


def copy_of(source: Draft, *, part: str | None, place: str | None, note: int) -> Draft:
    """A new draft with the joint's kind, count and thread of another, and none of its values."""
    return Draft(
        part=part,
        place=place,
        fastener=source.fastener,
        count=source.count,
        thread=source.thread,
        grade=source.grade,
        length_mm=source.length_mm,
        tool=source.tool,
        compound=source.compound,
        notes=sorted(source.notes),
        opened=note,
    )


def take_fastener(draft: Draft, fastener: Fastener, *, some: bool) -> None:
    """Fill in what a fastener fact says and the draft does not know yet; ``some`` when it speaks of a few of them."""
    draft.fastener = draft.fastener or fastener.fastener
    if fastener.thread and fastener.count and draft.thread is None and not some:
        draft.count = None
    if fastener.thread and (draft.thread is None or fastener.thread.startswith(draft.thread)):
        draft.thread = fastener.thread
        draft.doubt("thread", fastener.thread_heard)
    if draft.grade is None:
        draft.grade = fastener.grade
        draft.doubt("grade", fastener.grade_heard)
    if draft.length_mm is None:
        draft.length_mm = fastener.length_mm
        draft.doubt("length_mm", fastener.length_heard)
    take_count(draft, fastener.count, some=some, heard=fastener.heard)


def take_count(draft: Draft, count: int | None, *, some: bool, heard: tuple[OtherReading, ...] = ()) -> None:
    """A count, with others that the sound may hold; one that speaks of a few only gives way to one that speaks of all."""
    if count is None or (some and count == 1):
        return
    if draft.count is None or (draft.some_only and not some):
        draft.count, draft.some_only = count, some
        draft.doubt("count", heard)


def add_rest(draft: Draft, fastener: Fastener, note: int) -> None:
    """The rest of a few, told notes later: "six of the eight", then "the last two", are eight. A number without a known first part says nothing."""
    if fastener.count is None or not draft.turned or note == draft.opened or note in draft.rests:
        return
    draft.rests |= {note}
    if draft.count is not None and draft.some_only:
        draft.count += fastener.count
        draft.step(note, f"{fastener.count} more: {draft.count} in all")


def same_torque(one: TorqueDone, other: TorqueDone) -> bool:
    """Whether a torque is said again: value and unit agree, and so do the stages as far as both were said."""
    units = one.unit == other.unit or other.unit is None
    stages = one.stage == other.stage or other.stage is None
    return abs(one.value - other.value) < 1e-6 and units and stages


def on_note(torque: TorqueDone, note: int) -> TorqueDone:
    """The same torque as said by another note."""
    return replace(torque, note=note)


@lru_cache(maxsize=4096)
def words_of(name: str | None) -> tuple[str, ...]:
    """A part's name as comparable words, the last being what it is."""
    return tuple(singular(w) for w in (name or "").lower().replace("-", " ").split() if w not in _EMPTY)


def means(short: tuple[str, ...], full: tuple[str, ...]) -> bool:
    """Whether a name can stand for a fuller one: "pump flange" for "hydraulic pump flange"; what it is must agree."""
    return bool(short and full) and short[-1] == full[-1] and set(short) <= set(full)


def places_agree(said: str | None, known: str | None) -> bool:
    """Whether two places can be one: equal as sets of words, or one holds the other ("left" and "left front")."""
    if said is None or known is None:
        return True
    one, other = set(said.split()), set(known.split())
    return one <= other or other <= one


def threads_agree(said: str | None, known: str | None) -> bool:
    """Whether two threads can be one: M10 and M10x1.5 can, M10 and M12 cannot."""
    if said is None or known is None:
        return True
    short, long = sorted((said, known), key=len)
    return long == short or long.startswith((short + "x", short + "-", short + " "))
