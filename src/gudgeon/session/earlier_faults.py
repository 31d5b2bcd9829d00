"""A fault that is said before a session names any joint speaks of work done earlier. It is tied to no joint by guess; it is left open."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from gudgeon.domain import Condition, Entry, OpenItem, Part, ReadNote, Session
from gudgeon.record import Record

SOUND = "good"
"""The one condition that is no fault."""
QUOTED = 120
"""The most letters of a note that stand in an item."""


def earlier_faults(record: Record, session: Session, notes: Sequence[ReadNote], entries: Sequence[Entry]) -> tuple[OpenItem, ...]:
    """The faults that a later session says of an earlier one ("that last one was stripped"), as open items that name where work had ended.

    None while the job has no earlier session: then nothing was done that they could be of.
    """
    loose = list(_loose(notes, entries))
    before = _last_done(record, session) if loose else None
    if before is None:
        return ()
    where, number = before
    return tuple(
        OpenItem(kind="fault", text=f"{condition}, at which fastener is not said: “{words}”. Work had ended at {where}, session {number}", note=at)
        for at, condition, words in loose
    )


def _loose(notes: Sequence[ReadNote], entries: Sequence[Entry]) -> Iterator[tuple[int, str, str]]:
    """(note, condition, words) of each fault said before the first note that an entry was made of, where the note names no part."""
    first = min((at for entry in entries for at in entry.notes), default=len(notes))
    for at, note in enumerate(notes[:first]):
        found = [fact.condition for fact in note.facts if isinstance(fact, Condition) and fact.condition != SOUND]
        if found and not any(isinstance(fact, Part) for fact in note.facts):
            yield at, ", ".join(dict.fromkeys(found)), note.text.strip(" .")[:QUOTED]


def _last_done(record: Record, session: Session) -> tuple[str, int] | None:
    """The joint that was done last before a session of the same job, and in which session."""
    earlier = [
        other for other in record.sessions(session.job) if other.job == session.job and (other.started, other.id) < (session.started, session.id)
    ]
    for other in reversed(earlier):
        done = [stored.entry for stored in record.entries(other.id) if not stored.struck and stored.entry.part]
        if done:
            last = max(done, key=lambda entry: max(entry.notes, default=-1))
            return " ".join(word for word in (last.place, last.part, last.fastener) if word), other.id
    return None
