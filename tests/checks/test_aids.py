"""Sums offered beside questions: which questions get one, what it says, and that it never closes the question."""

from __future__ import annotations

import pytest
from reached import SHEET, WRENCHES, torque

from gudgeon.checks import aid_for, read_spec
from gudgeon.domain import Entry
from gudgeon.trade import Trade
from gudgeon.units import UnitWords


@pytest.fixture(scope="module")
def units() -> UnitWords:
    from importlib import resources

    folder = resources.files("gudgeon.units").joinpath("tables")
    files = [file for file in folder.iterdir() if file.name.endswith(".csv")]
    return UnitWords.from_tables({file.name.removesuffix(".csv"): file.read_text(encoding="utf-8").splitlines() for file in files})


DOING = Entry(part="lid", fastener="bolt", thread="M8x1.25", torques=(torque(100),))
ANSWERED = [
    ("what's thirty five foot pounds in newton metres", "47.4536 N·m"),
    ("what is 90 in-lb in Nm", "10.1686 N·m"),
    ("how many mm is twelve thou", "0.3048 mm"),
    ("what do I set with a 100 mm crowfoot for eighty newton metres on the 500 mm wrench", "Set 66.67 N·m"),
    ("the crowfoot is fifty millimetres, what do I set", "Set 90.91 N·m"),
    ("what do I set with the crowfoot for eighty newton metres", "L from the square to the middle of the grip"),
    ("does the extension change the torque", "does not change the setting"),
    ("what drill do I need for an M8 insert", "drill 8.4 mm"),
    ("which insert goes in the stripped hole", "STI M8x1.25"),
    ("what would an M10 8.8 take", "48.3 N·m"),
    ("what would an m ten ten nine take", "71 N·m"),
    ("how tight does an M6 go", "The grade was not said"),
    ("what would a 3/8-16 grade 5 bolt take", "39 N·m"),
]


@pytest.mark.parametrize(("question", "part"), ANSWERED)
def test_a_question_that_a_sum_can_answer(question: str, part: str, trade: Trade, units: UnitWords) -> None:
    aid = aid_for(question, DOING, trade=trade, units=units, wrenches=WRENCHES)
    assert aid
    assert part in aid.text
    assert "stays open" in aid.text
    assert aid.cautions


BARE = [
    ("a hundred with a fifty millimetre crowfoot on a four hundred wrench", "Set 88.89 to get 100 at the fastener, both in one unit of torque"),
    ("a hundred with a fifty millimetre crowfoot on a four hundred millimetre wrench", "(L 400 mm, E 50 mm, straight on)"),
    ("a hundred with a two inch crowfoot on a sixteen wrench", "(L 406.4 mm, E 50.8 mm, straight on)"),
    ("the crowfoot is fifty millimetres, what do I set", "With the adapter straight on, set T_W"),
    ("a hundred with a crowfoot on a four hundred wrench", "With the adapter straight on, set T_W"),
    ("a hundred and twenty, no, a hundred with a fifty millimetre crowfoot on a four hundred wrench", "With the adapter straight on, set T_W"),
    ("what do I set with the crowfoot", "With the adapter straight on, set T_W"),
]


@pytest.mark.parametrize(("question", "part"), BARE)
def test_an_adapter_with_no_torque_known(question: str, part: str, trade: Trade, units: UnitWords) -> None:
    """Three figures, one of them said with its wrench, are enough; of fewer or more nothing is reckoned."""
    aid = aid_for(question, Entry(), trade=trade, units=units)
    assert aid and part in aid.text and "stays open" in aid.text


LEFT_ALONE = [
    "what is forty seven newton metres in pounds",
    "what is ninety newton metres in millimetres",
    "is it eighteen or twenty",
    "does the release bearing want grease or dry",
    "is two point eight bar enough when hot",
    "anyone know what size the return union is",
    "did the barn get locked",
    "where did the M8 washers go",
    "",
    "???",
    "how many pounds is it in",
]


@pytest.mark.parametrize("question", LEFT_ALONE)
def test_other_questions_get_nothing(question: str, trade: Trade, units: UnitWords) -> None:
    assert aid_for(question, DOING, trade=trade, units=units) is None


SHEET_QUESTIONS = [
    ("what is the torque for the gearbox lid bolts", ("18 N·m",)),
    ("how tight do the gearbox lid bolts go", ("18 N·m",)),
    ("what's the torque on the left front wheel nuts", ("90 N·m",)),
    ("what torque do the cylinder head nuts get", ("stage 1, 40 N·m", "stage 2, 60 N·m + 90°")),
    ("what is the torque for the wheel nuts", None),
    ("what is the torque for the gearbox lid nuts", None),
    ("what is the torque for the step bracket bolts", None),
    ("is the gearbox lid on", None),
    ("what is the torque for the gearbox lid bracket bolts", None),
    ("what torque for the wheel bearing cover on the left front wheel arch", None),
]


@pytest.mark.parametrize(("question", "parts"), SHEET_QUESTIONS)
def test_a_torque_that_the_sheet_has(question: str, parts: tuple[str, ...] | None, trade: Trade, units: UnitWords) -> None:
    aid = aid_for(question, DOING, trade=trade, units=units, sheet=read_spec(SHEET))
    if parts is None:
        assert aid is None or "sheet has it" not in aid.text
    else:
        assert aid and all(part in aid.text for part in parts), aid


def test_safety_parts_get_the_stronger_caution_first(trade: Trade, units: UnitWords) -> None:
    aid = aid_for("what would an M12 10.9 take", Entry(part="brake back plate"), trade=trade, units=units)
    assert aid
    assert aid.cautions[0].startswith("Brakes can kill")


def test_a_thread_that_cannot_be_gets_nothing(trade: Trade, units: UnitWords) -> None:
    assert aid_for("what would an M8x3 8.8 take", Entry(), trade=trade, units=units) is None
