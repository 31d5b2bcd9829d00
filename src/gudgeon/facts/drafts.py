"""Values as they are being read: what a torque, turn or measure has so far, before its fact is made."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(slots=True)
class TorqueDraft:
    """A torque being read; ``at`` to ``end`` are its tokens, ``span_end`` the token where what belongs to it ends."""

    at: int
    end: int
    span_end: int
    value: float
    unit: str | None
    rule: str
    nm: float | None = None
    low: float | None = None
    high: float | None = None
    replaces: float | None = None
    mended: str | None = None
    hedged: bool = False
    stage: int | None = None
    angle_deg: float | None = None
    part: str | None = None
    place: str | None = None


@dataclass(slots=True)
class AngleDraft:
    """A turn being read."""

    at: int
    end: int
    angle_deg: float
    rule: str
    stage: int | None = None
    part: str | None = None
    place: str | None = None


@dataclass(slots=True)
class MeasureDraft:
    """A measured size being read."""

    at: int
    end: int
    value: float
    unit: str
    quantity: str | None
    rule: str
    part: str | None = None
    place: str | None = None
    hedged: bool = False
