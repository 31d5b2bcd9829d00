"""The spec sheet: what is read, what is refused with its line and reason, and that the rest always loads."""

from __future__ import annotations

import time

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from gudgeon.checks import SIZE_COLUMNS, TORQUE_COLUMNS, read_spec
from gudgeon.domain import BadTable, SpecRow

HEAD = "part,place,fastener,count,thread,grade,torque,unit,angle_deg,stage,low,high,tolerance_percent,order,one_time"
GOOD = "lid,,bolt,8,M8x1.25,8.8,18,N*m,,,,,,,"

REFUSED = [
    ("lid,,bolt,8,M8x3,8.8,18,N*m,,,,,,,", "pitch of 3 mm"),
    ("lid,,bolt,8,5/17-18,8.8,18,N*m,,,,,,,", "cannot be"),
    ("lid,,bolt,8,banana,8.8,18,N*m,,,,,,,", "no thread"),
    ("lid,,bolt,8,M8,7.7,18,N*m,,,,,,,", "grade “7.7”"),
    ("lid,,bolt,8,M8,8.8,-18,N*m,,,,,,,", "negative"),
    ("lid,,bolt,8,M8,8.8,1e9,N*m,,,,,,,", "absurdly large"),
    ("lid,,bolt,8,M8,8.8,900000,N*m,,,,,,,", "absurdly large"),
    ("lid,,bolt,8,M8,8.8,nan,N*m,,,,,,,", "no number"),
    ("lid,,bolt,8,M8,8.8,inf,N*m,,,,,,,", "no number"),
    ("lid,,bolt,8,M8,8.8,18,,,,,,,,", "without its unit"),
    ("lid,,bolt,8,M8,8.8,18,furlongs,,,,,,,", "no unit of torque"),
    ("lid,,bolt,8,M8,8.8,18,mm,,,,,,,", "no unit of torque"),
    ("lid,,bolt,8,M8,8.8,18 Nm,lbf*ft,,,,,,,", "two units at once"),
    ("lid,,bolt,8,M8,8.8,,N*m,,,24,16,,,", "upside down"),
    ("lid,,bolt,8,M8,8.8,30,N*m,,,16,24,,,", "outside its own range"),
    ("lid,,bolt,2.5,M8,8.8,18,N*m,,,,,,,", "no whole number"),
    ("lid,,bolt,-2,M8,8.8,18,N*m,,,,,,,", "negative"),
    ("lid,,bolt,8,M8,8.8,18,N*m,9999,,,,,,", "absurdly large"),
    ("lid,,bolt,8,M8,8.8,18,N*m,,first,,,,,", "no number"),
    ("lid,,bolt,8,M8,8.8,18,N*m,,,,,99,,", "absurdly large"),
    ("lid,,bolt,8,M8,8.8,18,N*m,,,,,,,maybe", "neither yes nor no"),
    (",,bolt,8,M8,8.8,18,N*m,,,,,,,", "names no part"),
    ("lid,,bolt,,,,,,,,,,,,", "nothing to check"),
    ("lid,,bolt,8,M8,8.8,18,N*m,,,,,,,no,more,cells", "cells where the header has"),
    ('lid,,"bolt,8,M8,8.8,18,N*m,,,,,,,', "never closed"),
]


@pytest.mark.parametrize(("row", "reason"), REFUSED)
def test_bad_row_is_refused_with_its_line_and_reason(row: str, reason: str) -> None:
    sheet = read_spec([HEAD, GOOD, row, "sump,,plug,,,,38,N*m,,,,,,,"])
    assert [line for line, _ in sheet.refused] == [3]
    assert reason in sheet.refused[0][1]
    assert [r.part for r in sheet.rows] == ["lid", "sump"]


SIZE_REFUSED = [
    ("inlet valve,gap,0.3,0.2,mm", "upside down"),
    ("inlet valve,gap,,,mm", "neither min nor max"),
    ("inlet valve,gap,0.2,0.3,", "without its unit"),
    ("inlet valve,gap,0.2,0.3,yards", "no unit of size"),
    (",gap,0.2,0.3,mm", "names no part"),
    ("inlet valve,gap,thin,0.3,mm", "no number"),
]


@pytest.mark.parametrize(("row", "reason"), SIZE_REFUSED)
def test_bad_size_row_is_refused(row: str, reason: str) -> None:
    sheet = read_spec(["part,quantity,min,max,unit", row, "stub axle,end float,0.1,0.3,mm"])
    assert reason in dict(sheet.refused)[2]
    assert len(sheet.sizes) == 1


UNITS = [
    ("Nm", "N*m"), ("N·m", "N*m"), ("N m", "N*m"), ("newton metres", "N*m"), ("ft-lb", "lbf*ft"), ("lb.ft", "lbf*ft"), ("lbf·ft", "lbf*ft"),
    ("ft lbs", "lbf*ft"), ("in-lb", "lbf*in"), ("lbf in", "lbf*in"), ("kgf·m", "kgf*m"), ("mkg", "kgf*m"), ("kg-cm", "kgf*cm"), ("Ncm", "N*cm"),
]  # fmt: skip


