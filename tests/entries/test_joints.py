"""Entries and the sheet's joints: what must match, what must never, and what stays open because it is not sure."""

from __future__ import annotations

import pytest

from gudgeon.domain import Entry, SpecRow, SpecSheet, ToolUsed
from gudgeon.entries import find_joint, joint_key, match_joint, match_joints, same_part, tool_size

Row = tuple[str, str | None, str | None]


def sheet(*rows: Row | SpecRow) -> SpecSheet:
    """A sheet whose rows all ask for different torques, so that a wrong match would matter."""
    made = [
        row if isinstance(row, SpecRow) else SpecRow(part=row[0], place=row[1], fastener=row[2], line=line, torque=10.0 * line, unit="N*m")
        for line, row in enumerate(rows, start=2)
    ]
    return SpecSheet(rows=tuple(made))


def line_of(rows: SpecSheet, *said: str | None, **more: object) -> int | None:
    part, place, fastener = (*said, None, None)[:3]
    joint = match_joint(Entry(part=part, place=place, fastener=fastener, **more), rows)  # type: ignore[arg-type]
    return joint.row.line if joint else None


SAME = [
    (("gearbox lid", None, "bolt"), ("gearbox lid", None, "bolt")),
    (("Gearbox Lid", None, "Bolts"), ("gearbox lid", None, "bolt")),
    (("lid, gearbox", None, "bolt"), ("gearbox lid", None, "bolt")),
    (("rear axle", None, "nut"), ("axle", "rear", "nut")),
    (("axle", "Rear", "nuts"), ("rear axle", None, "nut")),
    (("wheel", "left rear", "nut"), ("wheel", "rear left", "nut")),
    (("wheel", "LH rear", "nut"), ("wheel", "left rear", "nut")),
    (("bellhousing", None, "nut"), ("bell housing", None, "nut")),
    (("valve covers", None, "nut"), ("valve cover", None, "nut")),
    (("bushes", None, "bolt"), ("bush", None, "bolt")),
    (("big end cap", "no. 1", "bolt"), ("big end cap", "number 1", "bolt")),
    (("big end cap", "#2", "bolt"), ("big end cap", "number two", "bolt")),
    (("gearbox drain plug", None, None), ("gearbox", None, "plug")),
    (("gearbox", None, "drain plug"), ("gearbox", None, "plug")),
    (("inlet manifold", None, "bolt"), ("intake manifold", None, "bolt")),
    (("cylinder head", None, "nut"), ("head", None, "nut")),
    (("big end cap", None, "bolt"), ("cap", None, "bolt")),
    (("manifold", "exhaust", "nut"), ("exhaust manifold", None, "nut")),
    (("carburettor flange", None, "nut"), ("carburetor flange", None, "nut")),
    (("steering arm", None, "bolt"), ("steering arm", "left", "bolt")),
    (("lid", None, "screw"), ("lid", None, "bolt")),
    (("oil pump", None, None), ("oil pump", None, "bolt")),
]


@pytest.mark.parametrize(("row", "said"), SAME)
def test_the_same_joint_in_other_words_matches(row: Row, said: Row) -> None:
    assert line_of(sheet(row, ("radiator mount", None, "nut")), *said) == 2


OTHER = [
    (("wheel", "left rear", "nut"), ("wheel", "right rear", "nut")),
    (("wheel", "left front", "nut"), ("wheel", "left rear", "nut")),
    (("lh wheel", None, "nut"), ("rh wheel", None, "nut")),
    (("exhaust manifold", None, "nut"), ("inlet manifold", None, "nut")),
    (("big end cap", "number 1", "bolt"), ("big end cap", "number 2", "bolt")),
    (("oil pump", None, "bolt"), ("water pump", None, "bolt")),
    (("water pump", None, "bolt"), ("water pump pulley", None, "bolt")),
    (("water pump pulley", None, "bolt"), ("water pump", None, "bolt")),
    (("clutch cover", None, "bolt"), ("clutch", None, "bolt")),
    (("gearbox", None, "bolt"), ("gearbox lid", None, "bolt")),
    (("steering box", None, "nut"), ("steering box", None, "bolt")),
    (("wheel cylinder", None, "nut"), ("wheel cylinder", None, "screw")),
    (("sump", None, "bolt"), ("sump", None, "plug")),
    (("upper link", None, "bolt"), ("lower link", None, "bolt")),
    (("timing cover", None, "bolt"), ("rocker cover", None, "bolt")),
]


