"""Values as they are being read: what a torque, turn or measure has so far, before its fact is made."""

from __future__ import annotations

from dataclasses import dataclass

from gudgeon.domain import Angle, Measure, Torque
from gudgeon.facts.marked import Marked


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

    def fact(self, note: Marked) -> Torque:
        """The finished torque."""
        return Torque(
            value=self.value,
            unit=self.unit,
            nm=round(self.nm, 6) if self.nm is not None else None,
            span=note.span(self.at, self.span_end),
            rule=self.rule,
            angle_deg=self.angle_deg,
            stage=self.stage,
            hedged=self.hedged,
            replaces=self.replaces,
            low=self.low,
            high=self.high,
            part=self.part,
            place=self.place,
            mended=self.mended,
        )


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

    def fact(self, note: Marked) -> Angle:
        """The finished turn."""
        span = note.span(self.at, self.end)
        return Angle(angle_deg=self.angle_deg, span=span, rule=self.rule, stage=self.stage, part=self.part, place=self.place)


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

    def fact(self, note: Marked) -> Measure:
        """The finished measure."""
        span = note.span(self.at, self.end)
        return Measure(quantity=self.quantity, value=self.value, unit=self.unit, span=span, rule=self.rule, part=self.part, place=self.place)
