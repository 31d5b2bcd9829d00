"""Figures, sizes and units in each way that people say them, all the way to the fact (the ways to say a number by itself: tests/notes)."""

import pytest

from gudgeon.domain import Fact
from gudgeon.facts import Reader
from gudgeon.units import UnitWords


def the(reader: Reader, kind: str, text: str) -> Fact:
    """The one fact of a kind in a note."""
    found = [fact for fact in reader.read(text) if fact.kind == kind]
    assert len(found) == 1, (text, found)
    return found[0]


@pytest.mark.parametrize(
    ("said", "value"),
    [
        ("eighteen newton metres", 18),
        ("a hundred and five newton metres", 105),
        ("one oh five newton metres", 105),
        ("one twenty five newton metres", 125),
        ("one three newton metres", 13),
        ("two and a half newton metres", 2.5),
        ("nought point eight newton metres", 0.8),
        ("point eight newton metres", 0.8),
        ("eighteen newton metres each", 18),
        ("eighteen newton metres on every one", 18),
    ],
)
def test_torques(reader: Reader, said: str, value: float) -> None:
    fact = the(reader, "torque", f"lid bolts {said}")
    assert (fact.value, fact.unit, fact.part) == (value, "N*m", "lid")


def test_a_range_keeps_its_ends(reader: Reader) -> None:
    for said in ("eight to ten newton metres", "8-10 Nm", "between eight and ten newton metres"):
        fact = the(reader, "torque", f"lid bolts {said}")
        assert (fact.value, fact.low, fact.high, fact.unit) == (9, 8, 10, "N*m")


def test_what_may_be_a_count_and_a_value_is_no_fact(reader: Reader) -> None:
    assert not [fact for fact in reader.read("lid bolt four forty newton metres") if fact.kind == "torque"]


@pytest.mark.parametrize(
    ("text", "degrees"),
    [
        ("lid bolts half a turn", 180),
        ("lid bolts another quarter turn", 90),
        ("lid bolts then a further sixty degrees", 60),
    ],
)
def test_turns(reader: Reader, text: str, degrees: float) -> None:
    assert the(reader, "angle", text).angle_deg == degrees


@pytest.mark.parametrize(
    ("text", "stage"),
    [("third pass on the lid bolts sixty newton metres", 3), ("lid bolts stage 2 60 Nm", 2), ("lid bolts first round 60 Nm", 1)],
)
def test_stages(reader: Reader, text: str, stage: int) -> None:
    fact = the(reader, "torque", text)
    assert (fact.value, fact.stage) == (60, stage)


@pytest.mark.parametrize(
    ("text", "count"),
    [
        ("a couple of lid bolts at ten newton metres", 2),
        ("all ten lid bolts at ten newton metres", 10),
        ("all ten but one of the lid bolts at ten newton metres", 9),
        ("lid bolts all ten but one at ten newton metres", 9),
        ("four of the six lid bolts at ten newton metres", 4),
        ("both lid bolts at ten newton metres", 2),
    ],
)
def test_counts(reader: Reader, text: str, count: int) -> None:
    assert the(reader, "fastener", text).count == count


@pytest.mark.parametrize(
    ("said", "thread", "length"),
    [
        ("five sixteenths eighteen", "5/16-18", None),
        ("five sixteenths unc", "5/16-18", None),
        ("three eighths unf", "3/8-24", None),
        ("half inch whitworth", "1/2 BSW", None),
        ("half inch bsw", "1/2 BSW", None),
        ("quarter bsp", "1/4 BSP", None),
        ("eighth npt", "1/8 NPT", None),
        ("m eight by one point two five by forty", "M8x1.25", 40),
        ("M8x1.25x40", "M8x1.25", 40),
        ("Em8", "M8", None),
    ],
)
def test_threads(reader: Reader, said: str, thread: str, length: float | None) -> None:
    fact = the(reader, "fastener", f"lid: four {said} bolts")
    assert (fact.thread, fact.length_mm, fact.count) == (thread, length, 4)


def test_a_grade_said_in_figures(reader: Reader) -> None:
    assert the(reader, "fastener", "lid: four M8 bolts grade ten nine").grade == "10.9"


@pytest.mark.parametrize(
    ("said", "size", "unit"), [("T thirty", 30, "T"), ("seven sixteenths socket", 0.4375, "in"), ("thirteen mil socket", 13, "mm")]
)
def test_tools(reader: Reader, said: str, size: float, unit: str) -> None:
    fact = the(reader, "tool", f"lid bolts with a {said}")
    assert (fact.size, fact.size_unit) == (size, unit)


@pytest.mark.parametrize("said", ["forty pounds", "forty kilos", "40 lbs", "40 kg"])
def test_a_weight_is_a_torque_without_a_unit_and_says_why(reader: Reader, said: str) -> None:
    fact = the(reader, "torque", f"lid bolts torqued to {said}")
    assert (fact.value, fact.unit, fact.nm) == (40, None, None)
    assert "unit-not-said (" in fact.rule


def test_a_mil_is_a_millimetre_or_what_the_owner_says(reader: Reader, unit_tables: dict) -> None:
    text = "end float is ten mil"
    assert the(reader, "measure", text).unit == "mm"
    owners = Reader(reader.lexicon, UnitWords.from_tables(unit_tables, mil="thou"))
    assert the(owners, "measure", text).unit == "thou"


@pytest.mark.parametrize(
    ("said", "unit"),
    [
        ("newton matters", "N*m"),
        ("new to meters", "N*m"),
        ("new ten meters", "N*m"),
        ("noon meters", "N*m"),
        ("mutant meters", "N*m"),
        ("in newton metres", "N*m"),
        ("foot bounds", "lbf*ft"),
        ("fit pounds", "lbf*ft"),
        ("inch bounds", "lbf*in"),
        ("new tons", "N*m"),
    ],
)
def test_units_misheard(reader: Reader, said: str, unit: str) -> None:
    fact = the(reader, "torque", f"lid bolts tightened to forty {said}")
    assert (fact.value, fact.unit) == (40, unit)
    assert (fact.mended is not None) == (said != "in newton metres")


@pytest.mark.parametrize("text", ["he was new to metres back then", "thirty new to the meeting", "ten new tonnes of grain", "forty newts and meters"])
def test_talk_is_not_mended(reader: Reader, text: str) -> None:
    assert not [fact for fact in reader.read(text) if fact.kind == "torque"]
