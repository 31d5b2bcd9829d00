"""Truth table of verdicts on torques: what the sheet asks for, what was said, what must come out."""

from __future__ import annotations

import pytest
from reached import torque

from gudgeon.checks import judge, read_spec
from gudgeon.domain import AngleDone, CompoundUsed, Entry, PastValue, ToolUsed, TorqueDone
from gudgeon.trade import Trade

HEAD = "part,fastener,torque,unit,angle_deg,stage,low,high,tolerance_percent,thread,grade"
ONE = "lid,bolt,18,N*m,,,,,,,"
TWO = ("lid,bolt,40,N*m,,1,,,,,", "lid,bolt,70,N*m,,2,,,,,")
ANGLE = "lid,bolt,40,N*m,90,,,,,,"
THREE = (*TWO, "lid,bolt,,,90,3,,,,,")

# (sheet rows, torques said, angles said, codes of the verdicts)
TABLE = [
    # rule of thumb: 4 %, and 6 % at 10 N·m and below
    ((ONE,), (torque(18.7),), (), ("within",)),
    ((ONE,), (torque(18.73),), (), ("over",)),
    ((ONE,), (torque(17.2),), (), ("under",)),
    (("lid,bolt,10,N*m,,,,,,,",), (torque(10.6),), (), ("within",)),
    (("lid,bolt,10,N*m,,,,,,,",), (torque(10.61),), (), ("over",)),
    # the row's own tolerance and range
    (("lid,bolt,20,N*m,,,,,10,,",), (torque(22),), (), ("within",)),
    (("lid,bolt,20,N*m,,,,,1,,",), (torque(20.3),), (), ("over",)),
    (("lid,bolt,,N*m,,,16,24,,,",), (torque(16),), (), ("within",)),
    (("lid,bolt,,N*m,,,16,24,,,",), (torque(24.5),), (), ("over",)),
    (("lid,bolt,,N*m,,,16,,,,",), (torque(200),), (), ("within",)),
    (("lid,bolt,,N*m,,,,24,,,",), (torque(3),), (), ("within",)),
    # other units on either side
    ((ONE,), (torque(13.3, "lbf*ft"),), (), ("within",)),
    ((ONE,), (torque(160, "lbf*in"),), (), ("within",)),
    (("lid,bolt,13.3,lbf*ft,,,,,,,",), (torque(18),), (), ("within",)),
    (("lid,bolt,1.84,kgf*m,,,,,,,",), (torque(18),), (), ("within",)),
    # no unit, no number of it
    ((ONE,), (torque(18, None),), (), ("unit not said",)),
    # stages
    (TWO, (torque(40, stage=1), torque(70, stage=2)), (), ("within", "within")),
    (TWO, (torque(70, stage=1),), (), ("over",)),
    (TWO, (torque(40, stage=2),), (), ("under",)),
    (TWO, (torque(40), torque(70)), (), ("within", "within")),
    (TWO, (torque(70),), (), ("within",)),
    (TWO, (torque(40),), (), ("within",)),
    (TWO, (torque(55),), (), ("no reference",)),
    (TWO, (torque(90),), (), ("over",)),
    (TWO, (torque(70, stage=3),), (), ("no reference",)),
    # passes said, the sheet has the final value alone
    ((ONE,), (torque(9, stage=1),), (), ("no reference",)),
    ((ONE,), (torque(9, stage=1), torque(18, stage=2)), (), ("no reference", "within")),
    ((ONE,), (torque(9, stage=1), torque(14, stage=2)), (), ("no reference", "under")),
    ((ONE,), (torque(25, stage=1),), (), ("over",)),
    # done again: the last value stands; one that was too much is still told
    ((ONE,), (torque(12), torque(18)), (), ("no reference", "within")),
    ((ONE,), (torque(60), torque(18)), (), ("over", "within")),
    # torque with a turn
    ((ANGLE,), (torque(40, angle_deg=90),), (), ("within",)),
    ((ANGLE,), (torque(40, angle_deg=60),), (), ("under",)),
    ((ANGLE,), (torque(40, angle_deg=120),), (), ("over",)),
    ((ANGLE,), (torque(40),), (AngleDone(angle_deg=90),), ("within",)),
    ((ANGLE,), (torque(40),), (AngleDone(angle_deg=45),), ("under",)),
    ((ANGLE,), (torque(40),), (), ("within",)),
    ((ANGLE,), (torque(50, angle_deg=90),), (), ("over",)),
    (THREE, (torque(40, stage=1), torque(70, stage=2)), (AngleDone(angle_deg=90, stage=3),), ("within", "within", "within")),
    (THREE, (torque(40, stage=1), torque(70, stage=2)), (AngleDone(angle_deg=60),), ("within", "within", "under")),
    # what the bolt bears comes before the sheet, a guess never does
    (("lid,bolt,18,N*m,,,,,,M8x1.25,8.8",), (torque(60),), (), ("unlikely",)),
    (("lid,bolt,60,N*m,,,,,,M8x1.25,8.8",), (torque(60),), (), ("unlikely",)),
    (("lid,bolt,90,N*m,,,,,,M8x1.25,",), (torque(90),), (), ("within",)),
    (("lid,bolt,90,N*m,,,,,,M8x1.25,",), (torque(110),), (), ("unlikely",)),
    ((ONE,), (torque(20_000),), (), ("unlikely",)),
    # nothing to hold it against
    (("cover,bolt,18,N*m,,,,,,,",), (torque(18),), (), ("no reference",)),
    (("lid,bolt,,,,,,,,M8,8.8",), (torque(18),), (), ("no reference",)),
]


