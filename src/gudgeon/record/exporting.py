"""The record as JSON Lines: rows named by what they are, not by their numbers, so that two records can be merged without doubles. No sound."""

from __future__ import annotations

from base64 import b64encode
from collections.abc import Iterator
from datetime import datetime
from pathlib import Path
from typing import Any

from gudgeon.record.database import Database
from gudgeon.record.keeping import left_out
from gudgeon.record.pack import stamp
from gudgeon.record.pictures import picture_bytes, pictures_of_session
from gudgeon.record.rows import Picture
from gudgeon.record.schema import VERSION

HEADER = "gudgeon record"
SHAPE = 2
"""The shape of the lines; 2 has pictures."""
OF_SESSION = ("uid", "started", "seconds", "source", "source_key", "recogniser", "by", "state", "reached", "settled")
OF_NOTE = ("position", "start", "end", "text", "confidence", "unheard", "by", "others", "struck", "added")
OF_FACT = ("position", "kind", "start", "end", "rule", "body")
OF_SOUND = ("start", "seconds", "file", "forgotten")
OF_JOB = ("name", "created", "closed")
OF_SHEET = ("name", "loaded", "current", "text", "refused")
OF_ROW = ("line", "kind", "part", "place", "fastener", "thread", "quantity", "torque", "unit", "low", "high", "body")
OF_TOOLS = ("name", "loaded", "current", "text")
OF_LEARNT = ("entry_key", "row_key", "learnt")
OF_ENTRY = (
    *("position", "part", "place", "fastener", "count", "thread", "grade", "length_mm", "state", "tool", "tool_size", "tool_size_unit"),
    *("compound", "strength", "complete", "unclear", "struck", "fixed", "verdict", "words", "reading", "body", "judgement"),
)
OF_TORQUE = ("position", "value", "unit", "nm", "angle_deg", "stage", "hedged", "low", "high", "verdict", "reason")
OF_MEASURE = ("position", "quantity", "value", "unit", "verdict", "reason")
OF_FINDING = ("position", "code", "reason")
OF_ITEM = ("uid", "kind", "text", "count", "part", "state", "raised", "ended", "ended_by")
OF_HISTORY = ("at", "what", "action", "field", "before", "after", "reason")


def export_lines(db: Database, folder: Path, job: str | None, now: datetime, *, location: bool) -> Iterator[dict[str, Any]]:
    """The whole record, or one job of it, as one JSON object a line: a header, then jobs, sheets, sessions, pictures and open items.

    Pictures go without what they say of their place, time and camera unless ``location``. Raises MissingThing when one is gone.
    """
    yield {"gudgeon": HEADER, "schema": SHAPE, "record_schema": VERSION, "exported": stamp(now), "job": job}
    only, values = ("where j.name = ?", [job]) if job else ("", [])
    apart = left_out(folder)
    for row in db.execute(f"select name, created, closed from jobs j {only} order by id", values).fetchall():
        yield {"kind": "job", **dict(zip(OF_JOB, row, strict=True))}
    sheet = "select j.name, s.name, s.loaded, s.current, s.text, s.refused, s.id from spec_sheets s left join jobs j on j.id = s.job"
    for row in db.execute(f"{sheet} {only} order by s.id", values).fetchall():
        rows = _rows(db, "spec_rows", OF_ROW, "sheet = ? order by kind, line", [row[6]])
        yield {"kind": "sheet", **dict(zip(("job", *OF_SHEET), row[:6], strict=True)), "rows": rows}
    if not job:
        for row in _rows(db, "tool_sheets", OF_TOOLS, "1 order by id", []):
            yield {"kind": "tools", **row}
    for row in db.execute(
        f"select j.name, l.entry_key, l.row_key, l.learnt from learnt_joints l left join jobs j on j.id = l.job {only}", values
    ).fetchall():
        yield {"kind": "learnt", **dict(zip(("job", *OF_LEARNT), row, strict=True))}
    for number, name in db.execute(f"select s.id, j.name from sessions s left join jobs j on j.id = s.job {only} order by s.id", values).fetchall():
        yield _session(db, number, name)
        for shown in pictures_of_session(db, number).values():
            for picture in shown:
                if picture.file in apart and not picture.forgotten and not (folder / picture.file).exists():
                    continue  # it was never in this record: the backup it was restored from had left it out
                yield _picture(db, folder, picture, location=location)
    for number, name in db.execute(f"select i.id, j.name from open_items i left join jobs j on j.id = i.job {only} order by i.id", values).fetchall():
        yield _item(db, number, name)


