"""Typed notes share the session that is open, for half a day and one job."""

from datetime import timedelta

import pytest

from gudgeon.domain import BadInput
from gudgeon.session import add_note


def test_notes_share_a_session(tools):
    first, second = add_note("lid at 18", tools), add_note("lid at 19", tools, by="Ada")
    assert first.session == second.session
    (entry,) = tools.record.entries(first.session)
    assert [torque.value for torque in entry.entry.torques] == [18.0, 19.0]
    assert tools.record.notes(first.session)[1].note.by == "Ada"


def test_another_day_is_another_session(tools):
    first = add_note("lid at 18", tools)
    tools.clock.now += timedelta(hours=13)
    second = add_note("lid at 19", tools)
    assert first.session != second.session
    assert tools.record.session(first.session).state == "finished"


def test_each_job_has_its_own(tools):
    tools.record.new_job("tractor")
    assert add_note("lid at 18", tools).session != add_note("lid at 18", tools, job="tractor").session


@pytest.mark.parametrize("text", ["", "  \n "])
def test_an_empty_note_is_refused(tools, text):
    with pytest.raises(BadInput, match="empty"):
        add_note(text, tools)
    assert tools.record.sessions() == ()


def test_a_note_of_100_kilobytes(tools):
    text = "lid at 18 " * 10_240
    stored = add_note(text, tools)
    assert len(tools.record.notes(stored.session)[0].note.text) == len(text) - 1


def test_many_programs_at_once(tools):
    """Notes from several programs in one session: all are there, and the entries are made of all of them."""
    import threading

    from gudgeon.record import Record

    add_note("lid at 1", tools)
    failures = []

    def write(number):
        try:
            with Record.open(tools.record.folder, clock=tools.clock) as record:
                mine = type(tools)(record=record, read=tools.read, rules=tools.rules, clock=tools.clock)
                for more in range(5):
                    add_note(f"lid at {number * 10 + more}", mine)
        except Exception as error:
            failures.append(error)

    writers = [threading.Thread(target=write, args=(number,)) for number in range(1, 5)]
    for writer in writers:
        writer.start()
    for writer in writers:
        writer.join()
    assert failures == []
    (session,) = tools.record.sessions()
    assert len(tools.record.notes(session.id)) == 21
    (entry,) = tools.record.entries(session.id)
    assert len(entry.entry.torques) == 21
    assert tools.record.unsettled() == ()
