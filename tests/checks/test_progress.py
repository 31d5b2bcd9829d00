"""Progress through the sheet: counts over several entries, stages skipped, values outside, values never said."""

from __future__ import annotations

from reached import torque

from gudgeon.checks import JointProgress, Tally, progress, read_spec
from gudgeon.domain import AngleDone, Entry, SizeMeasured, TorqueDone
from gudgeon.entries import joint_key
from gudgeon.trade import Trade

SHEET = read_spec(
    [
        "part,place,fastener,count,torque,unit,angle_deg,stage",
        "lid,,bolt,10,18,N*m,,",
        "head,,nut,8,40,N*m,,1",
        "head,,nut,8,70,N*m,,2",
        "head,,nut,8,,,90,3",
        "wheel,left,nut,5,90,N*m,,",
        "wheel,right,nut,5,95,N*m,,",
        "part,place,quantity,min,max,unit",
        "inlet valve,,gap,0.28,0.33,mm",
    ]
)


def done(part: str, fastener: str, *torques: TorqueDone, **more: object) -> Entry:
    return Entry(part=part, fastener=fastener, torques=torques, **more)  # type: ignore[arg-type]


def joint(name: str, trade: Trade, *entries: Entry) -> JointProgress:
    return next(j for j in progress(entries, SHEET, trade=trade).joints if j.name == name)


def test_nothing_said_nothing_started(trade: Trade) -> None:
    found = progress([], SHEET, trade=trade)
    assert (found.done, found.total) == (0, 5)
    assert {j.state for j in found.joints} == {"not started"}
    assert joint("lid bolt", trade).never_said == ("18 N·m",)
    assert found.sizes[0].verdict is None


def test_counts_of_several_entries_add_up(trade: Trade) -> None:
    seven, three = done("lid", "bolt", torque(18), count=7), done("lid", "bolt", torque(18), count=3)
    half, full = joint("lid bolt", trade, seven), joint("lid bolt", trade, seven, three)
    assert (half.state, half.stages[0].counted, half.stages[0].expected) == ("part done", 7, 10)
    assert (full.state, full.stages[0].counted) == ("done", 10)


def test_more_than_all_is_all(trade: Trade) -> None:
    assert joint("lid bolt", trade, *[done("lid", "bolt", torque(18), count=7)] * 3).stages[0].counted == 10


def test_all_done_was_said(trade: Trade) -> None:
    assert joint("lid bolt", trade, done("lid", "bolt", torque(18), complete=True)).state == "done"


def test_a_count_that_was_not_said_is_not_made_up(trade: Trade) -> None:
    found = joint("lid bolt", trade, done("lid", "bolt", torque(18)))
    assert (found.state, found.stages[0].counted) == ("part done", None)


def test_stages_skipped_and_never_said(trade: Trade) -> None:
    found = joint("head nut", trade, done("head", "nut", torque(70, stage=2), count=8))
    assert found.skipped == ("stage 1: 40 N·m",)
    assert found.never_said == ("40 N·m", "90°")
    assert found.state == "part done"


def test_all_stages_done(trade: Trade) -> None:
    entry = done("head", "nut", torque(40, stage=1), torque(70, stage=2), angles=(AngleDone(angle_deg=90),), count=8)
    assert joint("head nut", trade, entry).state == "done"


def test_a_value_outside_is_named_until_it_is_put_right(trade: Trade) -> None:
    wrong, right = done("lid", "bolt", torque(25), count=10), done("lid", "bolt", torque(18), count=10)
    assert joint("lid bolt", trade, wrong).state == "outside"
    assert joint("lid bolt", trade, wrong).outside == ("25 N·m is over 18 N·m",)
    assert joint("lid bolt", trade, wrong, right).state == "done"


def test_a_value_without_a_unit_does_nothing_but_is_told(trade: Trade) -> None:
    found = joint("lid bolt", trade, done("lid", "bolt", torque(18, None), count=10))
    assert found.state == "not started"
    assert "without its unit" in found.outside[0]


def test_left_does_nothing_for_right(trade: Trade) -> None:
    left = done("wheel", "nut", torque(90), place="left", count=5)
    assert joint("left wheel nut", trade, left).state == "done"
    assert joint("right wheel nut", trade, left).state == "not started"


def test_sizes_are_counted_too(trade: Trade) -> None:
    entry = Entry(part="inlet valve", measures=(SizeMeasured(quantity="gap", value=12, unit="thou"),))
    found = progress([entry], SHEET, trade=trade)
    assert (found.sizes[0].values, found.sizes[0].verdict, found.done) == (("gap 12 thou",), "within", 1)


def test_a_size_outside_is_not_done_until_one_within_is_said(trade: Trade) -> None:
    wide, right = (Entry(part="inlet valve", measures=(SizeMeasured(quantity="gap", value=value, unit="thou"),)) for value in (40, 12))
    found = progress([wide], SHEET, trade=trade)
    assert (found.sizes[0].verdict, found.done) == ("over", 0)
    assert progress([wide, right], SHEET, trade=trade).done == 1
    assert progress([right, wide], SHEET, trade=trade).done == 0, "the last one counts"


def test_an_overruled_match_counts_where_the_owner_says(trade: Trade) -> None:
    entry = done("side cover", "bolt", torque(18), count=10)
    learnt = {joint_key("side cover", None, "bolt"): joint_key("lid", None, "bolt")}
    assert progress([entry], SHEET, trade=trade).done == 0
    assert progress([entry], SHEET, trade=trade, learnt=learnt).done == 1


def test_a_joint_that_asks_for_nothing_is_not_counted(trade: Trade) -> None:
    sheet = read_spec(["part,fastener,count,torque,unit,thread", "lid,bolt,8,18,N*m,M8", "tray,bolt,4,,,M6"])
    assert progress([], sheet, trade=trade).total == 1


def test_values_of_a_row_keep_their_verdict_and_entry(trade: Trade) -> None:
    tally = Tally(SHEET, trade=trade)
    for entry in (done("lid", "bolt", torque(18)), done("head", "nut", torque(40, stage=1), torque(99, stage=2)), done("lid", "bolt", torque(30))):
        tally.add(entry)
    assert [(value.entry, value.torque, value.nm, value.verdict) for value in tally.values(2)] == [(0, 0, 18, "within"), (2, 0, 30, "over")]
    assert [(value.entry, value.torque, value.nm, value.verdict) for value in tally.values(4)] == [(1, 1, 99, "over")]
    assert tally.values(6) == ()