@pytest.mark.parametrize(("written", "unit"), UNITS)
def test_units_as_people_write_them(written: str, unit: str) -> None:
    assert read_spec(["part,torque,unit", f"lid,18,{written}"]).rows[0].unit == unit


CELLS = [
    ("18 Nm", (18, None, None)),
    ("8-10 Nm", (None, 8, 10)),
    ("8 to 10 Nm", (None, 8, 10)),
    ("18 ± 2 Nm", (18, 16, 20)),
    ("18.5 N·m", (18.5, None, None)),
]


@pytest.mark.parametrize(("cell", "values"), CELLS)
def test_torque_with_its_unit_in_one_cell(cell: str, values: tuple[float | None, ...]) -> None:
    row = read_spec(["part,torque", f"lid,{cell}"]).rows[0]
    assert (row.torque, row.low, row.high, row.unit) == (*values, "N*m")


def test_two_values_for_one_joint_and_stage_are_both_refused_and_name_one_another() -> None:
    sheet = read_spec([HEAD, GOOD, "lid,,bolt,8,M8x1.25,8.8,25,N*m,,,,,,,", "sump,,plug,,,,38,N*m,,,,,,,"])
    assert [row.part for row in sheet.rows] == ["sump"]
    assert "contradicts line 3" in dict(sheet.refused)[2]
    assert "contradicts line 2" in dict(sheet.refused)[3]


def test_a_repeated_row_is_refused_once() -> None:
    sheet = read_spec([HEAD, GOOD, GOOD])
    assert len(sheet.rows) == 1
    assert dict(sheet.refused) == {3: "repeats line 2"}


def test_stages_and_orders_are_no_contradiction() -> None:
    staged = read_spec([HEAD, "head,,nut,8,,,40,N*m,,1,,,,,", "head,,nut,8,,,70,N*m,,2,,,,,"])
    ordered = read_spec([HEAD, "head,,nut,8,,,40,N*m,,,,,,1,", "head,,nut,8,,,70,N*m,,,,,,2,"])
    assert len(staged.rows) == len(ordered.rows) == 2


def test_mixed_units_in_one_column_are_kept_row_by_row() -> None:
    sheet = read_spec(["part,torque,unit", "lid,18,Nm", "sump,28,lb-ft", "panel,25,in-lb", "plug,12,bananas"])
    assert [row.unit for row in sheet.rows] == ["N*m", "lbf*ft", "lbf*in"]
    assert [line for line, _ in sheet.refused] == [5]


def test_every_column_is_read() -> None:
    row = "lid,left,bolt,8,M8x1.25,8.8,18,N*m,90,2,16,20,5,3,dry,aluminium,14,blue thread locker,yes,13 mm socket,crosswise,book p. 4"
    read = read_spec([",".join(TORQUE_COLUMNS), row]).rows[0]
    wanted = SpecRow(
        part="lid",
        line=2,
        place="left",
        fastener="bolt",
        count=8,
        thread="M8x1.25",
        grade="8.8",
        torque=18,
        unit="N*m",
        angle_deg=90,
        stage=2,
        low=16,
        high=20,
        tolerance_percent=5,
        order=3,
        condition="dry",
        material="aluminium",
        engagement_mm=14,
        compound="blue thread locker",
        one_time=True,
        tool="13 mm socket",
        note="crosswise",
        source="book p. 4",
    )
    assert read == wanted


def test_unknown_columns_are_kept() -> None:
    sheet = read_spec(["Part, Torque ,Unit,Colour,shelf", "lid,18,Nm,green,B3"])
    assert sheet.rows[0].extra == (("colour", "green"), ("shelf", "B3"))


def test_torque_and_size_tables_in_one_file() -> None:
    sheet = read_spec(["part,torque,unit", "lid,18,Nm", "", ",".join(SIZE_COLUMNS), "inlet valve,,gap,0.28,0.33,mm,cold,book p. 9"])
    assert len(sheet.rows) == 1
    assert (sheet.sizes[0].low, sheet.sizes[0].high, sheet.sizes[0].line) == (0.28, 0.33, 5)


@pytest.mark.parametrize("mark", [";", "\t"])
def test_other_delimiters_and_the_decimal_comma(mark: str) -> None:
    sheet = read_spec([mark.join(["part", "torque", "unit"]), mark.join(["lid", "18,5", "Nm"])])
    assert sheet.rows[0].torque == 18.5


def test_a_quoted_cell_over_two_lines_keeps_the_line_numbers() -> None:
    sheet = read_spec(["part,torque,unit,note", ['lid,18,Nm,"from the', 'middle"'][0], 'middle"', "sump,38,Nm,", "x,1,zz,"])
    assert [row.part for row in sheet.rows] == ["lid", "sump"]
    assert [line for line, _ in sheet.refused] == [5]


