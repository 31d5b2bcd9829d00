"""Facts written by hand, over several notes, become the entries that people would expect."""

from __future__ import annotations

import importlib.util
from pathlib import Path

import pytest

from gudgeon.cli.wiring import tables, unit_words
from gudgeon.domain import BadTable, Entry, ReadNote
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
    """Part, place, fastener, count and torque values of each entry."""
    return [(e.part, e.place, e.fastener, e.count, [t.value for t in e.torques]) for e in entries]


LID = note("lid bolts next all eight of them", part("lid"), fastener("bolts", "bolt"))
EIGHTEEN = note("eighteen newton metres", torque("eighteen newton metres", 18))
LEFT = note("left caliper two bolts", part("left caliper", "caliper", place="left"), fastener("two bolts", "bolt", count=2))
CHATTER = note("who put the kettle on")
PLATE = note("plate, four bolts", part("plate"), fastener("four bolts", "bolt", count=4))

CASES: list[tuple[str, list[ReadNote], list[tuple[object, ...]]]] = [
    ("a value goes to the joint named before", [LID, EIGHTEEN], [("lid", None, "bolt", 8, [18])]),
    ("chatter does not break a joint", [LID, CHATTER, CHATTER, EIGHTEEN], [("lid", None, "bolt", 8, [18])]),
    ("naming a joint alone makes no entry", [LID, CHATTER], []),
    ("a value without any joint says so", [CHATTER, EIGHTEEN, CHATTER], [(None, None, None, None, [18])]),
    (
        "a value said for what comes next",
        [LID, EIGHTEEN, note("nine newton metres on this next lot", torque("nine newton metres", 9)), PLATE],
        [("lid", None, "bolt", 8, [18]), ("plate", None, "bolt", 4, [9])],
    ),
    (
        "a value for what comes next is not the next joint's that has its own",
        [
            note("nine newton metres on this next lot", torque("nine newton metres", 9)),
            note("plate bolts twelve newton metres", part("plate"), fastener("bolts", "bolt"), torque("twelve newton metres", 12, part="plate")),
        ],
        [("plate", None, "bolt", None, [12]), (None, None, None, None, [9])],
    ),
    (
        "a value claimed back by the joint it was meant for",
        [
            LID,
            EIGHTEEN,
            note("forty newton metres", torque("forty newton metres", 40)),
            note("that's what the plate nuts had", part("plate"), fastener("nuts", "nut")),
        ],
        [("lid", None, "bolt", 8, [18]), ("plate", None, "nut", None, [40])],
    ),
    (
        "the same on the other side",
        [LEFT, EIGHTEEN, note("same on the right")],
        [("caliper", "left", "bolt", 2, [18]), ("caliper", "right", "bolt", 2, [18])],
    ),
    (
        "the other side, by its opposite",
        [LEFT, EIGHTEEN, CHATTER, note("and ditto on the other side")],
        [("caliper", "left", "bolt", 2, [18]), ("caliper", "right", "bolt", 2, [18])],
    ),
    ("the same again of tea is no joint", [LEFT, EIGHTEEN, note("same again for me please")], [("caliper", "left", "bolt", 2, [18])]),
    ("at the same time is no copy", [LEFT, EIGHTEEN, note("at the same time the right one rang")], [("caliper", "left", "bolt", 2, [18])]),
    (
        "two fasteners of one part are two joints",
        [
            note(
                "the pump has two nuts at twenty newton metres and six screws at ten newton metres",
                part("pump"),
                fastener("two nuts", "nut", count=2),
                torque("twenty newton metres", 20, part="pump"),
                fastener("six screws", "screw", count=6),
                torque("ten newton metres", 10, part="pump"),
            )
        ],
        [("pump", None, "nut", 2, [20]), ("pump", None, "screw", 6, [10])],
    ),
    (
        "two threads of one part are two joints",
        [
            note(
                "mast foot: four M12 bolts 80 Nm, two M8 bolts 25 Nm",
                part("mast foot"),
                fastener("four M12 bolts", "bolt", count=4, thread="M12"),
                torque("80 Nm", 80, part="mast foot"),
                fastener("two M8 bolts", "bolt", count=2, thread="M8"),
                torque("25 Nm", 25, part="mast foot"),
            )
        ],
        [("mast foot", None, "bolt", 4, [80]), ("mast foot", None, "bolt", 2, [25])],
    ),
    (
        "a correction by the value taken back",
        [LID, EIGHTEEN, PLATE, note("sorry those lid bolts were sixteen not eighteen", part("lid"), fastener("bolts", "bolt"))],
        [("lid", None, "bolt", 8, [16])],
    ),
    (
        "a correction the other way round",
        [LID, EIGHTEEN, note("hang on the lid wasn't eighteen it was nineteen", part("lid"))],
        [("lid", None, "bolt", 8, [19])],
    ),
    (
        "sorry before a new joint is no correction",
        [
            LID,
            EIGHTEEN,
            note(
                "sorry plate bolts twelve newton metres", part("plate"), fastener("bolts", "bolt"), torque("twelve newton metres", 12, part="plate")
            ),
        ],
        [("lid", None, "bolt", 8, [18]), ("plate", None, "bolt", None, [12])],
    ),
    (
        "going back to an earlier joint",
        [
            LID,
            note("pass one ten newton metres", torque("ten newton metres", 10, stage=1)),
            PLATE,
            note("five newton metres", torque("five newton metres", 5)),
            note("back to the lid pass two eighteen newton metres", part("lid"), torque("eighteen newton metres", 18, stage=2, part="lid")),
        ],
        [("lid", None, "bolt", 8, [10, 18]), ("plate", None, "bolt", 4, [5])],
    ),
    (
        "an answer goes to the joint asked about",
        [
            LID,
            note("is it eighteen or twenty", fact("is it eighteen or twenty", "question", "is it eighteen or twenty")),
            note("plate nuts at nine newton metres", part("plate"), fastener("nuts", "nut"), torque("nine newton metres", 9, part="plate")),
            note("turns out it's twenty newton metres", torque("twenty newton metres", 20)),
        ],
        [("lid", None, "bolt", 8, [20]), ("plate", None, "nut", None, [9])],
    ),
    (
        "a fault of the part stands beside its bolts",
        [PLATE, EIGHTEEN, note("the plate is cracked", part("plate"), fact("cracked", "condition", "cracked", part="plate"))],
        [("plate", None, "bolt", 4, [18]), ("plate", None, None, None, [])],
    ),
    (
        "a thread that strips is the fastener's",
        [PLATE, note("one of them stripped", fact("stripped", "condition", "stripped")), EIGHTEEN],
        [("plate", None, "bolt", 4, [18])],
    ),
    (
        "a joint all done takes no more values by silence",
        [LID, EIGHTEEN, note("that's all eight done"), note("forty newton metres", torque("forty newton metres", 40)), CHATTER],
        [("lid", None, "bolt", 8, [18]), (None, None, None, None, [40])],
    ),
    (
        "a part only cleaned does not take the value of a joint that waits for its own",
        [PLATE, note("cleaned the block face", fact("cleaned", "action", "clean"), part("block face")), EIGHTEEN],
        [("plate", None, "bolt", 4, [18])],
    ),
    (
        "two joints named together, and a value alone, is no one's",
        [
            note("pump bolts and then the guard nuts", part("pump"), fastener("bolts", "bolt"), part("guard"), fastener("nuts", "nut")),
            EIGHTEEN,
            CHATTER,
        ],
        [(None, None, None, None, [18])],
    ),
    (
        "a sentence that ends in the next note",
        [
            LID,
            EIGHTEEN,
            note("forty newton metres", torque("forty newton metres", 40)),
            note("on the plate nuts", part("plate"), fastener("nuts", "nut")),
        ],
        [("lid", None, "bolt", 8, [18]), ("plate", None, "nut", None, [40])],
    ),
    (
        "left and right in one breath are two joints",
        [
            note(
                "left and right hub nuts ninety newton metres",
                part("right hub", "hub", place="right"),
                fastener("nuts", "nut"),
                torque("ninety newton metres", 90),
            )
        ],
        [("hub", "right", "nut", None, [90]), ("hub", "left", "nut", None, [90])],
    ),
    (
        "one for the joint before, and the same for another",
        [
            LID,
            note(
                "ten newton metres and the same for the plate four bolts",
                torque("ten newton metres", 10),
                part("plate"),
                fastener("four bolts", "bolt", count=4),
            ),
        ],
        [("lid", None, "bolt", 8, [10]), ("plate", None, "bolt", 4, [10])],
    ),
    (
        "a gasket takes no bolts",
        [
            note("manway gasket is leaking", part("manway gasket"), fact("leaking", "condition", "leaking", part="manway gasket")),
            note("bolts at thirty newton metres", fastener("bolts", "bolt"), torque("thirty newton metres", 30)),
        ],
        [("manway gasket", None, None, None, []), (None, None, "bolt", None, [30])],
    ),
    (
        "a loosely named joint is corrected all the same",
        [
            note(
                "winch base six screws twelve newton metres",
                part("winch base"),
                fastener("six screws", "screw", count=6),
                torque("twelve newton metres", 12, part="winch base"),
            ),
            note("hang on that winch was ten not twelve", part("winch")),
        ],
        [("winch base", None, "screw", 6, [10])],
    ),
    (
        "a value said of the wrong side",
        [LEFT, EIGHTEEN, CHATTER, note("sorry that was the right one")],
        [("caliper", "right", "bolt", 2, [18])],
    ),
    (
        "a place said with sorry that corrects nothing",
        [LEFT, EIGHTEEN, note("sorry the right one's stuck in the post")],
        [("caliper", "left", "bolt", 2, [18])],
    ),
    (
        "first six and the other six are one joint",
        [LID, note("first four at eighteen newton metres", torque("eighteen newton metres", 18)), note("other four likewise")],
        [("lid", None, "bolt", 8, [18])],
    ),
]


