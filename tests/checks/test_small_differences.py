"""Cases that differ in one thing only: a range that was said, a turn said apart, a plain socket beside a crowfoot, a unit mixed up with no sheet,
an earlier value without a unit, a compound's spelling, a sheet that wants none."""

from __future__ import annotations

import pytest
from reached import torque

from gudgeon.checks import judge, read_spec
from gudgeon.checks.words import figure
from gudgeon.domain import AngleDone, CompoundUsed, Entry, PastValue, ToolUsed
from gudgeon.trade import Trade

HEAD = "part,fastener,torque,unit,angle_deg,stage"
LID = read_spec([HEAD, "lid,bolt,18,N*m,,"])
TURNED = read_spec([HEAD, "lid,bolt,40,N*m,90,1"])


@pytest.mark.parametrize(
    ("low", "high", "code"), [(17.5, 18.5, "within"), (17.5, 19.0, "over"), (16.0, 18.5, "under"), (None, 30.0, "within"), (10.0, None, "within")]
)
def test_a_range_that_was_said_is_held_by_its_ends(trade: Trade, low: float | None, high: float | None, code: str) -> None:
    entry = Entry(part="lid", fastener="bolt", torques=(torque(18, low=low, high=high),))
    assert judge(entry, sheet=LID, past=(), trade=trade).verdicts[0].code == code


@pytest.mark.parametrize(
    ("angles", "code", "missing"),
    [
        ((AngleDone(angle_deg=90),), "within", False),
        ((AngleDone(angle_deg=90, stage=1),), "within", False),
        ((AngleDone(angle_deg=60),), "under", False),
        ((), "within", True),
    ],
)
def test_a_turn_said_apart_belongs_to_the_torque(trade: Trade, angles: tuple[AngleDone, ...], code: str, missing: bool) -> None:
    entry = Entry(part="lid", fastener="bolt", torques=(torque(40, stage=1),), angles=angles)
    told = judge(entry, sheet=TURNED, past=(), trade=trade)
    assert code in [verdict.code for verdict in told.verdicts]
    assert ("angle-missing" in [finding.code for finding in told.findings]) == missing


@pytest.mark.parametrize(("tool", "code"), [("socket", None), ("wrench", None), ("crowfoot", "adapter"), ("extension", "extension")])
def test_only_what_makes_the_wrench_longer_is_an_adapter(trade: Trade, tool: str, code: str | None) -> None:
    entry = Entry(part="lid", fastener="bolt", torques=(torque(18),), tool=ToolUsed(tool=tool, size=13.0, size_unit="mm"))
    codes = {finding.code for finding in judge(entry, sheet=LID, past=(), trade=trade).findings}
    assert codes & {"adapter", "extension"} == ({code} if code else set())


def test_an_adapter_without_a_torque_needs_no_setting(trade: Trade) -> None:
    entry = Entry(part="lid", fastener="bolt", tool=ToolUsed(tool="crowfoot"))
    assert "adapter" not in {finding.code for finding in judge(entry, sheet=LID, past=(), trade=trade).findings}


def test_a_unit_mixed_up_is_told_without_a_sheet_too(trade: Trade) -> None:
    """90 N·m breaks any M6 bolt; 90 lb·in (10.2 N·m) is its usual torque."""
    entry = Entry(part="lid", fastener="bolt", thread="M6", grade="8.8", torques=(torque(90),))
    told = judge(entry, sheet=None, past=(), trade=trade)
    assert told.verdicts[0].code == "unlikely"
    assert "unit-mix-up" in {finding.code for finding in told.findings}


@pytest.mark.parametrize(
    ("now", "before", "clashes"),
    [
        ((18.0, "N*m"), (18.0, "N*m"), False),
        ((18.0, "N*m"), (18.1, "N*m"), False),  # within 1 %
        ((18.0, "N*m"), (18.3, "N*m"), True),
        ((18.3, "N*m"), (18.0, "N*m"), True),
        ((40.0, "lbf*ft"), (54.2, "N*m"), False),  # the same, rounded
        ((40.0, "lbf*ft"), (40.0, "N*m"), True),
        ((18.0, None), (18.0, None), False),
        ((18.0, None), (20.0, None), True),
        ((18.0, None), (20.0, "N*m"), False),  # a figure alone is held against no unit
        ((18.0, "N*m"), (20.0, None), False),
    ],
)
def test_an_earlier_value_clashes(trade: Trade, now: tuple[float, str | None], before: tuple[float, str | None], clashes: bool) -> None:
    entry = Entry(part="lid", fastener="bolt", torques=(torque(*now),))
    told = torque(*before)
    past = PastValue(session=4, date="2026-03-01", part="lid", place=None, fastener="bolt", stage=None, value=told.value, unit=told.unit, nm=told.nm)
    for earlier in ((past,), [past]):
        found = [finding for finding in judge(entry, sheet=None, past=earlier, trade=trade).findings if finding.code == "clash"]
        assert len(found) == clashes
        assert all("in session 4 of 2026-03-01" in finding.reason for finding in found)


@pytest.mark.parametrize(
    ("asked", "used", "code"),
    [
        ("anti-seize", "anti-seize", None),
        ("anti seize", "anti-seize", None),
        ("copper anti-seize", "anti-seize", None),
        ("anti-seize", "grease", "compound-differs"),
        ("anti-seize", None, "compound-not-said"),
        ("medium thread locker", "thread locker", None),
        ("thread locker", "grease", "compound-differs"),
        ("none", None, None),
        ("no", None, None),
        ("dry", None, None),
        ("none", "thread locker", None),
        ("none", "oil", "lubricated-dry"),
        ("dry", "grease", "lubricated-dry"),
        ("", "grease", None),
    ],
)
def test_a_compound_is_held_against_the_sheets(trade: Trade, asked: str, used: str | None, code: str | None) -> None:
    sheet = read_spec(["part,fastener,torque,unit,compound", f"lid,bolt,18,N*m,{asked}"])
    entry = Entry(part="lid", fastener="bolt", torques=(torque(18),), compound=CompoundUsed(compound=used) if used else None)
    found = {finding.code for finding in judge(entry, sheet=sheet, past=(), trade=trade).findings}
    assert found & {"compound-differs", "compound-not-said", "lubricated-dry"} == ({code} if code else set())


@pytest.mark.parametrize(
    ("value", "told"), [(18.0, "18"), (17.28, "17.28"), (1234.5, "1234"), (9999.0, "9999"), (12345.6, "12346"), (0.125, "0.125")]
)
def test_figures_of_any_size_are_written_out(value: float, told: str) -> None:
    """No power of ten in a reason."""
    assert figure(value) == told
