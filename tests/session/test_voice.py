"""Commands by voice: behind the wake phrase only, carried out or plainly refused, never in doubt."""

from dataclasses import replace
from datetime import UTC, datetime

import numpy as np
import pytest

from gudgeon.cli import wiring
from gudgeon.domain import (
    SAMPLE_RATE,
    Clip,
    Entry,
    Hearing,
    Judgement,
    Note,
    OpenItem,
    OtherReading,
    Reading,
    SpecRow,
    SpecSheet,
    Torque,
    TorqueDone,
    Verdict,
)
from gudgeon.record import StoredEntry, StoredNote
from gudgeon.session import Command, Commands, Origin, Reins, Voice, begin, listen
from gudgeon.session.doubts import Doubt, doubt_of, reply_in

UNITS = wiring.unit_words()
TRADE = wiring.trade()
COMMANDS = Commands(wiring.tables("session")["commands"], UNITS.sounds)
STARTED = datetime(2026, 5, 4, 7, 0, tzinfo=UTC)


@pytest.mark.parametrize(
    ("text", "command"),
    [
        ("Hello workshop, strike that!", Command("strike")),
        ("Hello, work shop. Strike that.", Command("strike")),
        ("Hello workshop, make it 25 Nm.", Command("make", "25 nm")),
        ("Hello workshop make it twenty-five newton metres", Command("make", "twenty-five newton metres")),
        ("Hello workshop, what is open?", Command("list")),
        ("Hello workshop, what is the torque for the drain plug?", Command("ask", "what is the torque for the drain plug")),
        ("Hello workshop, open item order gaskets", Command("item", "order gaskets")),
        ("Hello workshop, end session.", Command("end")),
        ("Hello workshop, strange heart", Command("unknown", "strange heart")),
        ("Hello workshop, end session tomorrow morning first thing", Command("unknown", "end session tomorrow morning first thing")),
        ("Hello workshop and session.", Command("end")),
        ("Hello workshop, Carrie Young.", Command("carry on")),
        ("Hello workshop, Dominie are left.", Command("left")),
        ("Hello workshop, Scratchpad.", Command("strike")),
        ("Hello workshop, plaus.", Command("pause")),
        ("Hello workshop, which talk for the rocker cover nuts.", Command("ask", "which torque for the rocker cover nuts")),
        ("Hello workshop, what did Aptor setting for 100", Command("ask", "what adapter setting for 100")),
        ("Hello workshop, how many left on the gearbox lid?", Command("left on", "gearbox lid")),
        ("Hello workshop.", Command("called")),
        ("Hello workshop, pass me the spanner", Command("unknown", "pass me the spanner")),
        ("Hello workshop, I carried on down the road", Command("unknown", "i carried on down the road")),
        ("Hillo worked shop, how many left?", Command("left")),
        ("Hello workshop, what is the torch for the flywheel bolts?", Command("ask", "what is the torque for the flywheel bolts")),
        ("Hello, the work stopped. Strike that.", None),
        ("Strike that.", None),
        ("I said hello workshop, strike that", None),
        ("Hello, the workshop is cold, end session", Command("unknown", "is cold end session")),
        ("", None),
    ],
)
def test_words(text, command):
    assert COMMANDS.read(text) == command


def test_another_wake_phrase():
    other = Commands(wiring.tables("session")["commands"], UNITS.sounds, "Okay bench")
    assert other.read("Okay bench, pause.") == Command("pause")
    assert other.read("Hello workshop, pause.") is None
    assert "okay bench, strike that" in other.phrases


def run(source, tools, sound, *texts, shown=None, asks=True):
    def gate(stream):
        for at, block in enumerate(stream):
            yield Clip(block, float(at), at + 1.0)

    shown, reins = [] if shown is None else shown, Reins()
    blocks = (np.zeros(SAMPLE_RATE, dtype=np.float32) for _ in texts)
    with begin(Origin(source, STARTED, again=True), tools.record, "scripted") as start:
        voice = Voice(tools, start.session.id, reins, UNITS, TRADE, COMMANDS, asks)
        heard = replace(sound(0).tools(*texts), gate=gate)
        taken = listen(start, blocks, tools, heard, show=shown.append, reins=reins, obey=voice.obey, ask=voice.ask_about)
    values = [torque.value for entry in tools.record.entries(taken.session.id) for torque in entry.entry.torques]
    return taken, values, [phrase.answer.text if phrase.answer else None for phrase in shown]