@pytest.mark.parametrize(("rows", "torques", "angles", "codes"), TABLE)
def test_verdicts(
    rows: tuple[str, ...], torques: tuple[TorqueDone, ...], angles: tuple[AngleDone, ...], codes: tuple[str, ...], trade: Trade
) -> None:
    sheet = read_spec([HEAD, *rows])
    assert not sheet.refused
    judgement = judge(Entry(part="lid", fastener="bolt", torques=torques, angles=angles), sheet=sheet, trade=trade)
    assert tuple(verdict.code for verdict in judgement.verdicts) == codes, [verdict.reason for verdict in judgement.verdicts]


def test_the_rule_of_thumb_says_that_it_is_one(trade: Trade) -> None:
    judgement = judge(Entry(part="lid", fastener="bolt", torques=(torque(18),)), sheet=read_spec([HEAD, ONE]), trade=trade)
    assert "rule of thumb" in judgement.verdicts[0].reason


def test_the_sheets_own_tolerance_does_not(trade: Trade) -> None:
    sheet = read_spec([HEAD, "lid,bolt,18,N*m,,,,,5,,"])
    judgement = judge(Entry(part="lid", fastener="bolt", torques=(torque(18),)), sheet=sheet, trade=trade)
    assert "rule of thumb" not in judgement.verdicts[0].reason


def test_without_a_sheet_nothing_is_within(trade: Trade) -> None:
    judgement = judge(Entry(part="lid", fastener="bolt", thread="M8x1.25", grade="8.8", torques=(torque(20),)), sheet=None, trade=trade)
    assert judgement.verdicts[0].code == "no reference"
    assert "plausible" in judgement.verdicts[0].reason


def test_a_guess_from_the_wrench_never_overrules_the_sheet(trade: Trade) -> None:
    from gudgeon.domain import ToolUsed

    sheet = read_spec([HEAD, "lid,bolt,90,N*m,,,,,,,"])
    entry = Entry(part="lid", fastener="bolt", torques=(torque(90),), tool=ToolUsed(tool="socket", size=10, size_unit="mm"))
    assert judge(entry, sheet=sheet, trade=trade).verdicts[0].code == "within"
    assert judge(entry, sheet=None, trade=trade).verdicts[0].code == "unlikely"


@pytest.mark.parametrize(
    ("material", "engagement", "code"), [("aluminium", "6", "unlikely"), ("aluminium", "20", "no reference"), ("steel", "", "no reference")]
)
def test_soft_material_lowers_the_limit(material: str, engagement: str, code: str, trade: Trade) -> None:
    sheet = read_spec(["part,fastener,thread,grade,material,engagement_mm", f"lid,bolt,M8x1.25,10.9,{material},{engagement}"])
    judgement = judge(Entry(part="lid", fastener="bolt", torques=(torque(35),)), sheet=sheet, trade=trade)
    assert judgement.verdicts[0].code == code, judgement.verdicts[0].reason


