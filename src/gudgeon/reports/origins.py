"""Where a value of a document comes from: who said it, when, and how surely it was heard."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from datetime import tzinfo

from gudgeon.domain import AngleDone, Session, SizeMeasured, TorqueDone
from gudgeon.record import StoredEntry, StoredNote
from gudgeon.reports import saying
from gudgeon.reports.document import Attachment


@dataclass(frozen=True, slots=True, kw_only=True)
class SessionPart:
    """One session of a document. ``attached`` are pictures and sound that a note has, by the note's id; ``changes`` what a hand
    changed in an entry, as sentences, by the entry's id."""

    session: Session
    notes: Sequence[StoredNote]
    entries: Sequence[StoredEntry]
    attached: Mapping[int, tuple[Attachment, ...]] = field(default_factory=dict)
    changes: Mapping[int, tuple[str, ...]] = field(default_factory=dict)


def note_of(part: SessionPart, stored: StoredEntry, at: int | None) -> StoredNote | None:
    """The note that said a value, else the first one of its entry."""
    if at is None:
        at = next(iter(stored.entry.notes), None)
    return part.notes[at] if at is not None and at < len(part.notes) else None


def words_of(part: SessionPart, stored: StoredEntry, at: int | None) -> str:
    """The words that said a value."""
    note = note_of(part, stored, at)
    return note.note.text if note else ""


def by_hand(stored: StoredEntry, value: TorqueDone | AngleDone | SizeMeasured) -> bool:
    """Whether a value stands as a hand set it, not as it was read."""
    read = stored.reading
    return stored.fixed and value not in (*read.torques, *read.angles, *read.measures)


def origin(part: SessionPart, note: StoredNote | None, zone: tzinfo | None, *, changed: bool = False) -> str:
    """Who said it, then on small lines the day, the session and the time in it, and how surely it was heard, or that a hand ``changed`` it."""
    if note is None:
        return f"by hand\n{saying.date(part.session.started, zone)}\nsession {part.session.id}"
    by = note.note.by or part.session.by or "speaker not named"
    clock = f" at {saying.clock(note.note.start)}" if note.note.start is not None else ""
    return f"{by}\n{saying.date(part.session.started, zone)}\nsession {part.session.id}{clock}\n{'changed by hand' if changed else how_heard(note)}"


def how_heard(note: StoredNote) -> str:
    """How surely a note was heard: the recogniser's confidence from 0 to 1, or that it was written."""
    if note.note.confidence is None:
        return "written, not heard"
    return f"heard, confidence {note.note.confidence:.2f}"


def place(part: SessionPart, note: StoredNote | None, zone: tzinfo | None) -> str:
    """Session, day and time on one line."""
    clock = f" at {saying.clock(note.note.start)}" if note and note.note.start is not None else ""
    return f"session {part.session.id}, {saying.date(part.session.started, zone)}{clock}"