@pytest.mark.parametrize(("row", "said"), OTHER)
def test_another_joint_never_matches(row: Row, said: Row) -> None:
    assert line_of(sheet(row), *said) is None


def test_no_part_no_match() -> None:
    found = find_joint(Entry(unclear="two parts were named"), sheet(("lid", None, "bolt")))
    assert (found.group, found.why) == (None, "two parts were named")


def test_two_that_fit_give_none_and_say_so() -> None:
    found = find_joint(Entry(part="wheel", fastener="nut"), sheet(("wheel", "left", "nut"), ("wheel", "right", "nut")))
    assert found.group is None
    assert "more than one joint" in found.why
    assert "line 2, line 3" in found.why


def test_two_that_ask_the_same_are_no_doubt() -> None:
    rows = [SpecRow(part="wheel", place=side, fastener="nut", line=n, torque=90, unit="N*m") for n, side in ((2, "left"), (3, "right"))]
    found = find_joint(Entry(part="wheel", fastener="nut"), SpecSheet(rows=tuple(rows)))
    assert found.group
    assert found.score < 0.9


def test_the_side_wins_over_the_row_without_one() -> None:
    rows = sheet(("wheel", None, "nut"), ("wheel", "left", "nut"))
    assert line_of(rows, "wheel", "left", "nut") == 3
    assert line_of(rows, "wheel", "right", "nut") == 2
    assert line_of(rows, "wheel", None, "nut") == 2


def test_the_thread_tells_two_fasteners_of_a_part_apart() -> None:
    rows = sheet(
        SpecRow(part="drawbar plate", fastener="bolt", thread="M16x2", count=4, line=2, torque=190, unit="N*m"),
        SpecRow(part="drawbar plate", fastener="bolt", thread="M12x1.75", count=2, line=3, torque=80, unit="N*m"),
    )
    assert line_of(rows, "drawbar plate", None, "bolt", thread="M12") == 3
    assert line_of(rows, "drawbar plate", None, "bolt", thread="M12x1.25") is None
    assert line_of(rows, "drawbar plate", None, "bolt", count=4) == 2
    assert line_of(rows, "drawbar plate", None, "bolt") is None


def test_the_tool_tells_two_fasteners_of_a_part_apart() -> None:
    rows = sheet(
        SpecRow(part="drawbar plate", fastener="bolt", tool="24 mm socket", line=2, torque=190, unit="N*m"),
        SpecRow(part="drawbar plate", fastener="bolt", thread="M12", tool="19mm", line=3, torque=80, unit="N*m"),
    )
    assert line_of(rows, "drawbar plate", None, "bolt", tool=ToolUsed(tool="socket", size=19, size_unit="mm")) == 3


def test_all_stages_come_in_order_also_when_later_ones_leave_the_thread_out() -> None:
    rows = SpecSheet(
        rows=(
            SpecRow(part="head", fastener="nut", stage=2, line=2, torque=70, unit="N*m"),
            SpecRow(part="head", fastener="nut", stage=1, thread="M10", line=3, torque=40, unit="N*m"),
            SpecRow(part="head", fastener="nut", stage=3, line=4, angle_deg=90),
        )
    )
    assert [joint.row.stage for joint in match_joints(Entry(part="head", fastener="nut"), rows)] == [1, 2, 3]


def test_the_owner_overrules_a_match_and_that_is_remembered() -> None:
    rows = sheet(("gearbox lid", None, "bolt"), ("top cover", None, "bolt"))
    entry = Entry(part="gearbox lid", fastener="bolt")
    mine = joint_key("gearbox lid", None, "bolt")
    other = find_joint(entry, rows, learnt={mine: joint_key("top cover", None, "bolt")})
    none = find_joint(entry, rows, learnt={mine: ""})
    gone = find_joint(entry, rows, learnt={mine: joint_key("old cover", None, "bolt")})
    assert (other.group and other.group.rows[0].line, other.score) == (3, 1.0)
    assert (none.group, gone.group) == (None, None)
    assert "no longer" in gone.why


