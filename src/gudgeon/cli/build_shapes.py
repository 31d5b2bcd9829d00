"""The build record and the order of putting together as JSON, for programs: the same sessions, entries and items as other JSON of the house has."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import asdict
from typing import TYPE_CHECKING, Any

from gudgeon.cli.shapes import SCHEMA, change_json, entry_json, item_json, note_json, session_json, utc

if TYPE_CHECKING:
    from datetime import datetime

    from gudgeon.record import Record
    from gudgeon.reports import BuildView, SessionPart


def build_json(view: BuildView, record: Record) -> dict[str, Any]:
    """A build record. Of the notes only those behind an entry or an item are in it: other talk is nobody's business in what is handed on."""
    from gudgeon.reports import METHOD

    live = [(part, stored) for part in view.parts for stored in part.entries if not stored.struck]
    wanted = {part.notes[at].id for part, stored in live for at in stored.entry.notes if at < len(part.notes)}
    wanted |= {note for stored in view.items for note in stored.notes}
    entries = []
    for part, stored in live:
        changes = [change_json(change) for change in record.history("entry", stored.id)] if stored.fixed else []
        entries.append(entry_json(stored, part.notes, why=True) | {"changes": changes})
    return {
        **_head("build record", view.job, view.made, view.maker),
        "spec_sheet": view.sheet_name,
        "progress": asdict(view.progress) if view.progress else None,
        "sessions": _sessions(view.parts),
        "notes": [note_json(note) for part in view.parts for note in part.notes if note.id in wanted],
        "entries": entries,
        "open_items": [item_json(stored) for stored in view.items],
        "cautions": list(dict.fromkeys(caution.text for _, stored in live for caution in stored.judgement.cautions)),
        "method": list(METHOD),
    }


def steps_json(view: BuildView) -> dict[str, Any]:
    """The order of putting together, the first step first."""
    from gudgeon.reports import steps_of

    steps = [
        {"step": number, "what": step.what, "words": step.note.note.text, "wanted": list(step.wanted), "back": step.back or None}
        | {"session": step.part.session.id, "note": step.note.id}
        for number, step in enumerate(steps_of(view.parts, sheet=view.sheet), start=1)
    ]
    return {**_head("putting together", view.job, view.made, view.maker), "sessions": _sessions(view.parts), "steps": steps}


def _head(document: str, job: str | None, made: datetime, maker: str) -> dict[str, Any]:
    return {"schema": SCHEMA, "document": document, "job": job, "made": utc(made), "maker": maker}


def _sessions(parts: Sequence[SessionPart]) -> list[dict[str, Any]]:
    """The sessions; of where they came from only the file's name is told, not the folders it lies in."""
    from gudgeon.reports import saying

    return [session_json(part.session) | {"source": saying.source(part.session.source)} for part in parts]