@pytest.mark.parametrize(
    ("value", "unit", "code"),
    [
        (0.3, "mm", "within"),
        (12, "thou", "within"),
        (0.012, "in", "within"),
        (300, "um", "within"),
        (0.27, "mm", "under"),
        (14, "thou", "over"),
        (3, "bar", "no reference"),
    ],
)
def test_measured_sizes_in_any_unit(value: float, unit: str, code: str, trade: Trade) -> None:
    from gudgeon.domain import SizeMeasured

    sheet = read_spec(["part,place,quantity,min,max,unit", "inlet valve,,gap,0.28,0.33,mm"])
    entry = Entry(part="inlet valve", place="number 2", measures=(SizeMeasured(quantity="gap", value=value, unit=unit),))
    judgement = judge(entry, sheet=sheet, trade=trade)
    assert (judgement.verdicts[0].code, judgement.verdicts[0].measure) == (code, 0)


def test_exhaust_sizes_are_not_judged_by_inlet_rows(trade: Trade) -> None:
    from gudgeon.domain import SizeMeasured

    sheet = read_spec(["part,place,quantity,min,max,unit", "inlet valve,,gap,0.28,0.33,mm"])
    entry = Entry(part="exhaust valve", measures=(SizeMeasured(quantity="gap", value=0.4, unit="mm"),))
    assert judge(entry, sheet=sheet, trade=trade).verdicts[0].code == "no reference"


def test_judging_changes_nothing(trade: Trade) -> None:
    entry = Entry(part="lid", fastener="bolt", torques=(torque(25),))
    assert judge(entry, sheet=read_spec([HEAD, ONE]), trade=trade) == judge(entry, sheet=read_spec([HEAD, ONE]), trade=trade)
    assert entry == Entry(part="lid", fastener="bolt", torques=(torque(25),))


@pytest.mark.parametrize(
    ("low", "high", "code"),
    [(17.5, 18.5, "within"), (15, 18, "under"), (18, 21, "over"), (10, 30, "over"), (10, 12, "under")],
)
def test_a_range_that_was_said_is_judged_by_its_ends(low: float, high: float, code: str, trade: Trade) -> None:
    said = torque((low + high) / 2, low=low, high=high)
    judgement = judge(Entry(part="lid", fastener="bolt", torques=(said,)), sheet=read_spec([HEAD, ONE]), trade=trade)
    assert judgement.verdicts[0].code == code


def test_the_sheets_pitch_is_taken_for_a_size_that_was_said(trade: Trade) -> None:
    sheet = read_spec([HEAD, "lid,bolt,,,,,,,,M8x1.25,8.8"])
    exact = judge(Entry(part="lid", fastener="bolt", thread="M8", torques=(torque(39),)), sheet=sheet, trade=trade)
    unknown = judge(Entry(part="lid", fastener="bolt", thread="M8", grade="8.8", torques=(torque(39),)), sheet=None, trade=trade)
    assert exact.verdicts[0].code == "unlikely"
    assert unknown.verdicts[0].code == "no reference", "a fine thread could bear it"


def test_stainless_without_its_class_is_taken_as_the_strongest_of_them(trade: Trade) -> None:
    def code(nm: float, grade: str | None) -> str:
        return judge(Entry(part="lid", thread="M8x1.25", grade=grade, torques=(torque(nm),)), sheet=None, trade=trade).verdicts[0].code

    assert [code(65, None), code(65, "A2"), code(30, "A2")] == ["no reference", "unlikely", "no reference"]


def test_another_reading_that_would_be_right_is_named(trade: Trade) -> None:
    from gudgeon.domain import OtherReading

    said = torque(80, heard=(OtherReading(18, "N*m", 0.4),))
    judgement = judge(Entry(part="lid", fastener="bolt", torques=(said,)), sheet=read_spec([HEAD, ONE]), trade=trade)
    reason = next(f.reason for f in judgement.findings if f.code == "heard-unsurely")
    assert "18 N·m would be what the sheet asks for" in reason


