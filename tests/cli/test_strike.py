"""``gudgeon strike`` and the list of notes it takes its numbers from."""

import pytest

from gudgeon.cli.strike import numbers_in
from gudgeon.domain import BadInput, Note
from gudgeon.record import Record

SAID = ("lid at 18", "The minister spoke for an hour.", "Rain at the coast.", "cover at 9")


@pytest.fixture
def session(gudgeon, home):
    for text in SAID:
        gudgeon("note", text)
    with Record.open(home / "record") as record:
        number = record.latest_session().id
        for text in ("They won by two goals.", "And now the weather."):
            record.add_note(number, Note(text=text, start=5.0, end=7.0))
        record.add_note(number, Note(text="", start=8.0, end=9.0, unheard=True))
    return number


def struck(gudgeon):
    return [at for at, note in enumerate(gudgeon("summary", "--json").json["notes"], start=1) if note.get("struck")]


def test_notes_are_listed_with_numbers_and_talk_is_hidden_when_asked(gudgeon, session):
    listed = gudgeon("summary", "--notes").out
    assert "lid at 18  [entry 1]" in listed and "6     0:05  And now the weather." in listed
    hidden = gudgeon("summary", "--notes", "--hide-chatter").out
    assert "weather" not in hidden and "2 notes without a value or an open item not shown." in hidden
    assert "could not be read" in hidden and "cover at 9" in hidden


def test_json_without_chatter(gudgeon, session):
    texts = [note["text"] for note in gudgeon("summary", "--json", "--hide-chatter").json["notes"]]
    assert texts == [*SAID, ""]
    assert len(gudgeon("summary", "--json").json["notes"]) == 7


def test_talk_is_struck_and_brought_back(gudgeon, session):
    ran = gudgeon("strike", "--talk")
    assert "Struck: 2 notes" in ran.out and "5, 6" in ran.out
    assert struck(gudgeon) == [5, 6]
    assert "Brought back: 2 notes" in gudgeon("strike", "--undo").out
    assert struck(gudgeon) == []
    gudgeon("strike", "--talk")
    assert "has no such note" in gudgeon("strike", "--talk").out


def test_a_range_takes_its_entries_with_it(gudgeon, session):
    gudgeon("strike", "1-2", "4", "--why", "another machine")
    assert struck(gudgeon) == [1, 2, 4]
    assert gudgeon("summary", "--json").json["entries"] == []
    gudgeon("strike", "--undo")
    assert len(gudgeon("summary", "--json").json["entries"]) == 2


@pytest.mark.parametrize("wrong", [("99",), ("3-1",), ("two",), (), ("1", "--talk"), ("--undo", "--talk")])
def test_what_cannot_be_changes_nothing(gudgeon, session, wrong):
    assert gudgeon("strike", *wrong).status == 2
    assert struck(gudgeon) == []


def test_numbers():
    assert numbers_in(["4", "7-9,2"]) == [4, 7, 8, 9, 2]
    with pytest.raises(BadInput):
        numbers_in(["1-999999"])
