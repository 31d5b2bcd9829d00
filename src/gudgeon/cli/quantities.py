"""Torques as a person types them at the command line: ``48``, ``35 lb ft``, ``20..30``, ``..25``."""

from __future__ import annotations

import re

NUMBER = r"(\d+(?:[.,]\d+)?)"
RANGE = re.compile(rf"\s*{NUMBER}?\s*(?:\.\.|to)\s*{NUMBER}?\s*(.*)")
SINGLE = re.compile(rf"\s*{NUMBER}\s*(.*)")
ROUNDING = 0.02
"""How far from a single value a torque may be and still be meant by it: figures are rounded when units are changed."""


def torque_range(text: str) -> tuple[float, float]:
    """Lowest and highest torque meant, in newton metres. Raises BadInput."""
    from gudgeon.units import to_nm

    found = RANGE.fullmatch(text)
    if found is None:
        value, unit = torque(text)
        return to_nm(value * (1 - ROUNDING), unit), to_nm(value * (1 + ROUNDING), unit)
    low, high = _figure(found[1], 0.0), _figure(found[2], 1e9)
    if not (found[1] or found[2]) or low > high:
        raise _wrong(text)
    unit = _unit(found[3], text)
    return to_nm(low, unit), to_nm(high, unit)


def torque(text: str) -> tuple[float, str]:
    """A value and its canonical unit, newton metres when none is named. Raises BadInput."""
    found = SINGLE.fullmatch(text)
    if found is None:
        raise _wrong(text)
    return _figure(found[1], 0.0), _unit(found[2], text)


def _unit(words: str, text: str) -> str:
    from gudgeon.cli import wiring

    if not words.strip():
        return "N*m"
    said = ["20", *re.findall(r"[^\W\d_]+|[^\w\s]", words.lower())]
    hit = wiring.unit_words().match(said, 1)
    if hit is None or hit.family != "torque" or hit.length != len(said) - 1:
        raise _wrong(text)
    return hit.unit


def _figure(text: str | None, default: float) -> float:
    return float(text.replace(",", ".")) if text else default


def _wrong(text: str) -> Exception:
    from gudgeon.domain import BadInput

    return BadInput(f"{text!r} is no torque.", next_step='Write it like 48, "35 lb ft", 20..30, ..25 or "15..20 lb ft".')
