"""What is heard of a phrase: its tone and its words."""

from datetime import UTC, datetime

import pytest

from gudgeon.domain import Entry, Finding, Judgement, Note, OpenItem, SizeMeasured, TorqueDone, Verdict
from gudgeon.record import StoredEntry, StoredItem, StoredNote
from gudgeon.session import Answer, Phrase, Reaction, reaction

NOTE = StoredNote(id=5, session=1, position=3, note=Note("lid at 40", 1.0, 2.0))
ITEM = StoredItem(item=OpenItem(kind="todo", text="x"), job=None, session=1, raised=datetime(2026, 5, 4, 7, tzinfo=UTC))
FINDINGS = ("heard-unsurely", "unit-mended", "joint-unclear", "match-ambiguous")


def entry(code, *, note=3, finding=None):
    verdict = Verdict(code=code, of="40 N·m", reason="40 N·m is over the sheet's 24 N·m.", torque=0)
    body = Entry(part="lid", torques=(TorqueDone(value=40.0, unit="N*m", nm=40.0, note=note),), notes=(note,))
    findings = (Finding(code=finding, reason="."),) if finding else ()
    return StoredEntry(id=1, session=1, position=0, entry=body, reading=body, judgement=Judgement(verdicts=(verdict,), findings=findings))


def phrase(*entries, note=NOTE, **more):
    return Phrase(start=1.0, end=2.0, text="lid at 40", note=note, entries=entries, **more)


@pytest.mark.parametrize("code", ["over", "under", "unlikely"])
def test_out_of_range_is_said_at_once(code):
    assert reaction(phrase(entry(code))) == Reaction("out of range", "lid: 40 N·m is over the sheet's 24 N·m.")


def test_a_value_said_before_is_not_said_again():
    assert reaction(phrase(entry("over", note=1))) == Reaction("heard")


def test_a_size_out_of_range_is_said_too():
    verdict = Verdict(code="over", of="end float 0.3 mm", reason="0.3 mm is over the sheet's 0.1 mm.", measure=0)
    body = Entry(part="hub", measures=(SizeMeasured(quantity="end float", value=0.3, unit="mm", note=3),), notes=(3,))
    stored = StoredEntry(id=1, session=1, position=0, entry=body, reading=body, judgement=Judgement(verdicts=(verdict,)))
    assert reaction(phrase(stored)).say == "hub: 0.3 mm is over the sheet's 0.1 mm."


@pytest.mark.parametrize(
    "unsure", [entry("unit not said"), entry("within", finding="heard-unsurely"), entry("no reference", finding="joint-unclear")]
)
def test_what_is_unsure_has_its_tone(unsure):
    assert reaction(phrase(unsure)) == Reaction("unsure")


def test_speech_that_could_not_be_read_is_unsure():
    assert reaction(phrase(note=StoredNote(id=5, session=1, position=3, note=Note("", 1.0, 2.0, unheard=True)))) == Reaction("unsure")


def test_a_question_comes_before_an_alarm():
    assert reaction(phrase(entry("over"), question="One three, or three zero?")) == Reaction("out of range", "One three, or three zero?")
    assert reaction(phrase(entry("within"), question="One three, or three zero?")) == Reaction("unsure", "One three, or three zero?")


def test_commands_answer_aloud():
    assert reaction(phrase(note=None, answer=Answer("Struck: lid at 18", aloud="Struck."))) == Reaction("taken", "Struck.")
    assert reaction(phrase(note=None, answer=Answer("Carrying on."))) == Reaction("taken", "Carrying on.")
    assert reaction(phrase(answer=Answer("Not understood as a command.", taken=False, aloud=""))) == Reaction("unsure", "")


def test_what_is_kept_has_one_short_tone_and_ordinary_talk_none():
    assert reaction(phrase(entry("within"))) == Reaction("heard")
    assert reaction(phrase(items=(ITEM,))) == Reaction("heard")
    assert reaction(phrase()) == Reaction()
    assert reaction(phrase(note=None)) == Reaction()