def notes(tools, taken):
    return [note.note.text for note in tools.record.notes(taken.session.id) if not note.struck]


def test_strike_takes_the_last_note_back(tools, source, sound):
    taken, values, answers = run(source, tools, sound, "lid at 18", "lid at 20", "Hello workshop, strike that.")
    assert (values, notes(tools, taken), answers[-1]) == ([18.0], ["lid at 18"], "Struck: lid at 20")
    assert len(tools.record.notes(taken.session.id)) == 2


def test_a_command_misheard_before_is_not_what_is_struck(tools, source, sound):
    taken, values, _ = run(source, tools, sound, "lid at 18", "lid at 20", "Hello workshop, strange heart", "Hello workshop, strike that")
    assert (values, notes(tools, taken)) == ([18.0], ["lid at 18", "Hello workshop, strange heart"])


def test_make_it_changes_the_last_value(tools, source, sound):
    _, values, answers = run(source, tools, sound, "lid at 18", "lid at 20", "Hello workshop, make it twenty five newton metres.")
    assert values == [18.0, 25.0]
    assert answers[-1] == "Lid: 25 newton metres, no reference. The maker's manual decides."


def test_what_was_heard_in_two_ways_changes_nothing(tools, source, sound):
    doubt = Hearing("Hello workshop, make it 30 Nm.", 0.9, "scripted", others=(Reading("Hello workshop, make it 13 Nm.", 0.3),))
    taken, values, answers = run(source, tools, sound, "lid at 18", doubt)
    assert values == [18.0]
    assert "unsurely" in answers[-1] and len(notes(tools, taken)) == 2


@pytest.mark.parametrize("said", ["make it tighter", "make it", "make it 25 or 30 or so", "how many left", "frobnicate"])
def test_what_cannot_be_done_changes_nothing_says_so_and_stays_a_note(tools, source, sound, said):
    taken, values, answers = run(source, tools, sound, "lid at 18", f"Hello workshop, {said}")
    assert values == [18.0]
    assert "kept as a note" in answers[-1]
    assert notes(tools, taken) == ["lid at 18", f"Hello workshop, {said}"]


def test_a_pause_makes_no_notes_until_carry_on(tools, source, sound):
    taken, _, _ = run(source, tools, sound, "lid at 18", "Hello workshop, pause", "lid at 99", "Hello workshop, carry on", "lid at 20")
    assert notes(tools, taken) == ["lid at 18", "lid at 20"]
    assert taken.session.reached == 5.0


def test_no_value_is_read_from_a_command_that_was_not_understood(tools, source, sound):
    taken, values, answers = run(source, tools, sound, "lid at 18", "Hello workshop, lid at 25")
    assert values == [18.0] and "no value is read" in answers[-1]
    assert notes(tools, taken) == ["lid at 18", "Hello workshop, lid at 25"]


def test_asking(tools, source, sound):
    row = SpecRow(part="sump", fastener="drain plug", torque=35.0, unit="N*m", line=2)
    text = "part,fastener,torque,unit\nsump,drain plug,35,N*m\n"
    tools.record.put_sheet(name="sheet.csv", text=text, sheet=SpecSheet(rows=(row,)))
    tools.record.add_item(OpenItem(kind="todo", text="order gaskets"))
    asked = ("what is open?", "how many left?", "what is the torque for the sump drain plug?", "open item clean the seat", "read that back")
    taken, _, answers = run(source, tools, sound, "lid at 18", *(f"Hello workshop, {text}" for text in asked))
    assert answers[1] == "1 open. order gaskets"
    assert answers[2] == "1 of 1 left by the spec sheet: sump drain plug."
    assert "35" in answers[3] and "sheet" in answers[3] and "manual" in answers[3]
    assert answers[5] == "“lid at 18” Read as: lid 18 N·m, no reference."
    assert [item.item.text for item in tools.record.items()] == ["order gaskets", "clean the seat"]
    assert notes(tools, taken) == ["lid at 18"]


def test_end_session_finishes_it(tools, source, sound):
    taken, _, _ = run(source, tools, sound, "lid at 18", "Hello workshop, end session")
    assert (taken.session.state, taken.stopped) == ("finished", False)


