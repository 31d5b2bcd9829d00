"""Commands by voice: behind the wake phrase only, carried out or plainly refused, never in doubt."""

from dataclasses import replace
from datetime import UTC, datetime

import numpy as np
import pytest

from gudgeon.cli import wiring
from gudgeon.domain import SAMPLE_RATE, Clip, Hearing, OpenItem, Reading, SpecRow, SpecSheet
from gudgeon.session import Command, Origin, Reins, Voice, begin, command_in, listen

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
        ("Hello workshop, strike heart", Command("unknown", "strike heart")),
        ("Hello workshop, end session tomorrow", Command("unknown", "end session tomorrow")),
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
    assert command_in(text) == command


def test_another_wake_phrase():
    assert command_in("Okay bench, pause.", "okay bench") == Command("pause")
    assert command_in("Hello workshop, pause.", "okay bench") is None


def run(source, tools, sound, *texts):
    def gate(stream):
        for at, block in enumerate(stream):
            yield Clip(block, float(at), at + 1.0)

    shown, reins = [], Reins()
    blocks = (np.zeros(SAMPLE_RATE, dtype=np.float32) for _ in texts)
    with begin(Origin(source, STARTED), tools.record, "scripted") as start:
        voice = Voice(tools, start.session.id, reins, wiring.unit_words(), wiring.trade())
        heard = replace(sound(0).tools(*texts), gate=gate)
        taken = listen(start, blocks, tools, heard, show=shown.append, reins=reins, obey=voice.obey)
    values = [torque.value for entry in tools.record.entries(taken.session.id) for torque in entry.entry.torques]
    return taken, values, [phrase.answer.text if phrase.answer else None for phrase in shown]


def notes(tools, taken):
    return [note.note.text for note in tools.record.notes(taken.session.id) if not note.struck]


def test_strike_takes_the_last_note_back(tools, source, sound):
    taken, values, answers = run(source, tools, sound, "lid at 18", "lid at 20", "Hello workshop, strike that.")
    assert (values, notes(tools, taken), answers[-1]) == ([18.0], ["lid at 18"], "Struck: lid at 20")
    assert len(tools.record.notes(taken.session.id)) == 2


def test_a_command_misheard_before_is_not_what_is_struck(tools, source, sound):
    taken, values, _ = run(source, tools, sound, "lid at 18", "lid at 20", "Hello workshop, strike heart", "Hello workshop, strike that")
    assert (values, notes(tools, taken)) == ([18.0], ["lid at 18", "Hello workshop, strike heart"])


def test_make_it_changes_the_last_value(tools, source, sound):
    _, values, answers = run(source, tools, sound, "lid at 18", "lid at 20", "Hello workshop, make it twenty five newton metres.")
    assert values == [18.0, 25.0]
    assert answers[-1].startswith("lid: 25 newton metres, no reference.")


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
    assert answers[2].startswith("1 of 1 left.")
    assert "35" in answers[3] and "sheet" in answers[3] and "manual" in answers[3]
    assert answers[5] == "lid at 18"
    assert [item.item.text for item in tools.record.items()] == ["order gaskets", "clean the seat"]
    assert notes(tools, taken) == ["lid at 18"]


def test_end_session_finishes_it(tools, source, sound):
    taken, _, _ = run(source, tools, sound, "lid at 18", "Hello workshop, end session")
    assert (taken.session.state, taken.stopped) == ("finished", False)
