"""JSON Lines of a record back into one: all or nothing, what is there already is passed over, and nothing but known columns is taken."""

from __future__ import annotations

import json
import sqlite3
from base64 import b64decode
from collections.abc import Iterable
from functools import partial
from pathlib import Path
from typing import Any

from gudgeon.domain import BadInput
from gudgeon.record import exporting as names
from gudgeon.record.database import Database, insert, transaction
from gudgeon.record.entries import judged_columns
from gudgeon.record.exporting import HEADER, SHAPE, history_rows
from gudgeon.record.merging import merge_session
from gudgeon.record.pack import load_entry, load_fact, load_judgement, moment
from gudgeon.record.pictures import add_picture
from gudgeon.record.words import count_terms, know_terms

BROKEN = (KeyError, TypeError, ValueError, AttributeError, sqlite3.IntegrityError, sqlite3.InterfaceError, sqlite3.ProgrammingError)


def import_lines(db: Database, folder: Path, lines: Iterable[str]) -> dict[str, int]:
    """Take in what ``export_lines`` gave, all or nothing; what is there already is passed over. How many of each kind came in.

    ``corrected`` counts the sessions that were here already and got corrections made by hand elsewhere; they are to be settled.
    Raises BadInput for a line that is none, or that a newer gudgeon wrote.
    """
    takers = {"job": _take_job, "sheet": _take_sheet, "tools": _take_tools, "learnt": _take_learnt, "session": _take_session, "item": _take_item}
    takers["picture"] = partial(_take_picture, folder)
    counts = dict.fromkeys((*takers, "corrected"), 0)
    with transaction(db):
        for number, text in enumerate((line for line in lines if line.strip()), start=1):
            row = _parsed(text, number)
            if number == 1:
                _check_header(row)
                continue
            kind = row.pop("kind", None)
            if kind not in takers:
                raise BadInput(f"Line {number} is no part of a record: its kind is {kind!r}.", kept="Nothing was taken in.")
            try:
                if kind == "session" and (known := db.execute("select id from sessions where uid = ?", [row["uid"]]).fetchone()):
                    counts["corrected"] += _merge_session(db, known[0], row)
                else:
                    counts[kind] += takers[kind](db, row)
            except BROKEN as error:
                raise BadInput(f"Line {number}, a {kind}, is not whole: {error!r}.", kept="Nothing was taken in.") from error
    return counts


def _parsed(text: str, number: int) -> dict[str, Any]:
    try:
        row = json.loads(text)
    except ValueError:
        row = None
    if not isinstance(row, dict):
        raise BadInput(f"Line {number} is no JSON object.", kept="Nothing was taken in.", next_step="Use a file made by `gudgeon export --to json`.")
    return row


def _check_header(row: dict[str, Any]) -> None:
    if row.get("gudgeon") != HEADER:
        raise BadInput("This is no exported record.", kept="Nothing was taken in.", next_step="Use a file made by `gudgeon export --to json`.")
    if not isinstance(row.get("schema"), int) or row["schema"] > SHAPE:
        raise BadInput("A newer gudgeon wrote this.", kept="Nothing was taken in.", next_step="Install the newer gudgeon.")


def _only(row: dict[str, Any], wanted: tuple[str, ...]) -> dict[str, Any]:
    """The known columns of a row and no others. Raises KeyError for one that is missing."""
    return {name: row[name] for name in wanted}


def _job_id(db: Database, name: str | None) -> int | None:
    if name is None:
        return None
    row = db.execute("select id from jobs where name = ?", [name]).fetchone()
    if row is None:
        raise ValueError(f"its job {name!r} is not in the file")
    return int(row[0])


def _take_job(db: Database, row: dict[str, Any]) -> int:
    if db.execute("select 1 from jobs where name = ?", [row["name"]]).fetchone():
        return 0
    insert(db, "jobs", _only(row, names.OF_JOB))
    return 1


def _take_sheet(db: Database, row: dict[str, Any]) -> int:
    rows, job = row.pop("rows"), _job_id(db, row.pop("job"))
    if db.execute("select 1 from spec_sheets where job is ? and loaded = ? and text = ?", [job, row["loaded"], row["text"]]).fetchone():
        return 0
    newest = db.execute("select max(loaded) from spec_sheets where job is ? and current = 1", [job]).fetchone()[0]
    if row["current"] and newest:
        row["current"] = int(row["loaded"] > newest)
        db.execute("update spec_sheets set current = 0 where job is ? and ?", [job, row["current"]])
    number = insert(db, "spec_sheets", {**_only(row, names.OF_SHEET), "job": job})
    for cells in rows:
        insert(db, "spec_rows", {**_only(cells, names.OF_ROW), "sheet": number})
    return 1


def _take_tools(db: Database, row: dict[str, Any]) -> int:
    if db.execute("select 1 from tool_sheets where loaded = ? and text = ?", [row["loaded"], row["text"]]).fetchone():
        return 0
    newest = db.execute("select max(loaded) from tool_sheets where current = 1").fetchone()[0]
    if row["current"] and newest:
        row["current"] = int(row["loaded"] > newest)
        db.execute("update tool_sheets set current = 0 where ?", [row["current"]])
    insert(db, "tool_sheets", _only(row, names.OF_TOOLS))
    return 1


