"""Parts that no list knows: named by where they stand, and never made into the joint before them."""

from __future__ import annotations

import importlib.util
from dataclasses import replace
from pathlib import Path

import pytest

from gudgeon.cli.wiring import tables, unit_words
from gudgeon.domain import Entry, ReadNote
from gudgeon.entries import Assembler

_SPEC = importlib.util.spec_from_file_location("notes_by_hand", Path(__file__).with_name("notes_by_hand.py"))
assert _SPEC and _SPEC.loader
hand = importlib.util.module_from_spec(_SPEC)
_SPEC.loader.exec_module(hand)
note, part, fastener, torque, fact = hand.note, hand.part, hand.fastener, hand.torque, hand.fact


@pytest.fixture(scope="module")
def assembler() -> Assembler:
    return Assembler.from_tables(tables("entries"), unit_words())


def joints(entries: tuple[Entry, ...]) -> list[tuple[object, ...]]:
    """Part, place and torque values of each entry that has a torque."""
    return [(e.part, e.place, [t.value for t in e.torques]) for e in entries if e.torques]


def nm(value: int) -> tuple[str, str, object, dict[str, object]]:
    return torque(f"{value} Nm", value)


PUMP = note("pump, 4 bolts, 40 Nm", part("pump"), fastener("4 bolts", "bolt", count=4), torque("40 Nm", 40, part="pump"))

TWO = fastener("two bolts", "bolt", count=2)
NAMED: list[tuple[str, list[ReadNote], list[tuple[object, ...]]]] = [
    ("before a count and a fastener", [PUMP, note("dobby comb two bolts 9 Nm", TWO, nm(9))], [("dobby comb", None, [9])]),
    ("before a value", [PUMP, note("dobby comb at 9 Nm", nm(9))], [("dobby comb", None, [9])]),
    ("behind a value", [PUMP, note("9 Nm on the dobby comb", nm(9))], [("dobby comb", None, [9])]),
    ("as a heading", [PUMP, note("Left dobby comb: 2 bolts, 9 Nm", fastener("2 bolts", "bolt", count=2), nm(9))], [("dobby comb", "left", [9])]),
    ("with the words before it", [PUMP, note("now the whipple lid two nuts", part("lid"), fastener("two nuts", "nut", count=2)), note("9 Nm", nm(9))],
     [("whipple lid", None, [9])]),
    ("with the words behind it", [PUMP, note("Barrel anchor: 2 nuts", part("Barrel", "barrel"), fastener("2 nuts", "nut", count=2)),
                                    note("9 Nm", nm(9))],
     [("barrel anchor", None, [9])]),
    ("of two parts read side by side", [PUMP, note("Fan hub bush: 9 Nm", part("Fan hub", "fan hub"), part("bush"), torque("9 Nm", 9, part="bush"))],
     [("fan hub bush", None, [9])]),
    ("with a place inside", [PUMP, note("Radiator lower mount: 9 Nm", part("Radiator", "radiator"), part("lower mount", "mount", place="lower"),
                                        torque("9 Nm", 9, part="mount", place="lower"))], [("radiator mount", "lower", [9])]),
    ("with a number inside", [PUMP, note("Bucket 2 lip: 6 bolts, 9 Nm", fastener("6 bolts", "bolt", count=6), nm(9))],
     [("bucket lip", "number 2", [9])]),
    ("by a tool's word", [PUMP, note("scraper arm two nuts 9 Nm", fact("scraper", "tool", "scraper"), fastener("two nuts", "nut", count=2), nm(9))],
     [("scraper arm", None, [9])]),
    ("by the job of a fastener", [note("pivot bolt 40 Nm, adjuster bolt 9 Nm", part("pivot"), fastener("bolt", "bolt"),
                                       torque("40 Nm", 40, part="pivot"),
                                       fastener("adjuster bolt", "bolt"), torque("9 Nm", 9, part="pivot"))], [("adjuster", None, [9])]),
    ("with the next", [PUMP, note("whizzer next"), note("9 Nm", nm(9))], [("whizzer", None, [9])]),
]  # fmt: skip


@pytest.mark.parametrize(("notes", "expected"), [case[1:] for case in NAMED], ids=[case[0] for case in NAMED])
def test_named_by_position(assembler: Assembler, notes: list[ReadNote], expected: list[tuple[object, ...]]) -> None:
    found = joints(assembler.assemble(notes))
    assert found[0][2] == [40]
    assert found[1:] == expected


UNCLEAR = [
    ("all that a note says", [PUMP, note("dobby comb then"), note("9 Nm", nm(9))]),
    ("before a value, with more between", [PUMP, note("dobby comb cleaned up nicely and it went on at 9 Nm", nm(9))]),
    ("before a fastener, with more between", [PUMP, note("dobby comb fancy as ever bolts", fastener("bolts", "bolt")), note("9 Nm", nm(9))]),
]


@pytest.mark.parametrize("notes", [case[1] for case in UNCLEAR], ids=[case[0] for case in UNCLEAR])
def test_words_that_may_name_a_part_keep_the_value_from_the_joint_before(assembler: Assembler, notes: list[ReadNote]) -> None:
    pump, other = [e for e in assembler.assemble(notes) if e.torques]
    assert [t.value for t in pump.torques] == [40]
    assert (other.part, [t.value for t in other.torques]) == (None, [9])
    assert other.unclear is not None
    assert "dobby comb" in other.unclear