@pytest.mark.parametrize(("notes", "expected"), [case[1:] for case in CASES], ids=[case[0] for case in CASES])
def test_entries(assembler: Assembler, notes: list[ReadNote], expected: list[tuple[object, ...]]) -> None:
    assert joints(assembler.assemble(notes)) == expected


def test_a_correction_keeps_what_was_said_first(assembler: Assembler) -> None:
    said = [LID, EIGHTEEN, note("sorry those lid bolts were sixteen not eighteen", part("lid"), fastener("bolts", "bolt"))]
    (entry,) = assembler.assemble(said)
    assert entry.torques[0].replaces == 18
    assert entry.torques[0].nm == pytest.approx(16)
    assert "18 N·m, said in note 2, was corrected to 16 N·m" in entry.history[0]
    assert entry.notes == (0, 1, 2)


def test_an_entry_without_a_part_says_why(assembler: Assembler) -> None:
    (entry,) = assembler.assemble([EIGHTEEN])
    assert entry.unclear and "18 N·m" in entry.unclear


def test_every_step_is_told(assembler: Assembler) -> None:
    (entry,) = assembler.assemble([LID, EIGHTEEN, note("that's the eight finished")])
    assert entry.complete
    assert [step.split(":")[0] for step in entry.how] == ["note 1", "note 1", "note 2", "note 3"]


