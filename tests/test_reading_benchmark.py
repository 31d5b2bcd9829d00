"""The benchmark of readers judges rightly: what is right, what is wrong, and what is held against nobody."""

import sys
from pathlib import Path

import pytest

HERE = Path(__file__).resolve().parent

NOTE = {
    "text": "seventeen mil socket, 4 bolts 2 inches long, 24 foot pounds no wait 26 then a quarter turn, filled with 350 ml",
    "facts": [
        {"kind": "tool", "tool": "socket", "size": 17, "size_unit": "mm"},
        {"kind": "fastener", "fastener": "bolt", "count": 4, "length_mm": 50.8},
        {"kind": "torque", "value": 26, "unit": "lbf*ft", "angle_deg": 90, "replaces": 24},
        {"kind": "measure", "quantity": "volume", "value": 350, "unit": "ml"},
    ],
}


@pytest.fixture(scope="module")
def judge():
    sys.path[:0] = [str(HERE), str(HERE.parent / "benchmarks")]
    try:
        import reading_judge
    finally:
        del sys.path[:2]
    return reading_judge


@pytest.mark.parametrize(
    ("readings", "right", "wrong"),
    [
        ([(26.0, "foot pound sterling"), (350.0, "millilitre")], 2, 0),
        ([(26.0, "foot pound sterling"), (26.0, "foot pound sterling")], 1, 0),
        ([(24.0, "foot pound sterling")], 0, 1),
        ([(26.0, "newton metre")], 0, 1),
        ([(26.0, "Foot")], 0, 1),
        ([(17.0, "Millimeter"), (2.0, "inch"), (90.0, "degree angle"), (0.25, "turn")], 0, 0),
        ([(4.0, "dimensionless"), (17.0, "mill")], 0, 0),
        ([(17.0, "inch")], 0, 1),
    ],
)
def test_values_of_peers(judge, readings, right, wrong):
    assert judge.judged([NOTE], judge.in_our_units([readings])) == (right, wrong)


def test_figures_without_units_are_only_counted_when_right(judge):
    assert judge.judged([NOTE], [[(26.0, ""), (99.0, "")]], with_unit=False) == (1, 0)
