"""What the trade's tables hold, as frozen rows with their source."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date


@dataclass(frozen=True, slots=True)
class Thread:
    """A screw thread, in millimetres. ``kind`` is metric, unified, BSW, BSP or NPT; ``series`` coarse, fine, pipe or special (not in the table)."""

    name: str
    size: str
    kind: str
    series: str
    diameter_mm: float
    pitch_mm: float
    source: str


@dataclass(frozen=True, slots=True)
class Strength:
    """What a grade bears, in MPa, for diameters over ``over_mm`` up to ``up_to_mm``; ``proof_mpa`` is None for stainless, which has no proof load."""

    grade: str
    family: str
    over_mm: float
    up_to_mm: float
    proof_mpa: float | None
    yield_mpa: float
    tensile_mpa: float
    source: str


@dataclass(frozen=True, slots=True)
class Friction:
    """Friction of thread and face in one condition: the usual value, its scatter, and the nut factor K of the short form."""

    condition: str
    low: float
    usual: float
    high: float
    k: float
    source: str


@dataclass(frozen=True, slots=True)
class Bearing:
    """The bearing face (outer diameter of the washer face) and the clearance hole of a head, in millimetres."""

    size: str
    head: str
    face_mm: float
    hole_mm: float
    source: str


@dataclass(frozen=True, slots=True)
class DriveSize:
    """A wrench or key size and the thread it usually goes with: ``shape`` is the head's, ``drive`` is ``wrench`` or ``key``; unit mm, in or T."""

    shape: str
    size: str
    drive: str
    width: float
    unit: str
    standard: str
    source: str


@dataclass(frozen=True, slots=True)
class Insert:
    """The drill for a wire-thread insert of one thread, in millimetres."""

    thread: str
    drill_mm: float
    source: str


@dataclass(frozen=True, slots=True)
class Locker:
    """What a thread locker's colour usually means; makers differ."""

    colour: str
    strength: str
    holds: str
    note: str
    source: str


@dataclass(frozen=True, slots=True)
class Material:
    """What a thread is cut in: shear strength in MPa, usual engagement in diameters, and whether it gives before a steel bolt does."""

    name: str
    words: tuple[str, ...]
    shear_mpa: float
    engagement_d: float
    soft: bool
    source: str


@dataclass(frozen=True, slots=True)
class PartWord:
    """A word in a part's name that calls for care: ``kind`` is safety, often opened or hollow body."""

    words: str
    kind: str
    topic: str
    text: str
    source: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Wrench:
    """One of the owner's torque wrenches: useful range in ``unit``, length in millimetres from its square to the middle of the grip."""

    name: str
    low: float
    high: float
    unit: str
    length_mm: float | None = None
    calibrated: date | None = None
    tool_class: str | None = None