def test_talk_alone_takes_no_value_away(assembler: Assembler) -> None:
    notes = [note("lid, 4 bolts", part("lid"), fastener("4 bolts", "bolt", count=4)), note("lovely morning for it"), note("9 Nm", nm(9))]
    assert joints(assembler.assemble(notes)) == [("lid", None, [9])]


def test_a_value_alone_corrects_only_the_joint_worked_on(assembler: Assembler) -> None:
    wheel = note("chain wheel: 2 screws", part("chain wheel"), fastener("2 screws", "screw", count=2))
    only = note("only got 6 Nm on them", torque("6 Nm", 6))
    assert joints(assembler.assemble([PUMP, wheel, only])) == [("pump", None, [40]), ("chain wheel", None, [6])]


def test_a_correction_of_a_part_not_known_changes_nothing_else(assembler: Assembler) -> None:
    assert joints(assembler.assemble([PUMP, note("no, the dobby comb was forty two")])) == [("pump", None, [40])]


def test_a_side_is_corrected_by_itself(assembler: Assembler) -> None:
    left = note(
        "left leg two bolts 22 Nm",
        part("left leg", "leg", place="left"),
        fastener("two bolts", "bolt", count=2),
        torque("22 Nm", 22, part="leg", place="left"),
    )
    right = note("right leg same again", part("right leg", "leg", place="right"))
    entries = assembler.assemble([left, right, note("oh the right hand ones were twenty")])
    assert joints(entries) == [("leg", "left", [22]), ("leg", "right", [20])]
    assert any("22 N·m" in line and "20 N·m" in line for line in entries[1].history)


def test_a_purpose_takes_no_value(assembler: Assembler) -> None:
    stem = note("stem nut next", part("stem"), fastener("nut", "nut"))
    value = note("40 Nm to bed the bearings", torque("40 Nm", 40), part("bearings", "bearing"))
    assert joints(assembler.assemble([stem, value])) == [("stem", None, [40])]


def test_both_ends_are_copied(assembler: Assembler) -> None:
    left = note("Left shock: top bolt 40 Nm, bottom nut 34 Nm", part("Left shock", "shock", place="left"), fastener("bolt", "bolt"),
                torque("40 Nm", 40, part="shock", place="left"), fastener("nut", "nut"), torque("34 Nm", 34, part="shock", place="left"))  # fmt: skip
    right = note("Right shock: same both ends", part("Right shock", "shock", place="right"))
    assert joints(assembler.assemble([left, right])) == [
        ("shock", "left top", [40]),
        ("shock", "left bottom", [34]),
        ("shock", "right top", [40]),
        ("shock", "right bottom", [34]),
    ]


def test_an_assembly_is_copied_joint_by_joint(assembler: Assembler) -> None:
    first = note("Sweep 1: hanger bolt 110 Nm, tie rod nut 45 Nm", part("hanger"), fastener("bolt", "bolt"), torque("110 Nm", 110, part="hanger"),
                 part("tie rod"), fastener("nut", "nut"), torque("45 Nm", 45, part="tie rod"))  # fmt: skip
    assert joints(assembler.assemble([first, note("Sweep 2 same")])) == [
        ("hanger", "number 1", [110]),
        ("tie rod", "number 1", [45]),
        ("hanger", "number 2", [110]),
        ("tie rod", "number 2", [45]),
    ]


def test_a_value_is_moved_to_another_part(assembler: Assembler) -> None:
    coupling = note("coupling bolts 110 Nm", part("coupling"), fastener("bolts", "bolt"), torque("110 Nm", 110, part="coupling"))
    moved = note("no sorry that was the motor foot, the coupling ones were ninety", part("motor foot"), part("coupling"))
    assert joints(assembler.assemble([coupling, moved])) == [("coupling", None, [90]), ("motor foot", None, [110])]


@pytest.mark.parametrize(
    "facts",
    [
        note("lid, 4 new bolts, 9 Nm", part("lid"), fastener("4 new bolts", "bolt", count=4), torque("9 Nm", 9, part="lid")),
        note("new bolts in the lid, 9 Nm", fastener("bolts", "bolt"), part("lid"), torque("9 Nm", 9, part="lid")),
    ],
    ids=("before", "after"),
)
def test_new_bolts_reach_the_entry(assembler: Assembler, facts: ReadNote) -> None:
    (entry,) = assembler.assemble([facts])
    assert (entry.part, entry.fastener, entry.state) == ("lid", "bolt", "new")


def test_nothing_is_copied_from_a_model_not_understood(assembler: Assembler) -> None:
    frame = note("frame same as the second dingle", part("frame"))
    assert joints(assembler.assemble([PUMP, frame])) == [("pump", None, [40])]


def test_a_very_long_note_is_understood_in_pieces(assembler: Assembler) -> None:
    said = [(f"part{i} two bolts 9 Nm. ", f"part{i}") for i in range(400)]
    text, facts, at = "", [], 0
    for words, name in said:
        text += words
        for kind in (part(name), fastener("two bolts", "bolt", count=2), torque("9 Nm", 9, part=name)):
            (made,) = note(words, kind).facts
            facts.append(replace(made, span=(at + made.span[0], at + made.span[1])))
        at += len(words)
    entries = assembler.assemble([ReadNote(text, tuple(facts))])
    assert joints(entries) == [(name, None, [9]) for _, name in said]