def test_a_guess_from_the_wrench_never_overrules_an_earlier_session(trade: Trade) -> None:
    from gudgeon.domain import PastValue, ToolUsed

    entry = Entry(part="lid", fastener="bolt", torques=(torque(90),), tool=ToolUsed(tool="socket", size=10, size_unit="mm"))
    same = PastValue(session=1, date="2026-02-01", part="lid", place=None, fastener="bolt", stage=None, value=90, unit="N*m", nm=90)
    other = PastValue(session=1, date="2026-02-01", part="lid", place=None, fastener="bolt", stage=None, value=9, unit="N*m", nm=9)
    codes = [judge(entry, sheet=None, past=past, trade=trade).verdicts[0].code for past in ((), (same,), (other,))]
    assert codes == ["unlikely", "no reference", "unlikely"]


@pytest.mark.parametrize(("asked", "found"), [("", True), ("blue thread locker", True), ("red thread locker", False)])
def test_strong_locker_is_no_fault_where_the_sheet_asks_for_it(asked: str, found: bool, trade: Trade) -> None:
    from gudgeon.domain import CompoundUsed

    sheet = read_spec(["part,fastener,torque,unit,thread,compound", f"lid,bolt,9,N*m,M6,{asked}"])
    red = CompoundUsed(compound="thread locker", strength="high")
    judgement = judge(Entry(part="lid", fastener="bolt", torques=(torque(9),), compound=red), sheet=sheet, trade=trade)
    assert ("locker-too-strong" in {f.code for f in judgement.findings}) == found


def test_what_the_sheet_asks_for_is_no_finding(trade: Trade) -> None:
    head = "part,fastener,torque,unit,condition,compound,tool"
    done = Entry(part="lid", fastener="bolt", torques=(torque(20),), compound=CompoundUsed(compound="anti-seize"))
    codes = [
        [f.code for f in judge(done, sheet=read_spec((head, f"lid,bolt,20,N*m,dry,{asked},")), trade=trade).findings] for asked in ("anti-seize", "")
    ]
    assert codes == [[], ["lubricated-dry"]]


@pytest.mark.parametrize(("tool", "codes"), [("socket", ["tool-differs"]), ("crowfoot", ["adapter"])])
def test_the_reach_of_a_crowfoot_is_no_size(tool: str, codes: list[str], trade: Trade) -> None:
    sheet = read_spec(("part,fastener,torque,unit,tool", "lid,bolt,20,N*m,13 mm socket"))
    done = Entry(part="lid", fastener="bolt", torques=(torque(20),), tool=ToolUsed(tool=tool, size=50, size_unit="mm"))
    assert [f.code for f in judge(done, sheet=sheet, trade=trade).findings] == codes


@pytest.mark.parametrize(
    ("now", "before", "value_before", "reason"),
    [
        (4, 4, 20, None),
        (4, 8, 20, None),
        (2, 4, 20, "2 of 8 were said to be done, and 4 in an earlier session: 2 still to do, or not said."),
        (4, 4, 25, "4 of 8 were said to be done: 4 still to do, or not said."),
        (4, None, 20, "4 of 8 were said to be done: 4 still to do, or not said."),
    ],
)
def test_fasteners_done_in_an_earlier_session_are_not_still_to_do(
    now: int, before: int | None, value_before: float, reason: str | None, trade: Trade
) -> None:
    sheet = read_spec(("part,fastener,count,torque,unit", "lid,bolt,8,20,N*m"))
    joint = {"part": "lid", "place": None, "fastener": "bolt", "stage": None, "unit": "N*m"}
    past = (PastValue(session=1, date="2026-02-28", value=value_before, nm=value_before, count=before, **joint),)
    found = judge(Entry(part="lid", fastener="bolt", count=now, torques=(torque(20),)), sheet=sheet, past=past, trade=trade).findings
    assert [f.reason for f in found if f.code == "count-short"] == ([reason] if reason else [])


@pytest.mark.parametrize(("part", "stage", "skipped"), [("lid", 1, 0), ("lid", 2, 1), ("cover", 1, 1), ("lid", None, 1)])
def test_a_stage_done_anew_skips_none_that_an_earlier_session_put_on(part: str, stage: int | None, skipped: int, trade: Trade) -> None:
    sheet = read_spec((HEAD, *TWO))
    past = (PastValue(session=1, date="2026-02-28", part=part, place=None, fastener="bolt", stage=stage, value=40, unit="N*m", nm=40),)
    again = Entry(part="lid", fastener="bolt", torques=(torque(70, stage=2),))
    found = judge(again, sheet=sheet, past=past, trade=trade).findings
    assert [f.code for f in found].count("stage-skipped") == skipped