def asked(source, tools, sound, question, *, before=("lid at 18",)):
    taken, _, answers = run(source, tools, sound, *before, f"Hello workshop, {question}")
    assert notes(tools, taken) == list(before) or "kept as a note" in answers[-1]
    return answers[-1]


SHEET = """part,place,fastener,count,torque,unit,stage
sump,,drain plug,1,35,N*m,
cylinder head,,nut,8,30,N*m,1
cylinder head,,nut,8,65,N*m,2
rocker cover,,nut,2,9,N*m,
brake pedal,left,bolt,1,20,N*m,
brake pedal,right,bolt,1,22,N*m,
"""


def load_sheet(tools):
    from gudgeon.checks import read_spec

    tools.record.put_sheet(name="sheet.csv", text=SHEET, sheet=read_spec(SHEET.split("\n")))


@pytest.mark.parametrize(
    ("question", "answer"),
    [
        ("what is the torque for the drain plug?", "Sump drain plug: 35 N·m (spec sheet, line 2)."),
        ("what is the talk for the rain plug?", "Sump drain plug: 35 N·m (spec sheet, line 2)."),
        ("what is the torque for the cylinder head nuts", "Cylinder head nut: stage 1 30 N·m, then stage 2 65 N·m (spec sheet, lines 3, 4)."),
        ("what is the torque for the left brake pedal", "Left brake pedal bolt: 20 N·m (spec sheet, line 6)."),
        ("how tight does the rocker cover go", "Rocker cover nut: 9 N·m (spec sheet, line 5)."),
    ],
)
def test_a_torque_comes_from_the_sheet_with_its_line(tools, source, sound, question, answer):
    load_sheet(tools)
    assert asked(source, tools, sound, question) == f"{answer} The maker's manual decides."


@pytest.mark.parametrize("question", ["what is the torque for the gearbox drain plug", "what is the torque for the wheel nuts", "what is the torque"])
def test_no_torque_is_given_for_another_joint(tools, source, sound, question):
    load_sheet(tools)
    assert asked(source, tools, sound, question).startswith("Neither the spec sheet, the record nor the sums answer that.")


def test_when_several_joints_are_meant_it_is_asked_which(tools, source, sound):
    load_sheet(tools)
    answer = asked(source, tools, sound, "what is the torque for the brake pedal bolt")
    assert answer == "The spec sheet has several: left brake pedal bolt, right brake pedal bolt. Say which."


def test_what_the_sheet_has_not_comes_from_the_record(tools, source, sound):
    load_sheet(tools)
    answer = asked(source, tools, sound, "what is the torque for the lid?")
    assert answer.startswith("The spec sheet does not have it. Lid: 18 N·m, no reference (what was said in session 1, 4 May 2026).")
    assert answer.endswith("The maker's manual decides.")


def test_a_struck_value_is_no_answer(tools, source, sound):
    _, _, answers = run(source, tools, sound, "lid at 18", "Hello workshop, strike that", "Hello workshop, what is the torque for the lid?")
    assert answers[-1].startswith("Neither")


def test_an_adapter_in_bare_figures_is_computed_and_says_so(tools, source, sound):
    answer = asked(source, tools, sound, "what adapter setting for a hundred with fifty millimetres on a four hundred wrench?")
    assert answer.startswith("Set 88.89 to get 100 at the fastener, both in one unit of torque: none was said.")  # 100 · 400 / (400 + 50), TM 9-254
    assert "computed" in answer and "manual" in answer and "TM 9-254" in answer


def test_how_many_are_left_on_one_joint(tools, source, sound):
    load_sheet(tools)
    answer = asked(source, tools, sound, "how many left on the cylinder head?")
    assert answer == ("Cylinder head nut: stage 1: all 8 left; stage 2: all 8 left. It is not started, by the spec sheet and the record.")


def test_the_wake_phrase_alone_makes_the_next_phrase_a_command(tools, source, sound):
    taken, values, answers = run(source, tools, sound, "lid at 18", "lid at 20", "Hello workshop.", "Strike that.", "Strike that.")
    assert (values, answers[2:4]) == ([18.0], ["Yes?", "Struck: lid at 20"])
    assert notes(tools, taken) == ["lid at 18", "Strike that."]


def doubtful(text, other, odds=0.2):
    return Hearing(text, 0.8, "scripted", others=(Reading(other, odds),))


