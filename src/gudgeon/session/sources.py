"""Where a session comes from, and whether it is a new one, one to carry on, or one that the record has already."""

from __future__ import annotations

import hashlib
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

from gudgeon.domain import Session
from gudgeon.record import Record
from gudgeon.session.settle import settle
from gudgeon.session.tools import Tools

MEGABYTE = 1 << 20


@dataclass(frozen=True, slots=True)
class Origin:
    """What to take, and with which words it is stored: the file, its job, when it was begun, who speaks; ``again`` reads it anew."""

    path: Path
    started: datetime
    job: str | None = None
    by: str | None = None
    again: bool = False


@dataclass(frozen=True, slots=True)
class Start:
    """The session to fill: a new one, one broken off (``reached`` seconds or notes are done), or one that is ``already`` finished."""

    session: Session
    reached: float | None = None
    already: bool = False


def source_key(path: Path, job: str | None) -> str:
    """What tells one source from another: its size, its first and last megabyte, and the job it is taken for. Raises OSError."""
    size = path.stat().st_size
    digest = hashlib.sha256(f"{size} {job or ''}".encode())
    with path.open("rb") as file:
        digest.update(file.read(MEGABYTE))
        file.seek(max(0, size - MEGABYTE))
        digest.update(file.read(MEGABYTE))
    return digest.hexdigest()[:32]


@contextmanager
def begin(origin: Origin, record: Record, recogniser: str | None) -> Iterator[Start]:
    """The session that this source belongs to, or a new one, held for this program alone. Raises MissingThing, Failure."""
    key = source_key(origin.path, origin.job)
    with record.transaction():
        broken_off = record.session_of_source(key, "open", "unfinished")
        finished = record.session_of_source(key, "finished")
        session = broken_off or (None if origin.again else finished) or _new(origin, record, key, recogniser)
    if session is finished:
        yield Start(session, already=True)
        return
    with record.claim(session.id):
        session = record.session(session.id)  # another program may have filled it while this one waited
        if session.state == "finished":
            yield Start(session, already=True)
        else:
            yield Start(record.mark_session(session.id, state="open"), reached=session.reached if broken_off else None)


def _new(origin: Origin, record: Record, key: str, recogniser: str | None) -> Session:
    return record.begin_session(job=origin.job, started=origin.started, source=str(origin.path), source_key=key, recogniser=recogniser, by=origin.by)


def finish(tools: Tools, session: Session, *, seconds: float, stopped: bool) -> Session:
    """Put together what was stored, and mark the session ``finished``, or ``unfinished`` when it was broken off."""
    settle(tools.record, session.id, tools.rules)
    longest = max(seconds, session.seconds)
    return tools.record.mark_session(session.id, state="unfinished" if stopped else "finished", seconds=longest)