def _rows(db: Database, table: str, names: tuple[str, ...], where: str, values: list[Any]) -> list[dict[str, Any]]:
    columns = ", ".join(f'"{name}"' for name in names)
    return [dict(zip(names, row, strict=True)) for row in db.execute(f'select {columns} from "{table}" where {where}', values).fetchall()]


def _session(db: Database, number: int, job: str | None) -> dict[str, Any]:
    (row,) = _rows(db, "sessions", OF_SESSION, "id = ?", [number])
    notes = _rows(db, "notes", ("id", *OF_NOTE), "session = ? order by position", [number])
    for note in notes:
        note_id = note.pop("id")
        note["facts"] = _rows(db, "facts", OF_FACT, "note = ? order by position", [note_id])
        note["history"] = history_rows(db, "note", note_id)
    found = _rows(db, "entries", ("id", *OF_ENTRY), "session = ? order by position, id", [number])
    for entry in found:
        own = entry.pop("id")
        sql = "select n.position from entry_notes e join notes n on n.id = e.note where e.entry = ? order by n.position"
        entry["notes"] = [note for (note,) in db.execute(sql, [own]).fetchall()]
        for table, names in (("torques", OF_TORQUE), ("measures", OF_MEASURE), ("findings", OF_FINDING)):
            entry[table] = _rows(db, table, names, "entry = ? order by position", [own])
        entry["history"] = history_rows(db, "entry", own)
    sounds = _rows(db, "sounds", OF_SOUND, "session = ? and forgotten is not null order by start, id", [number])
    return {"kind": "session", "job": job, **row, "notes": notes, "entries": found, "sounds": sounds, "history": history_rows(db, "session", number)}


def _picture(db: Database, folder: Path, picture: Picture, *, location: bool) -> dict[str, Any]:
    sql = "select s.uid, n.position from notes n join sessions s on s.id = n.session where n.id = ?"
    session, note = db.execute(sql, [picture.note]).fetchone()
    row = {"kind": "picture", "session": session, "note": note, "name": picture.name, "form": picture.form, "added": stamp(picture.added)}
    if picture.forgotten:
        return {**row, "forgotten": stamp(picture.forgotten), "data": None}
    data = picture_bytes(folder, picture, location=location)
    return {**row, "forgotten": None, "data": b64encode(data).decode("ascii")}


def _item(db: Database, number: int, job: str | None) -> dict[str, Any]:
    (row,) = _rows(db, "open_items", OF_ITEM, "id = ?", [number])
    home = db.execute("select s.uid from open_items i join sessions s on s.id = i.session where i.id = ?", [number]).fetchone()
    sql = """select s.uid, n.position, m.text from open_item_notes m join notes n on n.id = m.note join sessions s on s.id = n.session
        where m.item = ? order by s.uid, n.position, m.text"""
    mentions = [list(found) for found in db.execute(sql, [number]).fetchall()]
    row["item"] = row.pop("kind")
    return {"kind": "item", "job": job, "session": home and home[0], **row, "mentions": mentions, "history": history_rows(db, "item", number)}


def history_rows(db: Database, what: str, number: int) -> list[dict[str, Any]]:
    """The history of one thing as it is exported."""
    return _rows(db, "history", OF_HISTORY, "what = ? and target = ? order by id", [what, number])
