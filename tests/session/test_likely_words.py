"""Names of earlier sessions help the recogniser, but not those that it may have misheard."""

from datetime import UTC, datetime

import pytest

from gudgeon.domain import Entry, Judgement, Note, SpecRow, SpecSheet
from gudgeon.session.likely_words import earlier_phrases, job_phrases

WHEN = datetime(2026, 5, 4, tzinfo=UTC)


@pytest.fixture
def record(tools):
    tools.record.new_job("tractor")
    return tools.record


@pytest.fixture
def heard(record):
    count = iter(range(100))

    def session(*parts, recogniser="embedded", job="tractor"):
        made = record.begin_session(job=job, started=WHEN, source="x", source_key=f"k{next(count)}", recogniser=recogniser)
        for part in parts:
            record.add_note(made.id, Note(text=f"the {part}"))
        entries = [Entry(part=part, place="left", fastener="nut", notes=(at,)) for at, part in enumerate(parts)]
        return record.put_entries(made.id, [(slot, Judgement()) for slot in record.place_readings(made.id, entries)])

    return session


def test_a_name_heard_once_does_not_count_and_one_of_two_sessions_does(record, heard):
    heard("brain plug", "swing arm")
    assert earlier_phrases(record, "tractor") == []
    heard("swing arm")
    assert {"swing arm", "left swing arm", "swing arm nut"} <= set(earlier_phrases(record, "tractor"))
    assert not any("brain" in phrase for phrase in earlier_phrases(record, "tractor"))


def test_what_was_typed_or_put_right_by_hand_counts_at_once(record, heard):
    heard("toggle link", recogniser=None)
    (entry,) = heard("brain plug")
    record.set_field(entry.id, "part", "drain plug")
    found = earlier_phrases(record, "tractor")
    assert {"toggle link", "drain plug"} <= set(found)
    assert "brain plug" not in found


def test_mended_words_count_at_once(record, heard):
    heard("kelly bar")
    (note,) = record.notes(1)
    assert earlier_phrases(record, "tractor") == []
    record.mend_note(note.id, "the kelly bar of it", ())
    assert "kelly bar" in earlier_phrases(record, "tractor")


def test_another_job_and_struck_entries_do_not_count(record, heard):
    record.new_job("press")
    heard("ram guide", recogniser=None, job="press")
    (entry,) = heard("toggle link", recogniser=None)
    record.strike_entry(entry.id)
    assert earlier_phrases(record, "tractor") == []


def test_figures_are_left_out_and_the_sheet_comes_first(record, heard):
    heard("injector 2", "swing arm", recogniser=None)
    sheet = SpecSheet(rows=(SpecRow(line=2, part="drop box"),))
    record.put_sheet(name="sheet.csv", text="part,torque,unit\ndrop box,20,N*m\n", sheet=sheet, job="tractor")
    found = job_phrases(record, "tractor")
    assert found[0] == "drop box"
    assert not any(c.isdigit() for phrase in found for c in phrase)
