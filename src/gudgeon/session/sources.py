"""Where a session comes from, and whether it is a new one, one to carry on, or one that the record has already."""

from __future__ import annotations

import hashlib
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


def begin(origin: Origin, record: Record, recogniser: str | None) -> Start:
    """Find the session that this source belongs to, or start one. Raises MissingThing for an unknown job."""
    key = source_key(origin.path, origin.job)
    broken_off = record.session_of_source(key, "open", "unfinished")
    if broken_off:
        return Start(record.mark_session(broken_off.id, state="open"), reached=broken_off.reached)
    finished = record.session_of_source(key, "finished")
    if finished and not origin.again:
        return Start(finished, already=True)
    new = record.begin_session(job=origin.job, started=origin.started, source=str(origin.path), source_key=key, recogniser=recogniser, by=origin.by)
    return Start(new)


def finish(tools: Tools, session: Session, *, seconds: float, stopped: bool) -> Session:
    """Put together what was stored, and mark the session ``finished``, or ``unfinished`` when it was broken off."""
    settle(tools.record, session.id, tools.rules)
    longest = max(seconds, session.seconds)
    return tools.record.mark_session(session.id, state="unfinished" if stopped else "finished", seconds=longest)
