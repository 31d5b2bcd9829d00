"""One session as a page shows it: each note with what was made of it beside it, along time."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import tzinfo
from pathlib import Path
from typing import Any

from gudgeon.audio import decode
from gudgeon.pages import views
from gudgeon.pages.sound import peaks
from gudgeon.record import Record, StoredEntry
from gudgeon.reports import saying
from gudgeon.session import undoable

COLUMNS = 600
LONGEST_STRIP_S = 4 * 3600.0


@dataclass(frozen=True, slots=True)
class Row:
    """A note, the entries that stand beside it, and entries that it adds to but that stand beside another note: (entry, its note's position)."""

    note: views.NoteView
    entries: tuple[views.EntryView, ...]
    elsewhere: tuple[tuple[views.EntryView, int], ...]


def rows_of(record: Record, number: int) -> list[Row]:
    """The notes of a session in order, each with its entries. Raises MissingThing."""
    record.session(number)
    stored, entries = record.notes(number), record.entries(number)
    unsure = views.unsure_notes(stored, entries)
    shown = [views.entry_view(entry, can_undo=entry.fixed or entry.struck or _undo(record, "entry", entry.id)) for entry in entries]
    home = {entry.id: home_of(entry) for entry in entries}
    rows = []
    for note in stored:
        at = note.position
        beside = tuple(entry for entry in shown if home[entry.id] == at)
        elsewhere = tuple((entry, home[entry.id]) for entry in shown if at in entry.notes and home[entry.id] != at)
        rows.append(Row(views.note_view(note, unsure, can_undo=_undo(record, "note", note.id)), beside, elsewhere))
    return rows


def _undo(record: Record, what: str, number: int) -> bool:
    return undoable(record.history(what, number)) is not None


def home_of(stored: StoredEntry) -> int:
    """The position of the note an entry stands beside: the one that said its first value, else its first note."""
    entry = stored.entry
    said = [torque.note for torque in entry.torques] + [angle.note for angle in entry.angles] + [size.note for size in entry.measures]
    return next((note for note in said if note is not None), min(entry.notes, default=0))


def page_of(record: Record, number: int, rows: Sequence[Row], zone: tzinfo | None) -> dict[str, Any]:
    """What the session template shows, without the strip of its sound."""
    session, folder = record.session(number), record.folder / "sound" / str(number)
    entries = [entry for row in rows for entry in row.entries]
    return {
        "session": session,
        "day": saying.day(session.started, zone),
        "length": saying.length(session.seconds) if session.seconds else "",
        "rows": rows,
        "seen": {entry.id: views.seen(entry) for entry in record.entries(number)},
        "first": [row.note for row in rows if row.note.unsure],
        "counts": tally(entries),
        "items": views.items_by_kind(record.items_of_session(number)),
        "has_sound": folder.is_dir(),
        "columns": COLUMNS,
        "cautions": list(dict.fromkeys(caution.text for entry in record.entries(number) for caution in entry.judgement.cautions)),
    }


def tally(entries: Sequence[views.EntryView]) -> list[tuple[str, str, int]]:
    """How many values there are of each verdict, as (code, mark, count), worst first."""
    codes = [value.code for entry in entries if not entry.struck for value in entry.values if value.code]
    return [(code, views.MARKS[code], codes.count(code)) for code in views.MARKS if code in codes]


def strip(folder: Path, seconds: float) -> list[float]:
    """The heights of a session's sound, 0..1; empty when it is gone or very long."""
    if not folder.is_dir() or not 0 < seconds <= LONGEST_STRIP_S:
        return []
    return peaks((block for file in sorted(folder.glob("*.flac")) for block in decode(file)), seconds, COLUMNS)
