"""A typed note goes into the session that is open at the keyboard, or into a new one."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import timedelta
from pathlib import Path

from gudgeon.domain import BadInput, MissingThing, Note, Session
from gudgeon.record import MOST_PICTURE_BYTES, TYPED, StoredNote
from gudgeon.session.settle import settle
from gudgeon.session.tools import Tools

OPEN_FOR = timedelta(hours=12)


def add_note(text: str, tools: Tools, *, job: str | None = None, by: str | None = None, photos: Sequence[Path] = ()) -> StoredNote:
    """Store a typed note with its pictures; it is on the disk before anything is made of it.

    Raises BadInput when it is empty or a file is no picture, MissingThing for an unknown job or file.
    """
    text = " ".join(text.split())
    if not text:
        raise BadInput("The note is empty.", kept="Nothing was stored.", next_step='Type it, for example: gudgeon note "drain plug at 25 Nm"')
    shown = [(read_picture(path), path.name) for path in photos]
    facts = tools.read(text)
    with tools.record.transaction():  # the note and its pictures together, or neither
        session = open_session(tools, job=job, by=by)
        stored = tools.record.add_note(session.id, Note(text=text, by=by), facts)
        pictures = tuple(tools.record.add_picture(stored.id, data, name) for data, name in shown)
    settle(tools.record, session.id, tools.rules)
    return replace(stored, pictures=pictures)


def read_picture(path: Path) -> bytes:
    """The bytes of a picture file. Raises MissingThing."""
    try:
        with path.open("rb") as file:
            return file.read(MOST_PICTURE_BYTES + 1)  # one byte too many is enough to be refused
    except OSError as error:
        raise MissingThing(
            f"The picture {path} cannot be read: {error.strerror}.", kept="Nothing was stored.", next_step="Check the name."
        ) from error


def open_session(tools: Tools, *, job: str | None, by: str | None) -> Session:
    """The typed session of the job that is still open, or a new one; one left open for longer than ``OPEN_FOR`` is finished."""
    key = TYPED + (f" {job}" if job else "")
    with tools.record.transaction():
        latest = tools.record.session_of_source(key, "open")
        if latest and tools.clock() - latest.started < OPEN_FOR:
            return latest
        if latest:
            tools.record.mark_session(latest.id, state="finished")
        return tools.record.begin_session(job=job, started=tools.clock(), source=TYPED, source_key=key, by=by)
