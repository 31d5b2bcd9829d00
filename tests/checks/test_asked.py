"""A question about a joint, asked aloud: which joints of the sheet it means, also when a name was misheard, and how the answer is put."""

from __future__ import annotations

import pytest
from reached import SHEET

from gudgeon.checks import Name, from_sheet, named, read_spec
from gudgeon.checks.sheet_answers import rows_asked
from gudgeon.units import Sounds

NAMES = (
    Name("sump drain plug"),
    Name("gearbox lid", "", "bolt"),
    Name("wheel", "left front", "nut"),
    Name("wheel", "right front", "nut"),
    Name("pedal", "left"),
    Name("exhaust manifold", "", "nut"),
)


@pytest.mark.parametrize(
    ("question", "meant"),
    [
        ("what is the torque for the drain plug", (0,)),
        ("what torque for the sump drain plugs", (0,)),
        ("drain bolt", (0,)),  # no fastener is named there, so any fits
        ("gearbox lid", (1,)),
        ("the gearbox lid bolts please", (1,)),
        ("the gearbox lid nuts", ()),
        ("gear box lid", ()),
        ("what do the wheel nuts get", (2, 3)),
        ("what do the left front wheel nuts get", (2,)),
        ("the right wheel", (3,)),
        ("what is left", (2, 4)),  # a side that joints have is theirs
        ("the pedal", (4,)),
        ("the rain plug", (0,)),  # misheard
        ("the exhaust man fold", ()),
        ("the exhaust manifolt", (5,)),
        ("the great plug", ()),  # nothing sounds like "great"
        ("the grain flug", ()),  # less than half was heard as it is
        ("exhaust nit", ()),  # too short to be taken for another word
        ("what is the torque", ()),
        ("", ()),
    ],
)
def test_the_joints_that_are_meant(question: str, meant: tuple[int, ...], sounds: Sounds) -> None:
    assert named(question, NAMES, sounds) == meant


def test_words_that_name_nothing_may_name_a_joint() -> None:
    """ "Tight" and "left" are passed over only where no joint is called so."""
    assert named("the tight one", (Name("tight strap"), Name("loose strap")), Sounds((), ())) == (0,)


@pytest.mark.parametrize(
    ("question", "text"),
    [
        ("what is the torque for the gearbox lid bolts", "Gearbox lid bolt: 18 N·m (spec sheet, line 2)."),
        ("the cylinder head", "Cylinder head nut: stage 1 40 N·m, then stage 2 60 N·m + 90° (spec sheet, lines 3, 4)."),
        ("the wheel nuts", "The spec sheet has several: left rear wheel nut, left front wheel nut. Say which."),
        ("the left rear wheel", "Left rear wheel nut: 170 N·m (spec sheet, line 10)."),
        ("the step bracket", None),
    ],
)
def test_the_answer_from_the_sheet(question: str, text: str | None, sounds: Sounds) -> None:
    answer = from_sheet(question, read_spec(SHEET), sounds)
    assert (answer and answer.text) == text
    assert answer is None or answer.several == ("several" in (text or ""))


def test_joints_that_want_the_same_are_answered_at_once_up_to_three_and_more_are_asked_for(sounds: Sounds) -> None:
    def sheet(sides: str) -> list[str]:
        return ["part,place,fastener,torque,unit,source", *(f"hub,{side},nut,90,N*m,page {number}" for number, side in enumerate(sides.split(), 1))]

    three = from_sheet("the hub nuts", read_spec(sheet("left right rear")), sounds)
    assert three and not three.several
    assert three.text == (
        "Left hub nut and right hub nut and rear hub nut: 90 N·m (spec sheet, lines 2, 3, 4, which names as its source: page 1; page 2; page 3)."
    )
    assert three.aloud == "Left hub nut and right hub nut and rear hub nut: 90 N·m, by the spec sheet."
    four = from_sheet("the hub nuts", read_spec(sheet("left right rear front")), sounds)
    assert four and four.several and four.text.endswith("left hub nut, right hub nut, rear hub nut and others. Say which.")


@pytest.mark.parametrize(
    ("question", "lines"),
    [
        ("what torque for the gearbox lid", [2]),
        ("what torque does the gearbox lid get", [2]),
        ("what torque for the gearbox lid lamp", []),
        ("how tight is the cylinder head", [3, 4]),
        ("how tight is the cylinder head light", []),
    ],
)
def test_a_part_is_asked_for_when_its_name_ends_there(question: str, lines: list[int]) -> None:
    assert [row.line for row in rows_asked(question.split(), read_spec(SHEET))] == lines
