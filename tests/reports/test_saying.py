"""How values are written."""

from datetime import UTC, datetime, timedelta, timezone

import pytest

import gudgeon.reports.saying as saying
from gudgeon.domain import CompoundUsed, Entry, SizeMeasured, ToolUsed, TorqueDone


@pytest.mark.parametrize(
    ("value", "said"),
    [
        (TorqueDone(value=18.0, unit="N*m", nm=18.0), "18 N·m"),
        (TorqueDone(value=18.5, unit="N*m", nm=18.5), "18.5 N·m"),
        (TorqueDone(value=125.0, unit="lbf*in", nm=14.123), "125 lb·in (14.1 N·m)"),
        (TorqueDone(value=90.0, unit="lbf*ft", nm=122.02), "90 lb·ft (122 N·m)"),
        (TorqueDone(value=9.0, unit="N*m", nm=9.0, low=8.0, high=10.0), "8 to 10 N·m"),
        (TorqueDone(value=40.0, unit=None, nm=None), "40 (no unit said)"),
        (TorqueDone(value=40.0, unit="N*m", nm=40.0, stage=2, angle_deg=90.0, hedged=True), "stage 2: 40 N·m + 90°, a guess"),
    ],
)
def test_torques(value, said):
    assert saying.torque(value) == said


@pytest.mark.parametrize(("value", "said"), [(18.0, "18"), (0.045, "0.045"), (120.0, "120"), (-0.0, "0"), (1e-7, "0"), (1234567.0, "1.235e+06")])
def test_numbers(value, said):
    assert saying.number(value) == said


@pytest.mark.parametrize(
    ("value", "said"),
    [
        (ToolUsed(tool="socket", size=12.0, size_unit="mm"), "12 mm socket"),
        (ToolUsed(tool="wrench", size=0.4375, size_unit="in"), "7/16 in wrench"),
        (ToolUsed(tool="wrench", size=1.125, size_unit="in"), "1 1/8 in wrench"),
        (ToolUsed(tool="wrench", size=0.4, size_unit="in"), "0.4 in wrench"),
        (ToolUsed(tool="hexalobular", size=30.0, size_unit="T"), "T30 hexalobular"),
        (ToolUsed(tool="mallet"), "mallet"),
    ],
)
def test_tools(value, said):
    assert saying.tool(value) == said


@pytest.mark.parametrize(
    ("entry", "said"),
    [
        (Entry(fastener="bolt", count=8, thread="M8", length_mm=25.0, grade="8.8"), "8 bolts M8 x 25 mm, grade 8.8"),
        (Entry(fastener="bolt", count=1), "1 bolt"),
        (Entry(fastener="washer"), "washer"),
        (Entry(count=2), "2 fasteners"),
        (Entry(thread="M8"), "fastener M8"),
        (Entry(part="lid"), ""),
    ],
)
def test_fasteners(entry, said):
    assert saying.fasteners(entry) == said


def test_sizes_and_compounds():
    assert saying.size(SizeMeasured(quantity="end float", value=0.12, unit="mm")) == "end float 0.12 mm"
    assert saying.size(SizeMeasured(quantity=None, value=45.0, unit="deg")) == "size 45°"
    assert saying.compound(CompoundUsed(compound="thread locker", strength="high")) == "thread locker, high strength"


@pytest.mark.parametrize(("seconds", "said"), [(None, ""), (0.0, "0:00"), (67.9, "1:07"), (3661.0, "1:01:01")])
def test_clock(seconds, said):
    assert saying.clock(seconds) == said


@pytest.mark.parametrize(("seconds", "said"), [(9.0, "9 s"), (124.0, "2 min 4 s"), (7260.0, "2 h 1 min")])
def test_length(seconds, said):
    assert saying.length(seconds) == said


def test_days_are_told_in_the_owners_zone():
    assert saying.day(datetime(2026, 5, 4, 22, 30, tzinfo=UTC), timezone(timedelta(hours=2))) == "5 May 2026, 00:30"
