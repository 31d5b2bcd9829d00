"""The owner's wrenches: the tools file, and what they tell of a value."""

from __future__ import annotations

from datetime import date

import pytest
from reached import TODAY, WRENCHES, torque

from gudgeon.checks import WRENCH_COLUMNS, judge, read_wrenches
from gudgeon.domain import BadTable, Entry, SizeMeasured, ToolUsed
from gudgeon.trade import Trade, Wrench

HEAD = ",".join(WRENCH_COLUMNS)


def test_a_wrench_is_read() -> None:
    found = read_wrenches([HEAD, "the long one,40,200,Nm,500,2025-11-02,II A"])
    wanted = Wrench(name="the long one", low=40, high=200, unit="N*m", length_mm=500, calibrated=date(2025, 11, 2), tool_class="II A")
    assert found.wrenches == (wanted,)
    assert found.refused == ()


@pytest.mark.parametrize(
    ("row", "reason"),
    [
        (",40,200,Nm,500,2025-11-02,", "names no wrench"),
        ("a,200,40,Nm,500,2025-11-02,", "upside down"),
        ("a,40,200,,500,2025-11-02,", "has no unit"),
        ("a,40,,Nm,500,2025-11-02,", "has no high"),
        ("a,40,200,mm,500,2025-11-02,", "no unit of torque"),
        ("a,-4,200,Nm,500,2025-11-02,", "negative"),
        ("a,40,2000000,Nm,,,", "absurdly large"),
        ("a,40,200,Nm,5,2025-11-02,", "no wrench's"),
        ("a,40,200,Nm,long,2025-11-02,", "no length"),
        ("a,40,200,Nm,500,last spring,", "no date"),
        ("a,40,200,Nm,500,2025-02-30,", "no date"),
        ("the long one,5,25,Nm,,,", "a second time"),
    ],
)
def test_bad_rows_are_refused_by_line(row: str, reason: str) -> None:
    found = read_wrenches([HEAD, "the long one,40,200,Nm,500,2025-11-02,", row, "small,5,25,Nm,,,"])
    assert reason in dict(found.refused)[3]
    assert [w.name for w in found.wrenches] == ["the long one", "small"]


@pytest.mark.parametrize(("length", "mm"), [("500", 500), ("50 cm", 500), ("20 in", 508), ("20 inch", 508), ("", None)])
def test_lengths_in_any_unit(length: str, mm: float | None) -> None:
    wrench = read_wrenches(["name;low;high;unit;length", f"a;40;200;Nm;{length}"]).wrenches[0]
    assert wrench.length_mm == (pytest.approx(mm) if mm else None)


@pytest.mark.parametrize("lines", [[], ["a,40,200,Nm"], ["name,low"]])
def test_no_header_is_a_plain_error(lines: list[str]) -> None:
    with pytest.raises(BadTable, match="no header row"):
        read_wrenches(lines)


def codes(trade: Trade, entry: Entry, today: date | None = TODAY) -> dict[str, str]:
    judgement = judge(entry, sheet=None, trade=trade, wrenches=WRENCHES, today=today)
    return {f.code: f"{f.reason} {f.sum}" for f in judgement.findings}


@pytest.mark.parametrize(
    ("value", "unit", "found"),
    [
        (18, "N*m", set()),
        (3, "N*m", {"wrench-range"}),
        (30, "N*m", {"wrench-range"}),
        (250, "N*m", {"wrench-range"}),
        (170, "N*m", {"calibration-overdue"}),
        (100, "lbf*ft", {"calibration-overdue"}),
        (18, None, set()),
    ],
)
def test_range_and_age(value: float, unit: str | None, found: set[str], trade: Trade) -> None:
    got = codes(trade, Entry(part="lid", fastener="bolt", torques=(torque(value, unit),)))
    assert set(got) & {"wrench-range", "calibration-overdue"} == found


def test_age_is_not_judged_without_a_clock(trade: Trade) -> None:
    assert "calibration-overdue" not in codes(trade, Entry(part="lid", torques=(torque(170),)), today=None)


@pytest.mark.parametrize("quantity", ["reach", "length", "offset"])
def test_a_reach_that_was_said_gives_the_setting(quantity: str, trade: Trade) -> None:
    """100 N·m with L 500 mm and E 150 mm: 100·500/650 = 76.9."""
    reach = (SizeMeasured(quantity=quantity, value=150, unit="mm"),)
    got = codes(trade, Entry(part="hub", fastener="nut", torques=(torque(100),), tool=ToolUsed(tool="adapter"), measures=reach))
    assert "set 76.9 N·m" in got["adapter"]


def test_without_a_wrench_the_formula_stands_alone(trade: Trade) -> None:
    entry = Entry(part="hub", fastener="nut", torques=(torque(100),), tool=ToolUsed(tool="crowfoot"))
    findings = judge(entry, sheet=None, trade=trade).findings
    assert "measure L" in next(f.sum for f in findings if f.code == "adapter")
