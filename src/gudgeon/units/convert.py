"""Exact conversion between the units of the house."""

from __future__ import annotations

from fractions import Fraction
from functools import cache
from typing import Any

from gudgeon.domain import BadInput
from gudgeon.units.rows import FAMILIES

POUND_FORCE = Fraction(45359237, 100_000_000) * Fraction(980665, 100_000)
"""Newtons in a pound force: 0.45359237 kg (international pound, 1959) times 9.80665 m/s² (CGPM 1901), both exact."""
KILOGRAM_FORCE = Fraction(980665, 100_000)
"""Newtons in a kilogram force: 9.80665 m/s², exact."""
FOOT = Fraction(3048, 10_000)
"""Metres in a foot, exact (international foot, 1959)."""
NM: dict[str, Fraction] = {
    "N*m": Fraction(1),
    "N*cm": Fraction(1, 100),
    "lbf*ft": POUND_FORCE * FOOT,
    "lbf*in": POUND_FORCE * FOOT / 12,
    "kgf*m": KILOGRAM_FORCE,
    "kgf*cm": KILOGRAM_FORCE / 100,
}
"""Newton metres in one of each torque unit, exact."""
_NM = {unit: float(factor) for unit, factor in NM.items()}

DEFINITIONS = """
m = [length]
kg = [mass]
s = [time]
kelvin = [temperature]; offset: 0
V = [voltage]
ohm = [resistance]
rad = []
mm = 1e-3 * m
cm = 1e-2 * m
um = 1e-6 * m
inch = 0.0254 * m
ft = 0.3048 * m
thou = 1e-3 * inch
lb = 0.45359237 * kg
N = kg * m / s ** 2
kgf = 9.80665 * N
lbf = 0.45359237 * kgf
Pa = N / m ** 2
kPa = 1e3 * Pa
bar = 1e5 * Pa
psi = lbf / inch ** 2
degC = kelvin; offset: 273.15
degF = 5 / 9 * kelvin; offset: 233.15 + 200 / 9
l = 1e-3 * m ** 3
ml = 1e-3 * l
cc = 1e-6 * m ** 3
gal = 4.54609 * l
qt = gal / 4
pt = gal / 8
turn = 6.283185307179586 * rad
deg = turn / 360
minute = 60 * s
rpm = turn / minute
"""
"""Our own definitions for pint. Gallons, quarts and pints are imperial (4.54609 l, Weights and Measures Act 1985)."""
_SPELLING = {"in": "inch", "lbf*in": "lbf*inch"}


def to_nm(value: float, unit: str) -> float:
    """Newton metres in ``value`` of a torque ``unit``, by exact factors; raises BadInput for a unit that is no torque."""
    try:
        return value * _NM[unit]
    except KeyError:
        raise BadInput(f"{unit!r} is no unit of torque.", next_step=f"Use one of: {', '.join(NM)}.") from None


def convert(value: float, unit_from: str, unit_to: str) -> float:
    """``value`` in ``unit_from`` as ``unit_to``, both canonical spellings; raises BadInput for an unknown unit or two that do not fit.

    Only the canonical names reach pint, never free text. Pints, quarts and gallons are imperial.
    """
    for unit in (unit_from, unit_to):
        if unit not in FAMILIES:
            raise BadInput(f"{unit!r} is no unit that is known here.", next_step=f"Use one of: {', '.join(FAMILIES)}.")
    if unit_from == unit_to:
        return value
    registry, bad = _registry()
    try:
        there = registry.Quantity(value, _SPELLING.get(unit_from, unit_from)).to(_SPELLING.get(unit_to, unit_to))
    except bad:
        raise BadInput(f"{unit_from} cannot be turned into {unit_to}.", next_step="Choose two units of the same kind.") from None
    return float(there.magnitude)


@cache
def _registry() -> tuple[Any, type[Exception]]:
    """A pint registry that knows our definitions alone, and its error for units that do not fit."""
    import pint  # noqa: PLC0415 - takes 0.4 s to import, and reading notes needs none of it

    return pint.UnitRegistry(DEFINITIONS.strip().splitlines()), pint.DimensionalityError
