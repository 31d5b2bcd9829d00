"""Talk that is not about the work, and other notes, can be struck together and brought back; their words and sound stay in the history."""

from __future__ import annotations

from collections.abc import Sequence

from gudgeon.domain import BadInput
from gudgeon.record import Record, StoredNote
from gudgeon.session.settle import settle_changed
from gudgeon.session.tools import Tools

REASON = "other talk"
BACK = "brought back"
KEPT = "Nothing was struck."


def other_talk(record: Record, session: int) -> tuple[StoredNote, ...]:
    """The spoken notes of a session that are in no entry and raised no open item. What could not be read may be about the work, so it stays."""
    used = {at for stored in record.entries(session) for at in stored.entry.notes}
    raised = {note for item in record.items_of_session(session) for note in item.notes}
    notes = (note for note in record.notes(session) if not note.struck and not note.note.unheard and note.note.start is not None)
    return tuple(note for note in notes if note.position not in used and note.id not in raised)


def strike_talk(tools: Tools, session: int) -> int:
    """Strike them all, or none; how many there were."""
    with tools.record.transaction():
        return len(_strike(tools, session, other_talk(tools.record, session), REASON))


def strike_notes(tools: Tools, session: int, numbers: Sequence[int], *, reason: str = "") -> tuple[StoredNote, ...]:
    """Strike these notes of a session (the first is 1), all or none; entries follow. Those that are struck already stay so. Raises BadInput."""
    with tools.record.transaction():
        known = {note.position + 1: note for note in tools.record.notes(session)}
        absent = [number for number in dict.fromkeys(numbers) if number not in known]
        if absent:
            names = ", ".join(map(str, absent[:10]))
            raise BadInput(f"Session {session} has no note {names}.", kept=KEPT, next_step=f"See them with: gudgeon summary {session} --notes")
        return _strike(tools, session, [known[number] for number in sorted(set(numbers)) if not known[number].struck], reason)


def undo_strike(tools: Tools, session: int) -> tuple[StoredNote, ...]:
    """Bring back the notes of a session that were struck last, all those that were struck together. Raises BadInput when none is."""
    with tools.record.transaction():
        struck = [note for note in tools.record.notes(session) if note.struck]
        when = {
            note.id: change.at for note in struck for change in tools.record.history("note", note.id) if change.action == "strike"
        }  # of several the last one
        if not struck:
            raise BadInput(f"No note of session {session} is struck.", kept="Nothing was changed.")
        last = max(when.values(), default=None)
        back = tuple(note for note in struck if when.get(note.id) == last)
        tools.record.strike_notes([note.id for note in back], struck=False, reason=BACK)
        settle_changed(tools.record, session, tools.rules)
    return back


def _strike(tools: Tools, session: int, notes: Sequence[StoredNote], reason: str) -> tuple[StoredNote, ...]:
    if notes:
        tools.record.strike_notes([note.id for note in notes], reason=reason)
        settle_changed(tools.record, session, tools.rules)
    return tuple(notes)
