"""The bundled tables: whole, sourced, and refused by table, line and column when a row is bad."""

from __future__ import annotations

import csv

import pytest

from gudgeon.domain import BadTable
from gudgeon.trade import Trade, stress_area_mm2

BAD_ROWS = [
    ("threads", "M8x3,M8,metric,coarse,8,3,,a book", "pitch of 3 mm"),
    ("threads", "M8x1.25,M8,metric,coarse,8,1.25,20,a book", "exactly one of pitch_mm and per_inch"),
    ("threads", "M8x1.25,M8,metric,coarse,8,1.25,,", "source is empty"),
    ("threads", "M8x1.25,M8,square,coarse,8,1.25,,a book", "none of metric"),
    ("threads", "M8x1.25,M8,metric,coarse,eight,1.25,,a book", "no number"),
    ("threads", "M8x1.25,M8,metric,coarse,8,1.25,a book", "7 cells where the header has 8"),
    ("grades", "8.8,metric,0,16,700,640,800,a book", "rise in that order"),
    ("grades", "8.8,metric,16,16,580,640,800,a book", "over_mm must be below"),
    ("grades", "8.8,metric,0,16,580,64000,80000,a book", "not between"),
    ("friction", "dry,0.2,0.1,0.3,0.2,a book", "between mu_low and mu_high"),
    ("bearing", "M8,hex,9,11,a book", "smaller than the face"),
    ("bearing", "M8,round,12,9,a book", "none of hex"),
    ("across_flats", "hex bolt,M8,13,yards,ISO,a book", "none of mm"),
    ("keys", "socket head,M8,600,mm,ISO,a book", "not between"),
    ("inserts", "M8x1.25,7.5,a book", "larger than the thread"),
    ("lockers", "pink,enormous,holds,note,a book", "none of low"),
    ("materials", "cheese,cheese,1,2,yes,a book", "not between"),
    ("part_words", "brake,safety,brakes,,a book", "text is empty"),
]


@pytest.mark.parametrize(("table", "row", "reason"), BAD_ROWS)
def test_bad_row_is_refused_by_table_and_line(table: str, row: str, reason: str, tables: dict[str, list[str]]) -> None:
    spoilt = {**tables, table: [*tables[table], row]}
    with pytest.raises(BadTable) as caught:
        Trade.from_tables(spoilt)
    assert f"Table {table}.csv, line {len(tables[table]) + 1}" in caught.value.happened
    assert reason in caught.value.happened


def test_missing_table_and_wrong_header_are_named(tables: dict[str, list[str]]) -> None:
    with pytest.raises(BadTable, match=r"friction\.csv is missing"):
        Trade.from_tables({name: lines for name, lines in tables.items() if name != "friction"})
    with pytest.raises(BadTable, match=r"friction\.csv must have the columns"):
        Trade.from_tables({**tables, "friction": ["condition,mu", *tables["friction"][1:]]})


def test_every_row_has_a_source(tables: dict[str, list[str]]) -> None:
    for name, lines in tables.items():
        assert all(row["source"].strip() for row in csv.DictReader(lines)), name


def test_every_thread_of_the_design_is_there(trade: Trade) -> None:
    for size in (3, 3.5, 4, 5, 6, 7, 8, 10, 12, 14, 16, 18, 20, 22, 24):
        assert trade.threads_of(f"M{size}")[0].series == "coarse", size
    for size in ("1/4", "5/16", "3/8", "7/16", "1/2", "5/8", "3/4"):
        assert [t.series for t in trade.threads_of(size)] == ["coarse", "fine"], size
        assert trade.threads_of(f"{size} BSW"), size
    assert trade.threads_of("1/4 BSP") and trade.threads_of("1/8 NPT")


def test_every_grade_of_the_design_is_there(trade: Trade) -> None:
    m10, inch = trade.threads_of("M10")[0], trade.threads_of("3/8-16")[0]
    for grade in ("4.6", "4.8", "5.6", "5.8", "6.8", "8.8", "9.8", "10.9", "12.9", "A2-50", "A2-70", "A2-80", "A4-50", "A4-70", "A4-80"):
        assert trade.strength(grade, m10), grade
    for grade in ("2", "5", "8"):
        assert trade.strength(grade, inch), grade
        assert trade.strength(grade, m10) is None, "inch grades are not made for metric threads"


def test_strength_steps_with_the_diameter(trade: Trade) -> None:
    """8.8 is stronger above 16 mm (ISO 898-1); grade 2 is weaker above 3/4 in, 9.8 ends at 16 mm."""
    m16, m18 = trade.threads_of("M16")[0], trade.threads_of("M18")[0]
    assert [trade.strength("8.8", t).yield_mpa for t in (m16, m18)] == [640, 660]
    assert trade.strength("9.8", m18) is None


def test_every_fastener_thread_is_computed_and_bears_something(trade: Trade) -> None:
    for thread in trade.threads.values():
        if thread.series != "pipe":
            core = 3.14159265 / 4 * (thread.diameter_mm - 1.3 * thread.pitch_mm) ** 2
            assert core < stress_area_mm2(thread) < 3.14159265 / 4 * thread.diameter_mm**2
            assert trade.strongest(thread)


@pytest.mark.parametrize(
    ("name", "meant"),
    [
        ("M8", ["M8x1.25", "M8x1"]),
        ("m10 x 1,25", ["M10x1.25"]),
        ("M10-1.5", ["M10x1.5"]),
        ("7/16", ["7/16-14", "7/16-20"]),
        ("7/16 UNF", ["7/16-20"]),
        ("1/2 BSW", ["1/2-12 BSW"]),
        ("G1/4", ["1/4 BSP"]),
        ("1/8 NPT", ["1/8 NPT"]),
        ("M9x1", ["M9x1"]),
        ("M8x3", []),
        ("", []),
        ("a bolt", []),
        ("M99", []),
    ],
)
def test_names_of_threads(name: str, meant: list[str], trade: Trade) -> None:
    assert [thread.name for thread in trade.threads_of(name)] == meant


@pytest.mark.parametrize(
    ("name", "kind", "topics"),
    [
        ("brake back plate", "safety", ["brakes", "brakes"]),
        ("left rear wheels", "safety", ["wheels"]),
        ("flywheel", "safety", ["rotating"]),
        ("gearbox lid", "safety", []),
        ("wheelhouse", "safety", []),
        ("leak-off pipe", "safety", ["fuel"]),
        ("gearbox lid", "often opened", ["often opened"]),
    ],
)
def test_words_of_parts(name: str, kind: str, topics: list[str], trade: Trade) -> None:
    assert [word.topic for word in trade.words_in(name, kind)] == topics


def test_wrench_sizes_give_threads_back(trade: Trade) -> None:
    def sizes(width: float, unit: str, drive: str) -> set[str]:
        return {d.size for d in trade.fits(width=width, unit=unit, drive=drive)}

    assert sizes(13, "mm", "wrench") == {"M8", "M10"}
    assert sizes(5, "mm", "key") == {"M6", "M8", "M10"}
    assert sizes(0.4375, "in", "wrench") == {"1/4"}
    assert sizes(30, "T", "key") == {"M6"}
    assert sizes(13.7, "mm", "wrench") == set()


def test_colours_of_thread_locker(trade: Trade) -> None:
    assert [trade.locker(text) for text in ("blue thread locker", "High-strength", "red", "oil", None)] == ["medium", "high", "high", None, None]
    assert all("differ by maker" in locker.source for locker in trade.lockers.values())
