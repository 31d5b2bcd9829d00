"""The spec sheet's rows, and what checks say of an entry against them."""

from __future__ import annotations

from dataclasses import dataclass, field


@dataclass(frozen=True, slots=True, kw_only=True)
class SpecRow:
    """One torque row of the owner's spec sheet: a joint and stage. ``line`` is its line in the file; ``extra`` keeps unknown columns."""

    part: str
    line: int
    place: str | None = None
    fastener: str | None = None
    count: int | None = None
    thread: str | None = None
    grade: str | None = None
    torque: float | None = None
    unit: str | None = None
    angle_deg: float | None = None
    stage: int | None = None
    low: float | None = None
    high: float | None = None
    tolerance_percent: float | None = None
    order: int | None = None
    condition: str | None = None
    material: str | None = None
    engagement_mm: float | None = None
    compound: str | None = None
    one_time: bool = False
    tool: str | None = None
    note: str | None = None
    source: str | None = None
    extra: tuple[tuple[str, str], ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class SizeLimit:
    """One size row of the spec sheet: clearances, gaps, wear limits."""

    part: str
    quantity: str
    line: int
    unit: str
    place: str | None = None
    low: float | None = None
    high: float | None = None
    note: str | None = None
    source: str | None = None
    extra: tuple[tuple[str, str], ...] = ()


@dataclass(frozen=True, slots=True)
class SpecSheet:
    """An owner's spec sheet for one job; ``refused`` holds (line number, reason) of rows that could not be used."""

    rows: tuple[SpecRow, ...] = ()
    sizes: tuple[SizeLimit, ...] = ()
    refused: tuple[tuple[int, str], ...] = ()


@dataclass(frozen=True, slots=True)
class Joint:
    """The spec row an entry was matched to, how well (0..1), and why, in words."""

    row: SpecRow
    score: float
    why: str


@dataclass(frozen=True, slots=True, kw_only=True)
class PastValue:
    """A torque from an earlier session at the same joint and stage, not superseded; ``count`` is how many fasteners were said to have got it."""

    session: int
    date: str
    part: str
    place: str | None
    fastener: str | None
    stage: int | None
    value: float
    unit: str | None
    nm: float | None
    count: int | None = None


@dataclass(frozen=True, slots=True)
class Caution:
    """A sentence of care that must be shown beside a judged or computed value."""

    code: str
    text: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Verdict:
    """What one value was judged to be: a stable code, one sentence of reason, the reference, and the sum where there is one.

    ``code`` is one of: unit not said, unlikely, over, under, within, no reference.
    ``of`` is the value judged, in words ("18 N·m", "end float 0.12 mm").
    """

    code: str
    of: str
    reason: str
    reference: str = ""
    sum: str = ""
    torque: int | None = None
    """Index in the entry's torques, or None when a measured size was judged."""
    measure: int | None = None
    """Index in the entry's measures."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Finding:
    """Something else worth knowing about an entry, with a stable code that docs/findings explains."""

    code: str
    reason: str
    reference: str = ""
    sum: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Judgement:
    """All that checks say of one entry."""

    verdicts: tuple[Verdict, ...] = ()
    findings: tuple[Finding, ...] = ()
    joint: Joint | None = None
    cautions: tuple[Caution, ...] = field(default=())