def test_a_kept_tool_goes_to_the_joints_it_was_kept_for(assembler: Assembler) -> None:
    notes = [
        LID,
        note(
            "thirteen mil socket and i'm keeping it on for the plate as well",
            fact("thirteen mil socket", "tool", "socket", size=13, size_unit="mm"),
            part("plate"),
        ),
        EIGHTEEN,
        PLATE,
        EIGHTEEN,
        note("guard, two screws, 4 Nm", part("guard"), fastener("two screws", "screw", count=2), torque("4 Nm", 4, part="guard")),
    ]
    assert [(e.part, e.tool.size if e.tool else None) for e in assembler.assemble(notes)] == [("lid", 13), ("plate", 13), ("guard", None)]


def test_open_items(assembler: Assembler) -> None:
    notes = [
        note("is it eighteen or twenty", fact("is it eighteen or twenty", "question", "is it eighteen or twenty")),
        note("buy two clips", fact("buy two clips", "buy", "clip", count=2)),
        note(
            "the plate is cracked and the lid is good",
            part("plate"),
            fact("cracked", "condition", "cracked", part="plate"),
            part("lid"),
            fact("good", "condition", "good", part="lid"),
        ),
        note("get clips", fact("get clips", "buy", "clip", count=4)),
    ]
    items = assembler.open_items(notes)
    assert [(i.kind, i.text, i.note, i.count) for i in items] == [
        ("question", "is it eighteen or twenty", 0, None),
        ("buy", "clip", 1, 4),
        ("fault", "plate: cracked", 2, None),
    ]


@pytest.mark.parametrize("row", ["same,same again", "sam,once more", "same", "same,one,two"])
def test_a_wrong_row_is_refused(row: str) -> None:
    wrong = {**tables("entries"), "cues": [*tables("entries")["cues"], row]}
    with pytest.raises(BadTable, match=r"cues\.csv"):
        Assembler.from_tables(wrong, unit_words())


def test_any_text_is_survived(assembler: Assembler) -> None:
    odd = ["", " ", "((((", "same same same", "not not 3 not", "\x00", "all # done", "number", "ß 漢字 🙂", "left right left right", "that's the"]
    assert assembler.assemble([ReadNote(text, ()) for text in odd]) == ()


def test_a_session_that_grows_is_the_same_as_one_read_at_once() -> None:
    said = [
        LID,
        EIGHTEEN,
        PLATE,
        note("forty newton metres", torque("forty newton metres", 40)),
        note("that's what the guard nuts had", part("guard"), fastener("nuts", "nut")),
    ]
    said += [CHATTER, note("nine newton metres on this next lot", torque("nine newton metres", 9))]
    growing = Assembler.from_tables(tables("entries"), unit_words())
    for length in range(len(said) + 1):
        fresh = Assembler.from_tables(tables("entries"), unit_words())
        assert growing.assemble(said[:length]) == fresh.assemble(said[:length])
    struck = [ReadNote("", ()), *said[1:]]
    assert growing.assemble(struck) == Assembler.from_tables(tables("entries"), unit_words()).assemble(struck)


def test_twins_named_by_their_numbers_alone(assembler: Assembler) -> None:
    first = note(
        "number one injector clamp two bolts twenty newton metres",
        part("number one injector clamp", "injector clamp", place="number 1"),
        fastener("two bolts", "bolt", count=2),
        torque("twenty newton metres", 20, part="injector clamp", place="number 1"),
    )
    entries = assembler.assemble([first, note("two, three and four the same")])
    assert [(e.place, e.count, [t.value for t in e.torques]) for e in entries] == [(f"number {n}", 2, [20]) for n in (1, 2, 3, 4)]
    assert len(assembler.assemble([first, note("two sugars the same as always")])) == 1
