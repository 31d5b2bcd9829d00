"""Strengths, inserts and K against figures from public pages, which are named beside each; none of them is the standard itself."""

import pytest

from gudgeon.trade import Trade, short_torque_nm, work_insert
from gudgeon.units import to_nm

PSI = 4.4482216152605 / 25.4**2
"""Megapascals in one pound-force a square inch, from the exact pound and inch."""

METRIC = [
    ("4.6", "M10", 240, 400),
    ("5.8", "M10", 420, 520),
    ("8.8", "M18", 660, 830),
    ("9.8", "M10", 720, 900),
    ("10.9", "M10", 940, 1040),
    ("12.9", "M10", 1100, 1220),
]


@pytest.mark.parametrize(("grade", "size", "yields", "tensile"), METRIC, ids=[f"{row[0]}-{row[1]}" for row in METRIC])
def test_yield_and_tensile_minima_of_iso_898_1(grade: str, size: str, yields: float, tensile: float, trade: Trade) -> None:
    """As a technical college's page naming ISO 898-1:1999 (mem50212.com) and the package me-toolbox 0.0.18 (MIT) both have them, in MPa."""
    strength = trade.strength(grade, trade.threads_of(size)[0])
    assert strength and (strength.yield_mpa, strength.tensile_mpa) == (yields, tensile)


INCH = [
    ("2", "1/2-13", 55_000, 57_000, 74_000),
    ("2", "3/4-10", 55_000, 57_000, 74_000),
    ("2", "1-8", 33_000, 36_000, 60_000),
    ("5", "1/4-20", 85_000, 92_000, 120_000),
    ("5", "1-8", 85_000, 92_000, 120_000),
    ("5", "1 1/4-7", 74_000, 81_000, 105_000),
    ("8", "1/4-20", 120_000, 130_000, 150_000),
    ("8", "1 1/4-7", 120_000, 130_000, 150_000),
]


@pytest.mark.parametrize(("grade", "thread", "proof", "yields", "tensile"), INCH, ids=[f"{row[0]}-{row[1]}" for row in INCH])
def test_strengths_of_sae_j429(grade: str, thread: str, proof: float, yields: float, tensile: float, trade: Trade) -> None:
    """A published page of SAE J429 (china-bolts.com), in psi: the step is at 3/4 in for grade 2 and at 1 in for grade 5."""
    strength = trade.strength(grade, trade.threads_of(thread)[0])
    assert strength
    found = (strength.proof_mpa, strength.yield_mpa, strength.tensile_mpa)
    assert found == pytest.approx([psi * PSI for psi in (proof, yields, tensile)], rel=5e-4)


INSERTS = [("M5x0.8", 5.173, 5.3), ("M6x1", 6.217, 6.3), ("M8x1.25", 8.271, 8.4), ("M10x1.5", 10.325, 10.5)]


@pytest.mark.parametrize(("thread", "least", "drill"), INSERTS, ids=[row[0] for row in INSERTS])
def test_inserts(thread: str, least: float, drill: float, trade: Trade) -> None:
    """The least hole d + 0.2165 P as reckoned apart, and the drill of the page on DIN 8140 (engineeringhardware.com); makers differ by 0.1 mm."""
    values = work_insert(trade, thread=thread).values
    assert values["least_hole_mm"] == pytest.approx(least, abs=0.0011)
    assert values["drill_mm"] == pytest.approx(drill, abs=0.15) and float(str(values["drill_mm"])) > least


LENGTHS = [("M5x0.8", (5, 7.5, 10)), ("M8x1.25", (8, 12, 16)), ("M10x1.5", (10, 15, 20)), ("M12x1.75", (12, 18, 24)), ("M14x2", (14, 21, 28))]


@pytest.mark.parametrize(("thread", "lengths"), LENGTHS, ids=[row[0] for row in LENGTHS])
def test_lengths_of_inserts_are_multiples_of_the_diameter(thread: str, lengths: tuple[float, ...], trade: Trade) -> None:
    """1, 1.5 and 2 diameters: ASME B18.29.8M-2005 as quoted on a public page (engineersedge.com)."""
    found = work_insert(trade, thread=thread).values["lengths_mm"]
    assert isinstance(found, dict)
    assert tuple(found[factor] for factor in ("1", "1.5", "2")) == lengths


@pytest.mark.parametrize(
    ("pounds", "k", "inches", "lbf_in"), [(2029, 0.18, 0.25, 91), (4719, 0.18, 0.3125, 265), (1313, 0.18, 0.25, 59), (25_000, 0.20, 0.75, 3750)]
)
def test_the_short_form_between_dry_and_oiled(pounds: float, k: float, inches: float, lbf_in: float) -> None:
    """K 0.18 of the torque-tension page (engineersedge.com); the last row from memory."""
    torque = short_torque_nm(preload_n=pounds * 4.4482216152605, k=k, diameter_mm=inches * 25.4)
    assert torque / to_nm(1.0, "lbf*in") == pytest.approx(lbf_in, rel=0.01)


def test_oil_takes_a_quarter_of_a_dry_torque(trade: Trade) -> None:
    """K 0.20 dry and 0.15 oiled (engineersedge.com, studylib.net 26058660), 0.17 zinc plated, 0.12 with anti-seize (an open repository)."""
    k = {name: friction.k for name, friction in trade.frictions.items()}
    assert (k["dry"], k["zinc"], k["oiled"], k["anti-seize"]) == (0.20, 0.17, 0.15, 0.12)
