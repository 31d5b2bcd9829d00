"""One session as a page shows it: each note with what was made of it beside it, along time."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import tzinfo
from pathlib import Path
from typing import Any

from gudgeon.audio import decode
from gudgeon.pages import views
from gudgeon.pages.drawings import Mark, time_plot
from gudgeon.pages.sound import peaks
from gudgeon.record import Record, StoredEntry, StoredItem
from gudgeon.reports import saying
from gudgeon.session import other_talk, undoable

COLUMNS = 600
ROWS = 200
"""The notes on one page; a longer session goes over several."""
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


def page_of(record: Record, number: int, rows: Sequence[Row], zone: tzinfo | None, begin: int = 0) -> dict[str, Any]:
    """What the session template shows, without the strip of its sound; ``begin`` is the position of a note on the page that is shown."""
    begin = min(max(begin, 0), max(len(rows) - 1, 0)) // ROWS * ROWS
    session, folder = record.session(number), record.folder / "sound" / str(number)
    entries = [entry for row in rows for entry in row.entries]
    return {
        "session": session,
        "day": saying.day(session.started, zone),
        "length": saying.length(session.seconds) if session.seconds else "",
        "rows": rows[begin : begin + ROWS],
        "begin": begin,
        "pages": [(at, min(at + ROWS, len(rows))) for at in range(0, len(rows), ROWS)],
        "size": ROWS,
        "seen": {entry.id: views.seen(entry) for entry in record.entries(number)},
        "talk": frozenset(note.position for note in other_talk(record, number)),
        "struck_notes": sum(row.note.struck for row in rows),
        "first": [row.note for row in rows if row.note.unsure],
        "counts": tally(entries),
        "session_items": (items := record.items_of_session(number)),
        "items": views.items_by_kind(items),
        "has_sound": folder.is_dir(),
        "columns": COLUMNS,
        "cautions": list(dict.fromkeys(caution.text for entry in record.entries(number) for caution in entry.judgement.cautions)),
    }


def tally(entries: Sequence[views.EntryView]) -> list[tuple[str, str, int]]:
    """How many values there are of each verdict, as (code, mark, count), worst first."""
    codes = [value.code for entry in entries if not entry.struck for value in entry.values if value.code]
    return [(code, views.MARKS[code], codes.count(code)) for code in views.MARKS if code in codes]


@dataclass(frozen=True, slots=True)
class Box:
    """A note in the strip of the sound: where it is (in the strip's own columns), its middle in percent, and the marks of its verdicts."""

    position: int
    left: float
    width: float
    middle: float
    unsure: bool
    marks: str


def boxes(rows: Sequence[Row], seconds: float) -> list[Box]:
    """The notes of a session as boxes along its sound; those without times have none."""
    found = []
    for row in rows:
        note = row.note
        if note.start is None or note.end is None or not seconds:
            continue
        scale, length = COLUMNS / seconds, max(note.end - note.start, 0.1)
        marks = "".join(value.mark for entry in row.entries if not entry.struck for value in entry.values)
        middle = round(100 * (note.start + length / 2) / seconds, 2)
        found.append(Box(note.position, round(note.start * scale, 1), round(length * scale, 1), middle, note.unsure, marks))
    return found


def timeline(rows: Sequence[Row], items: Sequence[StoredItem], seconds: float) -> str:
    """What was said along the session as a drawing: a lane a joint, and one for what was left open; notes without times are placed in order."""
    timed = seconds > 0 and all(row.note.start is not None for row in rows)
    moment = {row.note.position: (row.note.start or 0.0) if timed else float(row.note.position) for row in rows}
    label = {row.note.position: row.note.clock if timed else f"note {row.note.position + 1}" for row in rows}
    marks = []
    for row in rows:
        for entry in row.entries:
            for value in entry.values if not entry.struck else ():
                at = value.note if value.note in moment else row.note.position
                marks.append(Mark(entry.name, moment[at], value.code, f"{label[at]} {value.words}{', ' if value.code else ''}{value.code}"))
    of_note = {row.note.id: row.note.position for row in rows}
    for item in items:
        for note in item.notes:
            if note in of_note:
                marks.append(Mark("left open", moment[of_note[note]], "open", f"{label[of_note[note]]} {item.item.kind}: {item.item.text}"))
    last = saying.clock(seconds) if timed else f"note {len(rows)}"
    return time_plot(marks, seconds if timed else max(len(rows) - 1.0, 1.0), ("0:00" if timed else "note 1", last))


def strip(folder: Path, seconds: float) -> list[float]:
    """The heights of a session's sound, 0..1; empty when it is gone or very long."""
    if not folder.is_dir() or not 0 < seconds <= LONGEST_STRIP_S:
        return []
    return peaks((block for file in sorted(folder.glob("*.flac")) for block in decode(file)), seconds, COLUMNS)
