"""The same wiring for programs: notes and recordings added to a record with the bundled reader, judge and recogniser."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from gudgeon.record import Record, StoredEntry, StoredNote
    from gudgeon.session import Taken


def add_note(
    record: Record, text: str, *, job: str | None = None, by: str | None = None, photos: Sequence[str | Path] = ()
) -> tuple[StoredNote, tuple[StoredEntry, ...]]:
    """Store a typed note with its pictures; it, and the entries that it made or changed.

    Raises BadInput when it is empty or a file is no picture, MissingThing for an unknown job or file.
    """
    from gudgeon.cli import wiring
    from gudgeon.session import add_note

    stored = add_note(text, wiring.tools(record), job=job, by=by, photos=[Path(photo) for photo in photos])
    return stored, tuple(entry for entry in record.entries(stored.session) if stored.position in entry.entry.notes)


def take(record: Record, path: str | Path, *, job: str | None = None, by: str | None = None, started: datetime | None = None) -> Taken:
    """Take a recording, a video or a text as one session; a source that was broken off is carried on. ``started`` needs its zone.

    Raises MissingThing, BadInput or SoundUnreadable before anything is stored.
    """
    from gudgeon.cli import wiring
    from gudgeon.cli.take import made
    from gudgeon.session import TEXT_KINDS, Origin, take_recording, take_text

    source = Path(path)
    origin = Origin(source, started or made(source), job=job, by=by)
    if source.suffix.lower() in TEXT_KINDS:
        return take_text(origin, wiring.tools(record), progress=lambda step: None)
    return take_recording(origin, wiring.tools(record), wiring.sound_tools(wiring.recogniser()), progress=lambda step: None)
