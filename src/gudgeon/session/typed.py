"""A typed note goes into the session that is open at the keyboard, or into a new one."""

from __future__ import annotations

from datetime import timedelta

from gudgeon.domain import BadInput, Note, Session
from gudgeon.record import StoredNote
from gudgeon.session.settle import settle
from gudgeon.session.tools import Tools

SOURCE = "typed"
OPEN_FOR = timedelta(hours=12)


def add_note(text: str, tools: Tools, *, job: str | None = None, by: str | None = None) -> StoredNote:
    """Store a typed note; it is on the disk before anything is made of it. Raises BadInput when it is empty, MissingThing for an unknown job."""
    text = " ".join(text.split())
    if not text:
        raise BadInput("The note is empty.", kept="Nothing was stored.", next_step='Type it, for example: gudgeon note "drain plug at 25 Nm"')
    session = open_session(tools, job=job, by=by)
    stored = tools.record.add_note(session.id, Note(text=text, by=by), tools.read(text))
    settle(tools.record, session.id, tools.rules)
    return stored


def open_session(tools: Tools, *, job: str | None, by: str | None) -> Session:
    """The typed session of the job that is still open, or a new one; one left open for longer than ``OPEN_FOR`` is finished."""
    key = SOURCE + (f" {job}" if job else "")
    with tools.record.transaction():
        latest = tools.record.session_of_source(key, "open")
        if latest and tools.clock() - latest.started < OPEN_FOR:
            return latest
        if latest:
            tools.record.mark_session(latest.id, state="finished")
        return tools.record.begin_session(job=job, started=tools.clock(), source=SOURCE, source_key=key, by=by)
