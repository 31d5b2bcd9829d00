"""The sessions of a document as a table."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import tzinfo
from pathlib import PurePath

from gudgeon.domain import Session
from gudgeon.reports import saying
from gudgeon.reports.document import Band, Block, Row, Section, Table
from gudgeon.reports.origins import SessionPart


def sessions_section(parts: Sequence[SessionPart], zone: tzinfo | None) -> Section | None:
    """Every session: number and day, length, speaker, where it came from, what read it."""
    if not parts:
        return None
    blocks = tuple(_block(part, zone) for part in parts)
    return Section(
        title="Sessions",
        table=Table(("Session", "Begun", "Length", "Spoken by", "From"), (0.1, 0.3, 0.14, 0.16, 0.3), (Band(title="", blocks=blocks),)),
    )


def _block(part: SessionPart, zone: tzinfo | None) -> Block:
    session = part.session
    length = saying.length(session.seconds) if session.seconds else "typed"
    cells = (f"{saying.day(session.started, zone)}", length, session.by or "not named", _source(session))
    return Block(lead=str(session.id), rows=(Row(cells),), under=_state(session, part))


def _source(session: Session) -> str:
    """Where it came from, by its file's name alone: a folder's name is nobody's business in a document that is handed on."""
    heard = f"\nheard by the recogniser “{session.recogniser}”" if session.recogniser else ""
    return f"{PurePath(session.source).name or session.source}{heard}"


def _state(session: Session, part: SessionPart) -> tuple[str, ...]:
    told = []
    if session.state != "finished":
        reached = f" at {saying.clock(session.reached)}" if session.reached else ""
        told.append(f"This session is {session.state}{reached}.")
    missed = [saying.clock(note.note.start) for note in part.notes if note.note.unheard]
    if missed:
        told.append(f"Speech at {', '.join(missed)} could not be read.")
    return tuple(told)
