"""Unit factors against figures from outside: scipy.constants (CODATA and exact definitions) and GNU units, never pint."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from scipy import constants

from gudgeon.units import convert, to_nm

ORACLES = [row for row in json.loads((Path(__file__).parent / "oracles.json").read_text(encoding="utf-8")) if row["id"].startswith("U-")]
HOUSE = {"lbf.ft": "lbf*ft", "lbf.in": "lbf*in", "kgf.m": "kgf*m", "kgf.cm": "kgf*cm"}
SI = {
    "N*m": 1.0,
    "N*cm": constants.centi,
    "lbf*ft": constants.lbf * constants.foot,
    "lbf*in": constants.lbf * constants.inch,
    "kgf*m": constants.kgf,
    "kgf*cm": constants.kgf * constants.centi,
    "mm": constants.milli,
    "cm": constants.centi,
    "in": constants.inch,
    "thou": constants.mil,
    "um": constants.micron,
    "bar": constants.bar,
    "psi": constants.psi,
    "kPa": constants.kilo,
    "l": constants.liter,
    "ml": constants.liter * constants.milli,
    "cc": constants.centi**3,
    "pt": constants.gallon_imp / 8,
    "qt": constants.gallon_imp / 4,
    "gal": constants.gallon_imp,
    "deg": constants.degree,
    "turn": 2 * constants.pi,
    "kg": 1.0,
    "lb": constants.lb,
}
"""Each unit in SI, from scipy.constants 1.17 (scipy.constants.mil is a thousandth of an inch)."""
SAME_KIND = [("mm", "cm in thou um"), ("bar", "psi kPa"), ("l", "ml cc pt qt gal"), ("deg", "turn"), ("kg", "lb")]


@pytest.mark.parametrize("row", ORACLES, ids=lambda row: row["id"])
def test_published_factor(row: dict[str, object]) -> None:
    unit = HOUSE[row["inputs"]["unit"]]  # type: ignore[index]
    assert to_nm(1, unit) == pytest.approx(row["value"], rel=row["rel_tol"])


def test_all_published_factors_are_there() -> None:
    assert {row["inputs"]["unit"] for row in ORACLES} == set(HOUSE)


@pytest.mark.parametrize("unit", ["N*m", "N*cm", "lbf*ft", "lbf*in", "kgf*m", "kgf*cm"])
def test_torque_factor(unit: str) -> None:
    assert to_nm(1, unit) == pytest.approx(SI[unit], rel=1e-14)
    assert convert(1, unit, "N*m") == pytest.approx(SI[unit], rel=1e-14)


@pytest.mark.parametrize(("base", "unit"), [(base, unit) for base, units in SAME_KIND for unit in units.split()])
def test_other_factor(base: str, unit: str) -> None:
    assert convert(1, unit, base) == pytest.approx(SI[unit] / SI[base], rel=1e-13)


@pytest.mark.parametrize("celsius", [-40.0, 0.0, 20.0, 100.0, 220.0])
def test_temperature(celsius: float) -> None:
    fahrenheit = constants.convert_temperature(celsius, "Celsius", "Fahrenheit")
    assert convert(celsius, "degC", "degF") == pytest.approx(fahrenheit, abs=1e-9)
    assert convert(fahrenheit, "degF", "degC") == pytest.approx(celsius, abs=1e-9)
