"""Entries: one thing done or found at one joint, put together from the notes of a session."""

from __future__ import annotations

from dataclasses import asdict, dataclass
from typing import Any

from gudgeon.domain.facts import Fact, OtherName, OtherReading


@dataclass(frozen=True, slots=True)
class ReadNote:
    """A note's text and the facts the rules found in it: what the entries room takes in."""

    text: str
    facts: tuple[Fact, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class TorqueDone:
    """A torque that stands in an entry; ``note`` is the index, in the session, of the note that said it."""

    value: float
    unit: str | None
    nm: float | None
    angle_deg: float | None = None
    stage: int | None = None
    hedged: bool = False
    low: float | None = None
    high: float | None = None
    replaces: float | None = None
    mended: str | None = None
    heard: tuple[OtherReading, ...] = ()
    angle_heard: tuple[OtherReading, ...] = ()
    note: int | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class AngleDone:
    """A turn that stands in an entry."""

    angle_deg: float
    stage: int | None = None
    heard: tuple[OtherReading, ...] = ()
    note: int | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class ToolUsed:
    """A tool that stands in an entry."""

    tool: str
    size: float | None = None
    size_unit: str | None = None
    heard: tuple[OtherReading, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class CompoundUsed:
    """A compound that stands in an entry."""

    compound: str
    strength: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class SizeMeasured:
    """A measured size that stands in an entry."""

    quantity: str | None
    value: float
    unit: str
    heard: tuple[OtherReading, ...] = ()
    note: int | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Entry:
    """One thing done or found at one joint (part + place + fastener).

    ``notes`` are indexes of the session's notes it came from; ``how`` says, step by step, how it was put together
    (for ``--why``); ``history`` holds, as sentences, values that were said first and corrected later;
    ``complete`` is True when the speaker said that all were done; ``unclear`` says why no part could be named;
    ``count_heard``, ``thread_heard``, ``grade_heard`` and ``length_heard`` hold others that the sound may hold.
    """

    part: str | None = None
    place: str | None = None
    fastener: str | None = None
    count: int | None = None
    count_heard: tuple[OtherReading, ...] = ()
    thread: str | None = None
    thread_heard: tuple[OtherName, ...] = ()
    grade: str | None = None
    grade_heard: tuple[OtherName, ...] = ()
    length_mm: float | None = None
    length_heard: tuple[OtherReading, ...] = ()
    state: str | None = None
    torques: tuple[TorqueDone, ...] = ()
    angles: tuple[AngleDone, ...] = ()
    tool: ToolUsed | None = None
    compound: CompoundUsed | None = None
    conditions: tuple[str, ...] = ()
    measures: tuple[SizeMeasured, ...] = ()
    notes: tuple[int, ...] = ()
    how: tuple[str, ...] = ()
    history: tuple[str, ...] = ()
    complete: bool = False
    unclear: str | None = None


def entry_to_dict(entry: Entry) -> dict[str, Any]:
    """The entry as commands print it: other readings of a fastener, an angle, a size or a tool only when there are any."""
    row = asdict(entry)
    tools = [row["tool"]] if row["tool"] else []
    lists = [(row, name) for name in row if name.endswith("_heard")]
    lists += [(torque, "angle_heard") for torque in row["torques"]]
    lists += [(thing, "heard") for thing in (*row["angles"], *row["measures"], *tools)]
    for thing, name in lists:
        if not thing[name]:
            del thing[name]
    return row