def test_loose_matches_score_lower_and_say_why() -> None:
    exact = match_joint(Entry(part="cylinder head", fastener="nut"), sheet(("cylinder head", None, "nut")))
    loose = match_joint(Entry(part="head", fastener="nut"), sheet(("cylinder head", None, "nut")))
    assert exact and loose
    assert exact.score == 1.0 > loose.score
    assert "cylinder" in loose.why


@pytest.mark.parametrize(
    ("text", "size"),
    [
        ("13 mm socket", (13, "mm")),
        ("19mm", (19, "mm")),
        ("13", (13, "mm")),
        ("1/2 in socket", (0.5, "in")),
        ("T30", (30, "T")),
        ("by hand", None),
        (None, None),
    ],
)
def test_tool_sizes_as_a_sheet_names_them(text: str | None, size: tuple[float, str] | None) -> None:
    assert tool_size(text) == size


def test_same_part_keeps_sides_apart() -> None:
    assert same_part("inlet valve", "number 1", "inlet valve", None)
    assert not same_part("inlet valve", None, "exhaust valve", None)
    assert not same_part("hub", "left", "hub", "right")
    assert not same_part("hub", None, "hub", "right")


def labelled_joints() -> list[SpecRow]:
    """One row a joint of the labelled sessions that got a torque, each with a torque of its own."""
    import json
    from pathlib import Path

    rows: dict[str, SpecRow] = {}
    for text in (Path(__file__).parents[1] / "tables" / "tractor_sessions.jsonl").read_text(encoding="utf-8").splitlines():
        for entry in json.loads(text)["entries"]:
            if entry.get("torques"):
                named = {name: entry.get(name) for name in ("part", "place", "fastener", "thread", "count")}
                key = joint_key(named["part"], named["place"], named["fastener"], named["thread"])
                rows.setdefault(key, SpecRow(**named, line=len(rows) + 2, torque=5.0 + len(rows), unit="N*m"))
    return list(rows.values())


@pytest.mark.parametrize(
    ("left_out", "least"),
    [((), 1.0), (("thread",), 1.0), (("count", "thread"), 0.95), (("fastener", "count", "thread"), 0.75), (("place",), 0.7)],
)
def test_labelled_joints_find_their_own_row_and_never_another(left_out: tuple[str, ...], least: float) -> None:
    """All joints of the labelled sessions in one sheet; each is named again, with less and less said of it."""
    rows = labelled_joints()
    found = []
    for row in rows:
        said = {name: getattr(row, name) for name in ("part", "place", "fastener", "thread", "count") if name not in left_out}
        joint = match_joint(Entry(**said), SpecSheet(rows=tuple(rows)))
        found.append(joint.row.line if joint else None)
        assert found[-1] in {row.line, None}, f"{said} was taken for line {found[-1]}"
    assert sum(line is not None for line in found) >= least * len(rows)


def test_a_joint_that_the_sheet_has_not_is_never_taken_for_another() -> None:
    """Each labelled joint against a sheet that holds all the others."""
    rows = labelled_joints()
    wrong = []
    for row in rows:
        others = SpecSheet(rows=tuple(other for other in rows if other is not row))
        joint = match_joint(Entry(part=row.part, place=row.place, fastener=row.fastener, thread=row.thread), others)
        if joint:
            wrong.append((row.place, row.part, row.fastener, joint.row.place, joint.row.part, joint.row.fastener, joint.why))
    assert wrong == []


def test_what_was_learnt_without_a_thread_holds_with_one() -> None:
    rows = sheet(("gearbox lid", None, "bolt"), ("top cover", None, "bolt"))
    learnt = {joint_key("gearbox lid", None, "bolt"): joint_key("top cover", None, "bolt")}
    found = find_joint(Entry(part="gearbox lid", fastener="bolt", thread="M8"), rows, learnt=learnt)
    assert found.group and found.group.rows[0].line == 3


def test_what_the_owner_chose_for_a_joint_holds_with_a_thread_said_too_and_for_its_side_alone() -> None:
    rows = sheet(("axle cap", "left", "bolt"), ("axle cap", "right", "bolt"), ("end plate", "left", "bolt"))
    learnt = {joint_key("end cap", "left", "bolt"): joint_key("end plate", "left", "bolt")}
    for place, thread, line in (("left", None, 4), ("left", "M8", 4), ("right", "M8", None)):
        joint = match_joint(Entry(part="end cap", place=place, fastener="bolt", thread=thread), rows, learnt=learnt)
        assert (joint.row.line if joint else None) == line
