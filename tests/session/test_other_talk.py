"""Notes are struck together and brought back together; entries follow; what raised nothing is told from what did."""

import pytest

from gudgeon.domain import BadInput, Note
from gudgeon.session import other_talk, settle, strike_notes, strike_talk, undo_strike

SAID = ("lid at 18", "the minister spoke", "is it twenty?", "rain at the coast", "lid at 20", "")


@pytest.fixture
def session(tools):
    begun = tools.record.begin_session(job=None, started=tools.clock(), source="microphone", source_key="m", recogniser="scripted", by=None)
    for at, text in enumerate(SAID):
        tools.record.add_note(begun.id, Note(text=text, start=float(at), end=at + 0.9, unheard=not text), tools.read(text) if text else ())
    tools.record.add_note(begun.id, Note(text="typed by hand"))
    settle(tools.record, begun.id, tools.rules)
    return begun.id


def standing(tools, session):
    return [note.position + 1 for note in tools.record.notes(session) if not note.struck]


def values(tools, session):
    return [torque.value for stored in tools.record.entries(session) for torque in stored.entry.torques]


def test_talk_is_what_came_to_nothing_but_not_what_could_not_be_read_nor_what_was_typed(tools, session):
    assert [note.position + 1 for note in other_talk(tools.record, session)] == [2, 4]


def test_talk_is_struck_and_brought_back_together(tools, session):
    assert strike_talk(tools, session) == 2
    assert standing(tools, session) == [1, 3, 5, 6, 7] and values(tools, session) == [18.0, 20.0]
    assert [note.position + 1 for note in undo_strike(tools, session)] == [2, 4]
    assert standing(tools, session) == [1, 2, 3, 4, 5, 6, 7]


def test_notes_by_number_take_their_values_and_items_with_them_and_these_come_back(tools, session):
    struck = strike_notes(tools, session, [3, 1, 1], reason="not ours")
    assert [note.position + 1 for note in struck] == [1, 3]
    assert values(tools, session) == [20.0] and tools.record.items_of_session(session) == ()
    undo_strike(tools, session)
    assert values(tools, session) == [18.0, 20.0] and len(tools.record.items_of_session(session)) == 1
    actions = [(change.action, change.reason) for change in tools.record.history("note", struck[0].id)]
    assert actions == [("strike", "not ours"), ("restore", "brought back")]


def test_undo_goes_back_one_step_after_the_other(tools, session):
    strike_notes(tools, session, [5])
    strike_talk(tools, session)
    strike_notes(tools, session, [1, 2])  # the second is struck already
    assert standing(tools, session) == [3, 6, 7]
    assert [note.position + 1 for note in undo_strike(tools, session)] == [1]
    assert [note.position + 1 for note in undo_strike(tools, session)] == [2, 4]
    assert [note.position + 1 for note in undo_strike(tools, session)] == [5]
    with pytest.raises(BadInput, match="No note of session"):
        undo_strike(tools, session)


def test_a_number_that_is_not_there_strikes_nothing(tools, session):
    with pytest.raises(BadInput, match="has no note 8, 90"):
        strike_notes(tools, session, [1, 8, 90])
    assert standing(tools, session) == [1, 2, 3, 4, 5, 6, 7]
