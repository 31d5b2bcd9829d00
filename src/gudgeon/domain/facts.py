"""What the rules find in one note: one frozen class a kind. Spans are character offsets in the note's text, end exclusive.

``rule`` names the rule (and table row) that found the fact. Fields that do not apply are None (or False).
Values of the fields: docs/facts.md.
"""

from __future__ import annotations

from dataclasses import asdict, dataclass, fields
from typing import Any, ClassVar

Span = tuple[int, int]


@dataclass(frozen=True, slots=True)
class OtherReading:
    """A value that the same sound may hold, with its odds 0..1."""

    value: float
    unit: str | None
    odds: float


@dataclass(frozen=True, slots=True)
class OtherName:
    """A thread or a grade that the same sound may hold, with its odds 0..1."""

    name: str
    odds: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Torque:
    """A torque applied: unit is one of N*m N*cm lbf*ft lbf*in kgf*m kgf*cm or None when it was not said; nm in newton metres.

    ``heard`` holds other values of the torque, ``angle_heard`` other angles.
    """

    kind: ClassVar[str] = "torque"
    value: float
    unit: str | None
    nm: float | None
    span: Span
    rule: str = ""
    angle_deg: float | None = None
    stage: int | None = None
    hedged: bool = False
    replaces: float | None = None
    low: float | None = None
    high: float | None = None
    part: str | None = None
    place: str | None = None
    mended: str | None = None
    heard: tuple[OtherReading, ...] = ()
    angle_heard: tuple[OtherReading, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Angle:
    """A turn, in degrees, given without a torque."""

    kind: ClassVar[str] = "angle"
    angle_deg: float
    span: Span
    rule: str = ""
    stage: int | None = None
    part: str | None = None
    place: str | None = None
    heard: tuple[OtherReading, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Tool:
    """A tool; size_unit is mm, in (a decimal of an inch) or T; ``heard`` holds other sizes."""

    kind: ClassVar[str] = "tool"
    tool: str
    span: Span
    rule: str = ""
    size: float | None = None
    size_unit: str | None = None
    heard: tuple[OtherReading, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Fastener:
    """A fastener; thread as M8, M8x1.25, 5/16-18, 1/2 BSW; length in millimetres.

    ``heard`` holds other counts, without a unit; ``thread_heard``, ``grade_heard`` and ``length_heard`` hold other threads, grades and lengths.
    """

    kind: ClassVar[str] = "fastener"
    fastener: str
    span: Span
    rule: str = ""
    count: int | None = None
    thread: str | None = None
    length_mm: float | None = None
    grade: str | None = None
    head: str | None = None
    heard: tuple[OtherReading, ...] = ()
    thread_heard: tuple[OtherName, ...] = ()
    grade_heard: tuple[OtherName, ...] = ()
    length_heard: tuple[OtherReading, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Part:
    """A part; name lower case, singular, without article; place tells it from its twins; state new or reused."""

    kind: ClassVar[str] = "part"
    name: str
    span: Span
    rule: str = ""
    place: str | None = None
    state: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Compound:
    """Something put on a thread or face; strength (low, medium, high, wicking) for thread locker."""

    kind: ClassVar[str] = "compound"
    compound: str
    span: Span
    rule: str = ""
    strength: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Action:
    """Work; status is done, doing, todo or not done."""

    kind: ClassVar[str] = "action"
    action: str
    status: str
    span: Span
    rule: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Condition:
    """How a part or fastener was found; every condition but good becomes a fault."""

    kind: ClassVar[str] = "condition"
    condition: str
    span: Span
    rule: str = ""
    part: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Measure:
    """A measured or set size that is no torque, tool size or thread."""

    kind: ClassVar[str] = "measure"
    quantity: str | None
    value: float
    unit: str
    span: Span
    rule: str = ""
    part: str | None = None
    place: str | None = None
    heard: tuple[OtherReading, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Mark:
    """How a part sits or was marked."""

    kind: ClassVar[str] = "mark"
    text: str
    span: Span
    rule: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Question:
    """Something the speaker wants answered."""

    kind: ClassVar[str] = "question"
    text: str
    span: Span
    rule: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Assumption:
    """A value or choice the speaker guessed."""

    kind: ClassVar[str] = "assumption"
    text: str
    span: Span
    rule: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Todo:
    """Work left for later."""

    kind: ClassVar[str] = "todo"
    text: str
    span: Span
    rule: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Buy:
    """Something to get; ``heard`` holds other counts, without a unit."""

    kind: ClassVar[str] = "buy"
    item: str
    span: Span
    rule: str = ""
    count: int | None = None
    heard: tuple[OtherReading, ...] = ()


Fact = Torque | Angle | Tool | Fastener | Part | Compound | Action | Condition | Measure | Mark | Question | Assumption | Todo | Buy


def fact_to_dict(fact: Fact, *, why: bool = False) -> dict[str, Any]:
    """The fact as ``gudgeon parse`` prints it: kind first, the span as a list, the rule only with ``why``, other readings only when unsure."""
    row: dict[str, Any] = {"kind": fact.kind}
    for field in fields(fact):
        value = getattr(fact, field.name)
        if field.name == "rule" and not why:
            continue
        if field.name == "heard" or field.name.endswith("_heard"):
            if not value:
                continue
            value = [asdict(reading) for reading in value]
        row[field.name] = list(value) if field.name == "span" else value
    return row
