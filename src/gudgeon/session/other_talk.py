"""Talk that is not about the work: notes out of which nothing came can be struck together; their words and sound stay in the history."""

from __future__ import annotations

from gudgeon.record import Record, StoredNote
from gudgeon.session.settle import settle
from gudgeon.session.tools import Tools

REASON = "other talk"


def other_talk(record: Record, session: int) -> tuple[StoredNote, ...]:
    """The spoken notes of a session that are in no entry and raised no open item. What could not be read may be about the work, so it stays."""
    used = {at for stored in record.entries(session) for at in stored.entry.notes}
    raised = {note for item in record.items_of_session(session) for note in item.notes}
    notes = (note for note in record.notes(session) if not note.struck and not note.note.unheard and note.note.start is not None)
    return tuple(note for note in notes if note.position not in used and note.id not in raised)


def strike_talk(tools: Tools, session: int) -> int:
    """Strike them all, or none; how many there were."""
    with tools.record.transaction():
        found = other_talk(tools.record, session)
        for note in found:
            tools.record.strike_note(note.id, reason=REASON)
        if found:
            settle(tools.record, session, tools.rules)
    return len(found)
