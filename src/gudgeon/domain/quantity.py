"""A value with its unit, as said."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Quantity:
    """A number and the canonical spelling of its unit (``N*m``, ``lbf*ft``, ``mm`` …); ``unit`` is None when none was said."""

    value: float
    unit: str | None
