"""Conversion: what fits is exact and goes both ways, what does not fit is refused."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from gudgeon.domain import BadInput
from gudgeon.units import convert, to_nm

TORQUE = ["N*m", "N*cm", "lbf*ft", "lbf*in", "kgf*m", "kgf*cm"]
FAMILIES = [
    TORQUE,
    ["mm", "cm", "in", "thou", "um"],
    ["bar", "psi", "kPa"],
    ["degC", "degF"],
    ["l", "ml", "cc", "pt", "qt", "gal"],
    ["deg", "turn"],
    ["kg", "lb"],
    ["rpm"],
    ["V"],
    ["ohm"],
]
PAIRS = [(one, other) for family in FAMILIES for one in family for other in family]


@pytest.mark.parametrize(("one", "other"), PAIRS)
def test_there_and_back(one: str, other: str) -> None:
    assert convert(convert(37.5, one, other), other, one) == pytest.approx(37.5, rel=1e-12)


@pytest.mark.parametrize("unit", TORQUE)
def test_the_fast_way_and_pint_agree(unit: str) -> None:
    assert to_nm(37.5, unit) == pytest.approx(convert(37.5, unit, "N*m"), rel=1e-14)


@pytest.mark.parametrize("one", FAMILIES)
def test_units_of_two_kinds_are_refused(one: list[str]) -> None:
    for other in FAMILIES:
        if other is not one and not {one[0], other[0]} <= {"deg", "rpm"}:
            with pytest.raises(BadInput):
                convert(1, one[0], other[0])


@pytest.mark.parametrize("text", ["Nm", "ft*lb", "mil", "", "furlong", "N*m ", "__import__('os')", "1e999"])
def test_free_text_never_reaches_the_parser(text: str) -> None:
    with pytest.raises(BadInput):
        convert(1, text, "N*m")
    with pytest.raises(BadInput):
        to_nm(1, text)


@given(st.floats(-1e9, 1e9, allow_nan=False))
def test_to_nm_is_linear(value: float) -> None:
    assert to_nm(value, "lbf*ft") == pytest.approx(12 * to_nm(value, "lbf*in"), rel=1e-12)
