"""Worked sums as they are printed: the keys that are promised, what is asked for is what is reckoned with, and steps that can be followed."""

import re
from math import pi

import pytest

from gudgeon.domain import BadInput
from gudgeon.trade import (
    bearing_or_guess,
    bolt_of,
    limit_of,
    preload_from_torque_n,
    read_thread,
    torque_nm,
    work_adapter,
    work_insert,
    work_preload,
    work_torque,
)


@pytest.fixture
def bolt(trade):
    return bolt_of(trade, thread="M10x1.5", grade="8.8", mu=0.12)


def test_the_keys_that_are_promised(trade, bolt):
    of_torque = {"thread", "grade", "mu", "share", "of", "torque_nm", "preload_kn", "stress_area_mm2", "low_nm", "high_nm", "edition"}
    assert set(work_torque(bolt).values) == of_torque
    of_preload = {"thread", "grade", "mu", "torque_nm", "preload_kn", "share_of_yield", "low_kn", "high_kn"}
    assert set(work_preload(bolt, torque=48, unit="N*m").values) == of_preload
    adapter = work_adapter(wanted=100, unit="N*m", length=500, reach=150).values
    assert adapter == {"setting": 76.923, "unit": "N*m", "wanted": 100, "length": 500, "reach": 150, "angle_deg": 0.0}
    assert set(work_insert(trade, thread="M8").values) == {"thread", "drill_mm", "least_hole_mm", "tap", "lengths_mm"}


def test_what_is_asked_for_is_told_with_the_result(bolt):
    values = work_torque(bolt, share=0.75, of="proof").values
    assert (values["thread"], values["grade"], values["mu"], values["share"], values["of"]) == ("M10x1.5", "8.8", 0.12, 0.75, "proof")
    assert "torsion not counted" in str(values["edition"]) and "VDI 2230" in str(work_torque(bolt).values["edition"])
    assert values["low_nm"] < values["torque_nm"] < values["high_nm"]


def test_the_range_of_a_preload_goes_from_high_friction_to_low(bolt):
    values = work_preload(bolt, torque=48, unit="N*m").values
    for name, mu in (("low_kn", bolt.friction.high), ("preload_kn", 0.12), ("high_kn", bolt.friction.low)):
        wanted = preload_from_torque_n(bolt.thread, torque_nm=48, mu=mu, bearing=bolt.bearing)
        assert values[name] == pytest.approx(wanted / 1000, abs=6e-5), name


def test_the_long_form_can_be_followed(bolt):
    """T = F·(P/2π + 0.577·µ·d2 + µ·D_Km/2), VDI 2230: the three arms of the step are those, and their product is the torque."""
    worked = work_torque(bolt)
    step = next(step for step in worked.steps if step.startswith("T = F"))
    force, pitch, flank, face, torque = map(
        float, re.search(r"= ([\d.]+) kN · \(([\d.]+) \+ ([\d.]+) \+ ([\d.]+)\) mm = ([\d.]+) N·m", step).groups()
    )
    assert pitch == pytest.approx(1.5 / (2 * pi), abs=6e-5)
    assert flank == pytest.approx(0.577 * 0.12 * 9.026, abs=2e-3)  # d2 of M10: 9.026 mm, ISO 724
    assert torque == pytest.approx(force * (pitch + flank + face), rel=1e-3)
    assert worked.values["torque_nm"] == pytest.approx(torque, rel=1e-3)


def test_a_step_names_the_stress_and_what_it_is_of(bolt):
    """8.8 up to M16: 640 MPa yield, 580 MPa proof stress (ISO 898-1)."""
    of_yield, of_proof = ("; ".join(work_torque(bolt, of=of).steps) for of in ("yield", "proof"))
    assert "0.9 of 640 MPa (yield) on A_s, lowered for torsion" in of_yield
    assert "0.9 of 580 MPa (proof) on A_s" in of_proof and "lowered for torsion" not in of_proof


def test_the_hole_and_the_head_count(trade, bolt):
    """A larger hole and a wider face move the mean diameter of the rubbing face outwards: more torque for the same pull."""

    def at(**more):
        return work_torque(bolt_of(trade, thread="M10x1.5", grade="8.8", mu=0.12, **more)).values["torque_nm"]

    assert at(hole_mm=12) > at(hole_mm=11) == at() == at(head="hex")
    assert at(head="flange") > at(head="hex") > 0
    with pytest.raises(BadInput):
        bolt_of(trade, thread="M10x1.5", grade="8.8", hole_mm=40)


@pytest.mark.parametrize("mu", [0.0, 0.009, 1.01, 1.5])
def test_frictions_that_cannot_be(bolt, mu):
    with pytest.raises(BadInput):
        torque_nm(bolt.thread, preload_n=1000, mu=mu, bearing=bolt.bearing)


def test_small_torques_pull_too(bolt):
    small, large = (preload_from_torque_n(bolt.thread, torque_nm=nm, mu=0.12, bearing=bolt.bearing) for nm in (0.5, 50))
    assert small * 100 == pytest.approx(large)


def test_threads_of_a_series(trade):
    """3/8-16 is UNC and 3/8-24 UNF (ASME B1.1)."""
    assert [thread.name for thread in trade.threads_of("3/8 UNC")] == ["3/8-16"]
    assert [thread.name for thread in trade.threads_of("3/8 UNF")] == ["3/8-24"]
    assert [thread.name for thread in trade.threads_of("3/8")] == ["3/8-16", "3/8-24"]


def test_an_inch_thread_without_a_grade_is_held_against_the_strongest_ordinary_one(trade):
    (thread,) = trade.threads_of("3/8-16")
    assert trade.strongest(thread).grade == "8"
    assert trade.strongest(trade.threads_of("M8")[0]).grade == "12.9"
    assert limit_of(trade, thread="3/8-16")


def test_stainless_steel_rubs_more(trade):
    """With no condition said, a stainless bolt is reckoned with stainless friction, which lets it bear more torque than the unknown."""
    told = limit_of(trade, thread="M8", grade="A2-70")
    assert told and "stainless" in told.how


def test_a_bearing_that_no_table_has_is_in_proportion(trade):
    (odd,) = trade.threads_of("M9x1.25")
    guess = bearing_or_guess(trade, odd)
    assert odd.diameter_mm < guess.hole_mm < guess.face_mm < 2 * odd.diameter_mm


def test_where_a_name_comes_from():
    with pytest.raises(BadInput, match="M151"):
        read_thread("M151")