@pytest.mark.parametrize(
    ("reply", "value"),
    [("One three.", 13.0), ("three zero", 30.0), ("1, 3", 13.0), ("It's one three.", 13.0), ("13 newton metres", 13.0), ("three oh", 30.0)],
)
def test_a_doubtful_figure_is_asked_for_and_the_reply_settles_it(tools, source, sound, reply, value):
    shown = []
    taken, values, answers = run(source, tools, sound, doubtful("lid at 13", "lid at 30"), reply, shown=shown)
    assert shown[0].question == "One three, or three zero?"
    assert values == [value]
    assert answers[-1].startswith(f"{value:g} it is.")
    assert notes(tools, taken) == [f"lid at {value:g}"]
    assert not any(torque.heard for entry in tools.record.entries(taken.session.id) for torque in entry.entry.torques)
    assert [change.reason for change in tools.record.history("note", 1)] == ["asked and said again"]


@pytest.mark.parametrize("reply", ["one four", "lid is clean, 13 of them were there before I came", "yes"])
def test_what_is_no_reply_is_a_note_and_it_is_not_asked_again(tools, source, sound, reply):
    shown = []
    taken, values, _ = run(source, tools, sound, doubtful("lid at 13", "lid at 30"), reply, "one three", shown=shown)
    assert values[0] == 13.0 and len(notes(tools, taken)) == 3
    assert [phrase.question for phrase in shown] == ["One three, or three zero?", "", ""]
    assert tools.record.entries(taken.session.id)[0].entry.torques[0].heard


def test_nothing_is_asked_for_figures_that_do_not_count_or_when_it_is_turned_off(tools, source, sound):
    shown = []
    run(source, tools, sound, doubtful("bus number 13?", "bus number 30?", odds=0.2), shown=shown)
    run(source, tools, sound, doubtful("lid at 13", "lid at 30", odds=0.01), shown=shown)
    run(source, tools, sound, doubtful("lid at 13", "lid at 30"), shown=shown, asks=False)
    assert [phrase.question for phrase in shown] == ["", "", ""]


def test_a_reply_that_may_be_either_settles_nothing():
    doubt = Doubt(1, (13.0, 30.0), ("lid at 13", "lid at 30"), 15.0)
    assert reply_in(doubtful("thirteen", "thirty"), doubt, UNITS) is None
    assert reply_in(doubtful("13", "30"), doubt, UNITS) is None
    assert reply_in(Hearing("thirty", 0.9, "scripted"), doubt, UNITS) == 30.0


def test_a_value_that_the_sheet_asks_for_is_asked_only_when_the_other_is_likely():
    torque = Torque(value=13.0, unit="N*m", nm=13.0, span=(7, 9), heard=(OtherReading(30.0, "N*m", 0.1),))
    note = StoredNote(id=1, session=1, position=0, note=Note("lid at 13", 0.0, 1.0, others=(Reading("lid at 30", 0.1),)), facts=(torque,))
    body = Entry(part="lid", torques=(TorqueDone(value=13.0, unit="N*m", nm=13.0, note=0),), notes=(0,))

    def entry(code):
        verdict = Verdict(code=code, of="13 N·m", reason=".", torque=0)
        return StoredEntry(id=1, session=1, position=0, entry=body, reading=body, judgement=Judgement(verdicts=(verdict,)))

    assert doubt_of(note, (entry("within"),)) is None
    assert doubt_of(note, (entry("over"),)) and doubt_of(note, (entry("no reference"),)) and doubt_of(note)
    likely = replace(
        note, facts=(replace(torque, heard=(OtherReading(30.0, "N*m", 0.4),)),), note=Note("lid at 13", 0.0, 1.0, others=(Reading("lid at 30", 0.4),))
    )
    assert doubt_of(likely, (entry("within"),))


def test_other_talk_is_struck_together_and_what_came_to_something_stays(tools, source, sound):
    said = ("and now the weather", "lid at 18", "is it raining?", "", "three sheep were found", "Hello workshop, strike the other talk.")
    taken, values, answers = run(source, tools, sound, *said)
    assert answers[-1] == "2 notes without a value or an open item struck."
    assert (values, notes(tools, taken)) == ([18.0], ["lid at 18", "is it raining?", ""])
    assert len(tools.record.notes(taken.session.id)) == 5