@pytest.mark.parametrize("lines", [[], [""], ["", "  "], ["lid,18,Nm"], ["torque,unit", "18,Nm"]])
def test_no_header_is_a_plain_error(lines: list[str]) -> None:
    with pytest.raises(BadTable) as caught:
        read_spec(lines)
    assert "Nothing was loaded." in caught.value.kept
    assert caught.value.status == 2


def test_a_header_alone_is_an_empty_sheet() -> None:
    sheet = read_spec([HEAD])
    assert (sheet.rows, sheet.sizes, sheet.refused) == ((), (), ())


@settings(deadline=None)
@given(st.lists(st.text(st.characters(exclude_characters="\n\r"), max_size=40), max_size=8))
def test_no_line_breaks_the_reader(lines: list[str]) -> None:
    sheet = read_spec(["part,torque,unit", *lines, "sump,38,Nm"])
    assert len(sheet.rows) + len(sheet.sizes) + len(sheet.refused) <= len(lines) + 1


@pytest.mark.slow
def test_a_hundred_thousand_rows_load_in_seconds() -> None:
    lines = [HEAD, *(f"part {n % 977} number {n},left,bolt,4,M8x1.25,8.8,{10 + n % 50},N*m,,,,,,," for n in range(100_000))]
    start = time.process_time()
    sheet = read_spec(lines)
    assert len(sheet.rows) == 100_000
    assert time.process_time() - start < 15


def test_a_stage_with_another_count_is_refused() -> None:
    sheet = read_spec([HEAD, "head,,nut,8,M10,,40,N*m,,1,,,,,", "head,,nut,10,M10,,70,N*m,,2,,,,,", "head,,nut,,M10,,,,90,3,,,,,"])
    assert [row.stage for row in sheet.rows] == [1, 3]
    assert "contradicts line 2: the same joint has count 8 there and 10 here" in dict(sheet.refused)[3]


@pytest.mark.parametrize("head", ["torque_nm", "Torque (Nm)", "torque [N·m]", "Torque N m"])
def test_the_unit_may_stand_in_the_header(head: str) -> None:
    sheet = read_spec([f"part,{head},unit", "lid,18,", "sump,28,lb-ft"])
    assert [(row.torque, row.unit) for row in sheet.rows] == [(18, "N*m"), (28, "lbf*ft")]
    assert read_spec([f"part,{head}", "lid,18"]).rows[0].unit == "N*m"


def test_line_ends_of_other_systems_and_odd_bytes_cost_their_own_line() -> None:
    sheet = read_spec(["part,torque,unit\r", "lid,18,Nm\r", "sump,28,Nm\x00\r", "lid" + "x" * 200_000 + ",18,Nm\r", "plug,38,Nm\r"])
    assert [row.part for row in sheet.rows] == ["lid", "plug"]
    assert [line for line, _ in sheet.refused] == [3, 4]


@pytest.mark.parametrize(
    ("head", "cell", "name"),
    [
        ("part,quantity,min,max,unit", "shaft,end float,x,0.2,mm", "min"),
        ("part,quantity,min,max,unit", "shaft,end float,0.1,x,mm", "max"),
        ("part,quantity,low,high,unit", "shaft,end float,0.1,x,mm", "max"),
        ("part,torque,unit,count", "lid,18,N*m,x", "count"),
        ("part,torque,unit,count", "lid,18,N*m,1001", "count"),
        ("part,torque,unit,stage", "lid,18,N*m,x", "stage"),
        ("part,torque,unit,stage", "lid,18,N*m,21", "stage"),
        ("part,torque,unit,order", "lid,18,N*m,x", "order"),
        ("part,torque,unit,angle_deg", "lid,18,N*m,x", "angle"),
        ("part,torque,unit,angle_deg", "lid,18,N*m,1081", "angle"),
        ("part,torque,unit,tolerance_percent", "lid,18,N*m,x", "tolerance"),
        ("part,torque,unit,tolerance_percent", "lid,18,N*m,51", "tolerance"),
        ("part,torque,unit,engagement_mm", "lid,18,N*m,x", "engagement"),
        ("part,low,high,unit", "lid,x,18,N*m", "low"),
        ("part,low,high,unit", "lid,18,x,N*m", "high"),
        ("part,torque,unit,one_time", "lid,18,N*m,maybe", "one_time"),
    ],
)
def test_the_reason_names_the_column(head: str, cell: str, name: str) -> None:
    sheet = read_spec([head, cell])
    assert [line for line, _ in sheet.refused] == [2] and name in sheet.refused[0][1].split("“")[0]


def test_an_angle_and_a_tolerance_with_their_signs() -> None:
    """``90°``, ``90 °`` and ``±5 %`` are read as the bare figures are."""
    for angle, tolerance in (("90", "5"), ("90°", "±5 %"), ("90 °", "± 5%")):
        (row,) = read_spec(["part,torque,unit,angle_deg,tolerance_percent", f"lid,18,N*m,{angle},{tolerance}"]).rows
        assert (row.angle_deg, row.tolerance_percent) == (90.0, 5.0)
