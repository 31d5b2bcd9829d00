"""The JSON that commands print. Fields that do not apply are null or left out; ``schema`` is the version of the shapes."""

from __future__ import annotations

import json
from collections.abc import Sequence
from dataclasses import asdict
from datetime import datetime
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from gudgeon.domain import Job, Session
    from gudgeon.record import Change, Hit, Picture, StoredEntry, StoredItem, StoredNote
    from gudgeon.session import Timing

SCHEMA = 1


def utc(moment: datetime | None) -> str | None:
    """A moment as ISO 8601 in UTC."""
    return moment.isoformat().replace("+00:00", "Z") if moment else None


def session_json(session: Session) -> dict[str, Any]:
    """A session."""
    row = {"id": session.id, "job": session.job, "started": utc(session.started), "seconds": round(session.seconds, 3)}
    return row | {"source": session.source, "recogniser": session.recogniser, "by": session.by, "state": session.state}


def note_json(stored: StoredNote) -> dict[str, Any]:
    """A note with its facts; ``start`` and ``end`` are seconds from the start of the recording."""
    from gudgeon.domain import fact_to_dict

    note = stored.note
    row: dict[str, Any] = {"id": stored.id, "start": note.start, "end": note.end, "text": note.text, "confidence": note.confidence}
    if note.unheard:
        row["unheard"] = True
    if stored.struck:
        row["struck"] = True
    if stored.pictures:
        row["pictures"] = [picture_json(picture) for picture in stored.pictures]
    if note.others:
        row["others"] = [asdict(other) for other in note.others]
    return row | {"facts": [fact_to_dict(fact) for fact in stored.facts]}


def picture_json(picture: Picture) -> dict[str, Any]:
    """A picture; ``file`` is its place inside the record's folder."""
    row = {"id": picture.id, "note": picture.note, "file": picture.file, "name": picture.name, "form": picture.form, "bytes": picture.size}
    return row | {"sha256": picture.sha256, "forgotten": utc(picture.forgotten)}


def entry_json(stored: StoredEntry, notes: Sequence[StoredNote], *, why: bool = False) -> dict[str, Any]:
    """An entry with its verdicts and findings; ``notes`` are ids of notes."""
    from gudgeon.domain import entry_to_dict

    ids = {note.position: note.id for note in notes}
    row = json.loads(json.dumps(entry_to_dict(stored.entry)))
    how, history = row.pop("how"), row.pop("history")
    row["notes"] = [ids[at] for at in stored.entry.notes if at in ids]
    for values in (row["torques"], row["angles"], row["measures"]):
        for value in values:
            value["note"] = ids.get(value["note"])
    verdicts = [asdict(verdict) for verdict in stored.judgement.verdicts]
    for verdict in verdicts:
        if verdict["torque"] is not None and verdict["torque"] < len(row["torques"]):
            row["torques"][verdict["torque"]] |= {"verdict": verdict["code"], "reason": verdict["reason"]}
        if verdict["measure"] is not None and verdict["measure"] < len(row["measures"]):
            row["measures"][verdict["measure"]] |= {"verdict": verdict["code"], "reason": verdict["reason"]}
    row |= {"verdicts": verdicts, "findings": [asdict(finding) for finding in stored.judgement.findings]}
    row |= {"cautions": [asdict(caution) for caution in stored.judgement.cautions], "struck": stored.struck, "fixed": stored.fixed}
    if why:
        joint = stored.judgement.joint
        row |= {"how": list(how), "history": list(history), "joint": asdict(joint) if joint else None}
    return {"id": stored.id, "session": stored.session, **row}


def item_json(stored: StoredItem) -> dict[str, Any]:
    """An open item; ``note`` is the id of the note that raised it."""
    item = stored.item
    row = {"id": item.id, "kind": item.kind, "text": item.text, "note": stored.notes[0] if stored.notes else None, "count": item.count}
    row |= {"part": item.part, "state": item.state, "ended_by": item.ended_by, "job": stored.job, "session": stored.session}
    return row | {"raised": utc(stored.raised), "ended": utc(stored.ended), "notes": list(stored.notes)}


def taken_json(
    session: Session,
    notes: Sequence[StoredNote],
    entries: Sequence[StoredEntry],
    items: Sequence[StoredItem],
    timing: Timing | None,
    *,
    why: bool = False,
    missing: Sequence[tuple[float, float]] = (),
) -> dict[str, Any]:
    """A whole session, as ``take --json`` and ``summary --json`` print it; ``missing`` is where sound of it never came."""
    row: dict[str, Any] = {"schema": SCHEMA, "session": session_json(session), "notes": [note_json(note) for note in notes]}
    row["entries"] = [entry_json(entry, notes, why=why) for entry in entries]
    row["open_items"] = [item_json(item) for item in items]
    if missing:
        row["missing"] = [{"at": at, "seconds": round(seconds, 3)} for at, seconds in missing]
    if timing is not None:
        row["timing"] = {name: round(value, 3) for name, value in asdict(timing).items()}
    return row


def job_json(job: Job) -> dict[str, Any]:
    """A job."""
    return {"schema": SCHEMA, "id": job.id, "name": job.name, "created": utc(job.created), "closed": utc(job.closed)}


def change_json(change: Change) -> dict[str, Any]:
    """A line of an entry's history; ``before`` and ``after`` are JSON texts of the field."""
    return {**asdict(change), "at": utc(change.at)}


def hit_json(hit: Hit, notes: Sequence[StoredNote]) -> dict[str, Any]:
    """Something found."""
    row = {"schema": SCHEMA, "session": session_json(hit.session), "note": hit.note, "words": hit.words, "start": hit.start, "end": hit.end}
    row["entry"] = entry_json(hit.entry, notes) if hit.entry else None
    return row | {"pictures": [picture_json(picture) for picture in hit.pictures], "score": round(hit.score, 3), "read_as": dict(hit.read_as)}
