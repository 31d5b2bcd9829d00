"""Measured sizes against limits with one end or two rows, and stages that a sheet has not."""

from __future__ import annotations

import pytest
from reached import torque

from gudgeon.checks import judge, read_spec
from gudgeon.domain import Entry, SizeMeasured, Verdict
from gudgeon.trade import Trade

SIZES = "part,quantity,min,max,unit"
TORQUES = "part,fastener,torque,unit,angle_deg,stage"


def of_size(trade: Trade, rows: list[str], value: float, unit: str = "mm") -> Verdict:
    entry = Entry(part="shaft", measures=(SizeMeasured(quantity="end float", value=value, unit=unit),))
    (verdict,) = judge(entry, sheet=read_spec([SIZES, *rows]), past=(), trade=trade).verdicts
    return verdict


@pytest.mark.parametrize(
    ("row", "value", "code", "allowed"),
    [
        ("shaft,end float,,0.2,mm", 0.2, "within", "at most 0.2 mm"),
        ("shaft,end float,,0.2,mm", 0.21, "over", "at most 0.2 mm"),
        ("shaft,end float,0.1,,mm", 0.1, "within", "at least 0.1 mm"),
        ("shaft,end float,0.1,,mm", 0.09, "under", "at least 0.1 mm"),
        ("shaft,end float,0.1,0.2,mm", 0.15, "within", "0.1 to 0.2 mm"),
    ],
)
def test_limits_with_one_end(trade: Trade, row: str, value: float, code: str, allowed: str) -> None:
    verdict = of_size(trade, [row], value)
    assert verdict.code == code and allowed in verdict.reference


def test_a_size_in_another_unit_is_converted_and_the_sum_is_told(trade: Trade) -> None:
    """Four thousandths of an inch are 0.1016 mm (1 in = 25.4 mm, exact)."""
    verdict = of_size(trade, ["shaft,end float,0.1,0.2,mm"], 4, "thou")
    assert verdict.code == "within" and "0.1016 mm" in verdict.sum


def test_two_rows_that_differ_decide_nothing(trade: Trade) -> None:
    verdict = of_size(trade, ["shaft,end float,0.1,0.2,mm", "shaft,end float,0.3,0.4,mm"], 0.15)
    assert verdict.code == "no reference" and "lines 2, 3" in verdict.reason


def test_two_rows_that_agree_are_one(trade: Trade) -> None:
    assert of_size(trade, ["shaft,end float,0.1,0.2,mm", "shaft,end float,0.1,0.2,mm"], 0.15).code == "within"


@pytest.mark.parametrize(
    ("rows", "stage", "code"),
    [
        (["lid,bolt,40,N*m,,1"], 1, "within"),
        (["lid,bolt,40,N*m,,1"], 2, "no reference"),
        (["lid,bolt,40,N*m,,", "lid,bolt,,,90,2"], 1, "within"),
        (["lid,bolt,40,N*m,,", "lid,bolt,,,90,2"], 3, "no reference"),
    ],
)
def test_a_stage_the_sheet_has_not_is_held_against_nothing(trade: Trade, rows: list[str], stage: int, code: str) -> None:
    entry = Entry(part="lid", fastener="bolt", torques=(torque(40, stage=stage),))
    assert judge(entry, sheet=read_spec([TORQUES, *rows]), past=(), trade=trade).verdicts[0].code == code
