"""Nothing of a table's row is lost on its way in, limits hold at their ends, and what is printed of a sum is rounded as it is meant."""

from __future__ import annotations

import csv
from math import isclose

import pytest

from gudgeon.domain import BadTable
from gudgeon.trade import Trade, bearing_or_guess, bolt_of, work_preload, work_torque
from gudgeon.trade.geometry import nut_minor_diameter_mm

ROWS = {
    "threads": lambda trade: trade.threads.values(),
    "grades": lambda trade: trade.strengths,
    "friction": lambda trade: trade.frictions.values(),
    "bearing": lambda trade: trade.bearings.values(),
    "inserts": lambda trade: trade.inserts.values(),
    "lockers": lambda trade: trade.lockers.values(),
    "materials": lambda trade: trade.materials,
}
OFTEN = {"words": lambda cell: tuple(cell.split(";")), "soft": lambda cell: cell == "yes"}


def fields(row: object) -> list[object]:
    return [getattr(row, name) for name in type(row).__slots__]


@pytest.mark.parametrize("table", ROWS)
def test_every_cell_of_a_row_is_kept(table: str, trade: Trade, tables: dict[str, list[str]]) -> None:
    """In the order of the columns; a pitch said as threads an inch is kept in millimetres, and an empty cell is None."""
    cells = list(csv.DictReader(tables[table]))
    rows = list(ROWS[table](trade))
    assert len(rows) == len(cells)
    for row, said in zip(rows, cells, strict=True):
        if per_inch := said.pop("per_inch", None):
            said["pitch_mm"] = str(25.4 / float(per_inch))
        kept = fields(row)
        assert len(kept) == len(said)
        for value, (name, cell) in zip(kept, said.items(), strict=True):
            wanted = OFTEN[name](cell) if name in OFTEN else cell or None
            assert isclose(value, float(cell)) if isinstance(value, float) else value == wanted, (said, name)


@pytest.mark.parametrize(
    ("table", "row"),
    [
        ("grades", "8.8,metric,0,151,580,640,800,a book"),
        ("grades", "8.8,metric,-1,16,580,640,800,a book"),
        ("grades", "8.8,metric,0,16,580,640,2001,a book"),
        ("friction", "wet,0.01,0.1,0.3,0.2,a book"),
        ("friction", "wet,0.05,0.1,1.1,0.2,a book"),
        ("friction", "wet,0.05,0.1,0.3,1.1,a book"),
        ("bearing", "M8,hex,201,9,a book"),
        ("threads", "M80x6.5,M80,metric,coarse,80,6.5,,a book"),
        ("threads", "1-81,1,unified,fine,25.4,,81,a book"),
        ("inserts", "M8x1.25,101,a book"),
        ("materials", "cheese,cheese,4,2,yes,a book"),
        ("materials", "cheese,cheese,40,6,yes,a book"),
        ("materials", "cheese,cheese,40,2,maybe,a book"),
    ],
)
def test_a_cell_just_past_its_limit_is_refused(table: str, row: str, tables: dict[str, list[str]]) -> None:
    with pytest.raises(BadTable, match=rf"Table {table}\.csv, line {len(tables[table]) + 1}"):
        Trade.from_tables({**tables, table: [*tables[table], row]})


@pytest.mark.parametrize("row", ["8.9,metric,0,150,580,640,2000,a book", "8.9,metric,149,150,50,50,50,a book"])
def test_a_cell_at_its_limit_is_taken(row: str, tables: dict[str, list[str]]) -> None:
    assert Trade.from_tables({**tables, "grades": [*tables["grades"], row]}).strengths[-1].grade == "8.9"


def test_a_word_may_stand_in_two_rows(tables: dict[str, list[str]]) -> None:
    """Both are found by it, in the singular and in the plural."""
    more = ["swivel joint,safety,steering,Steering can kill.,a book", "swivel joints,hollow body,a thin wall,,a book"]
    trade = Trade.from_tables({**tables, "part_words": [*tables["part_words"], *more]})
    for name in ("left swivel joint", "swivel-joints"):
        assert [word.words for word in trade.words_in(name, "safety")] == ["swivel joint"]
        assert [word.words for word in trade.words_in(name, "hollow body")] == ["swivel joints"]


def test_a_head_that_is_not_named_is_a_hexagon(trade: Trade) -> None:
    bolt = bolt_of(trade, thread="M10x1.5", grade="8.8")
    assert bolt.bearing == trade.bearing(bolt.thread, "hex") == bearing_or_guess(trade, bolt.thread)
    assert bolt_of(trade, thread="M10x1.5", grade="8.8", head="flange").bearing != bolt.bearing


def test_friction_that_is_given_says_how_it_scatters(trade: Trade) -> None:
    friction = bolt_of(trade, thread="M10x1.5", grade="8.8", mu=0.12).friction
    assert (friction.low, friction.usual, friction.high) == pytest.approx((0.10, 0.12, 0.16))
    assert "common practice, no source" in friction.source


def test_results_are_rounded_as_they_are_printed(trade: Trade) -> None:
    """Torques to a thousandth of a newton metre, loads to a tenth of a newton, areas to a ten-thousandth of a square millimetre."""
    bolt = bolt_of(trade, thread="M10x1.5", grade="8.8", mu=0.12)
    values = {**work_torque(bolt).values, **work_preload(bolt, torque=48, unit="N*m").values}
    for name, digits in {"torque_nm": 3, "low_nm": 3, "high_nm": 3, "preload_kn": 4, "stress_area_mm2": 4, "share_of_yield": 4, "low_kn": 4}.items():
        value = float(str(values[name]))
        assert value == round(value, digits), name
    worked = work_torque(bolt).values
    assert (worked["torque_nm"], worked["preload_kn"], worked["stress_area_mm2"]) == (48.329, 29.6032, 57.9896)
    assert (worked["low_nm"], worked["high_nm"]) == (42.499, 58.768)


def test_a_share_of_the_proof_load_is_not_lowered_for_torsion(trade: Trade) -> None:
    bolt = bolt_of(trade, thread="M10x1.5", grade="8.8", mu=0.12)
    assert "F = 25.23 kN: 0.75 of 580 MPa (proof) on A_s" in work_torque(bolt, share=0.75, of="proof").steps
    assert any(step.endswith("on A_s, lowered for torsion") for step in work_torque(bolt).steps)


@pytest.mark.parametrize(("thread", "minor"), [("1/4 BSW", 0.1860), ("3/8 BSW", 0.2950), ("1/2 BSW", 0.3932), ("5/8 BSW", 0.5086)])
def test_whitworth_minor_diameters(thread: str, minor: float, trade: Trade) -> None:
    """Basic minor diameters of BS 84 in inches, from memory; the metric profile would give 1/4 BSW as 0.196."""
    assert nut_minor_diameter_mm(trade.threads_of(thread)[0]) / 25.4 == pytest.approx(minor, abs=0.0003)
