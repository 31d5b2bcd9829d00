"""Values of the trade as checks: common practice, no source (they come from a practitioner; tests only).

Each comes out plausible, ten times each comes out unlikely, and each in lbf·ft with the same figure is over, with the unit mix-up, where a
sheet says N·m. "Small cover bolts" name no size, so the test takes them as M8.
"""

from __future__ import annotations

import pytest

from gudgeon.checks import judge, read_spec
from gudgeon.domain import CompoundUsed, Entry, Judgement, ToolUsed, TorqueDone
from gudgeon.trade import Trade
from gudgeon.units import to_nm


def socket(size: float) -> ToolUsed:
    return ToolUsed(tool="socket", size=size, size_unit="mm")


FACTS = [
    ("M6 screw under a 10 mm hex with medium locker", "bracket", "screw", 10.0, {"thread": "M6", "tool": socket(10)}),
    ("small sealed cover bolts", "cover", "bolt", 13.0, {"thread": "M8", "compound": CompoundUsed(compound="sealant")}),
    ("position sensor on a 5 mm hex-key screw, low", "position sensor", "screw", 8.0, {"tool": ToolUsed(tool="hex key", size=5, size_unit="mm")}),
    ("position sensor on a 5 mm hex-key screw, high", "position sensor", "screw", 10.0, {"tool": ToolUsed(tool="hex key", size=5, size_unit="mm")}),
    ("knock sensor on a 13 mm hex bolt", "knock sensor", "bolt", 20.0, {"tool": socket(13)}),
    ("pressure sender with a 19 mm hex", "pressure sender", None, 25.0, {"tool": socket(19)}),
]
IDS = [fact[0] for fact in FACTS]
LOCKER = CompoundUsed(compound="thread locker", strength="medium")


def judged(trade: Trade, part: str, fastener: str | None, value: float, unit: str, more: dict, sheet: str = "") -> Judgement:
    entry = Entry(part=part, fastener=fastener, torques=(TorqueDone(value=value, unit=unit, nm=to_nm(value, unit)),), **{"compound": LOCKER} | more)
    return judge(entry, sheet=read_spec(["part,fastener,torque,unit", sheet]) if sheet else None, trade=trade)


@pytest.mark.parametrize(("name", "part", "fastener", "value", "more"), FACTS, ids=IDS)
def test_as_the_trade_has_it_is_plausible(name: str, part: str, fastener: str | None, value: float, more: dict, trade: Trade) -> None:
    judgement = judged(trade, part, fastener, value, "N*m", more)
    assert judgement.verdicts[0].code == "no reference"
    assert "plausible" in judgement.verdicts[0].reason
    assert "computed" in {caution.code for caution in judgement.cautions}


@pytest.mark.parametrize(("name", "part", "fastener", "value", "more"), FACTS, ids=IDS)
def test_ten_times_it_is_unlikely(name: str, part: str, fastener: str | None, value: float, more: dict, trade: Trade) -> None:
    assert judged(trade, part, fastener, 10 * value, "N*m", more).verdicts[0].code == "unlikely"


@pytest.mark.parametrize(("name", "part", "fastener", "value", "more"), FACTS, ids=IDS)
def test_the_figure_in_foot_pounds_is_over_and_a_mix_up(name: str, part: str, fastener: str | None, value: float, more: dict, trade: Trade) -> None:
    judgement = judged(trade, part, fastener, value, "lbf*ft", more, sheet=f"{part},{fastener or ''},{value:g},N*m")
    assert judgement.verdicts[0].code == "over"
    assert "unit-mix-up" in {finding.code for finding in judgement.findings}