def _take_learnt(db: Database, row: dict[str, Any]) -> int:
    job = _job_id(db, row.pop("job"))
    if db.execute("select 1 from learnt_joints where job is ? and entry_key = ?", [job, row["entry_key"]]).fetchone():
        return 0
    insert(db, "learnt_joints", {**_only(row, names.OF_LEARNT), "job": job})
    return 1


def _take_session(db: Database, row: dict[str, Any]) -> int:
    job = _job_id(db, row.pop("job"))
    notes, found, sounds, history = (row.pop(name) for name in ("notes", "entries", "sounds", "history"))
    number = insert(db, "sessions", {**_only(row, names.OF_SESSION), "job": job})
    ids = {note["position"]: _take_note(db, number, note) for note in notes}
    for entry in found:
        _take_entry(db, number, entry, ids)
    for sound in sounds:
        insert(db, "sounds", {**_only(sound, names.OF_SOUND), "session": number})
    _put_history(db, number, history)
    return 1


def _merge_session(db: Database, number: int, row: dict[str, Any]) -> int:
    """Corrections made in another record's copy of a session that is here already."""

    def take_entry(entry: dict[str, Any]) -> None:
        _take_entry(db, number, entry, dict(db.execute("select position, id from notes where session = ?", [number]).fetchall()))

    return int(merge_session(db, number, row["notes"], row["entries"], lambda note: _take_note(db, number, note), take_entry))


def _take_picture(folder: Path, db: Database, row: dict[str, Any]) -> int:
    """One that the note has already is passed over: by its bytes, or by the name and time of one that was forgotten or lost its place data."""
    sql = "select n.id from notes n join sessions s on s.id = n.session where s.uid = ? and n.position = ?"
    (note,) = db.execute(sql, [row["session"], row["note"]]).fetchone()
    if db.execute("select 1 from pictures where note = ? and name = ? and added = ?", [note, row["name"], row["added"]]).fetchone():
        return 0
    if row["data"] is None:
        gone = {"file": f"photos/forgotten-{row['added']}", "bytes": 0, "sha256": "", "forgotten": row["forgotten"]}
        insert(db, "pictures", {"note": note, "name": Path(row["name"]).name, "form": row["form"], "added": row["added"], **gone})
    else:
        add_picture(db, folder, note, b64decode(row["data"], validate=True), row["name"], moment(row["added"]))
    return 1


def _take_note(db: Database, session: int, note: dict[str, Any]) -> int:
    number = insert(db, "notes", {**_only(note, names.OF_NOTE), "session": session})
    for fact in note["facts"]:
        load_fact(fact["body"])
        insert(db, "facts", {**_only(fact, names.OF_FACT), "note": number})
    count_terms(db, note["text"])
    _put_history(db, number, note["history"])
    return number


def _take_entry(db: Database, session: int, entry: dict[str, Any], ids: dict[int, int]) -> None:
    load_entry(entry["reading"])
    derived = judged_columns(load_entry(entry["body"]), load_judgement(entry["judgement"]))
    number = insert(db, "entries", {**_only(entry, names.OF_ENTRY), **derived, "session": session})
    for at in entry["notes"]:
        insert(db, "entry_notes", {"entry": number, "note": ids[at]})
    for table, columns in (("torques", names.OF_TORQUE), ("measures", names.OF_MEASURE), ("findings", names.OF_FINDING)):
        for row in entry[table]:
            insert(db, table, {**_only(row, columns), "entry": number})
    know_terms(db, entry["words"])
    _put_history(db, number, entry["history"])


def _take_item(db: Database, row: dict[str, Any]) -> int:
    """An open item. One that is there already gets the notes that said it again, and how it ended where more is known of that."""
    job, home, mentions, history = (row.pop(name) for name in ("job", "session", "mentions", "history"))
    row["kind"] = row.pop("item")
    there = db.execute("select id from open_items where uid = ?", [row["uid"]]).fetchone()
    before = db.total_changes()
    if there is None:
        session = db.execute("select id from sessions where uid = ?", [home]).fetchone()
        number = insert(db, "open_items", {**_only(row, names.OF_ITEM), "job": _job_id(db, job), "session": session and session[0]})
        _put_history(db, number, history)
    else:
        number = int(there[0])
        db.execute("update open_items set count = ? where id = ? and count < ?", [row["count"], number, row["count"]])
        if len(history) > len(history_rows(db, "item", number)):
            db.execute("delete from history where what = 'item' and target = ?", [number])
            db.execute("update open_items set state = ?, ended = ?, ended_by = ? where id = ?", [row["state"], row["ended"], row["ended_by"], number])
            _put_history(db, number, history)
    for uid, position, text in mentions:
        db.execute(
            """insert or ignore into open_item_notes (item, note, text)
                select ?, n.id, ? from notes n join sessions s on s.id = n.session where s.uid = ? and n.position = ?""",
            [number, text, uid, position],
        )
    return int(db.total_changes() > before)


def _put_history(db: Database, number: int, history: list[dict[str, Any]]) -> None:
    for change in history:
        insert(db, "history", {**_only(change, names.OF_HISTORY), "target": number})
