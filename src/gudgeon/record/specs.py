"""Spec sheets: the whole text as loaded, so that nothing of it is lost, and its rows for reading with plain SQL."""

from __future__ import annotations

from datetime import datetime

from gudgeon.domain import SpecSheet
from gudgeon.record.database import Database, insert, transaction
from gudgeon.record.jobs import job_id
from gudgeon.record.pack import dump, moment, slim, stamp
from gudgeon.record.rows import StoredSheet


def put_sheet(db: Database, *, job: str | None, name: str, text: str, sheet: SpecSheet, now: datetime) -> StoredSheet:
    """Keep a spec sheet as the current one of a job (None: for sessions without a job); earlier sheets stay, no longer current."""
    with transaction(db):
        owner = job_id(db, job)
        db.execute("update spec_sheets set current = 0 where job is ?", [owner])
        row = {"job": owner, "name": name, "loaded": stamp(now), "text": text, "refused": dump(list(sheet.refused))}
        number = insert(db, "spec_sheets", row)
        joints = (
            (number, r.line, "torque", r.part, r.place, r.fastener, r.thread, None, r.torque, r.unit, r.low, r.high, dump(slim(r)))
            for r in sheet.rows
        )
        sizes = ((number, s.line, "size", s.part, s.place, None, None, s.quantity, None, s.unit, s.low, s.high, dump(slim(s))) for s in sheet.sizes)
        for rows in (joints, sizes):
            db.conn.executemany("insert into spec_rows values (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)", rows)
    return StoredSheet(id=number, name=name, job=job, loaded=now, text=text)


def current_sheet(db: Database, job: str | None) -> StoredSheet | None:
    """The sheet in use for a job: its own, else the one loaded without a job; None when there is neither."""
    sql = """select s.id, s.name, j.name, s.loaded, s.text from spec_sheets s left join jobs j on j.id = s.job
        where s.current = 1 and (s.job is ? or s.job is null) order by s.job is null, s.id desc limit 1"""
    row = db.execute(sql, [job_id(db, job)]).fetchone()
    return StoredSheet(id=row[0], name=row[1], job=row[2], loaded=moment(row[3]), text=row[4]) if row else None


def put_tools(db: Database, *, name: str, text: str, now: datetime) -> StoredSheet:
    """Keep the owner's tools file as the current one; earlier ones stay."""
    with transaction(db):
        db.execute("update tool_sheets set current = 0")
        number = insert(db, "tool_sheets", {"name": name, "loaded": stamp(now), "text": text})
    return StoredSheet(id=number, name=name, job=None, loaded=now, text=text)


def current_tools(db: Database) -> StoredSheet | None:
    """The tools file in use, or None."""
    row = db.execute("select id, name, loaded, text from tool_sheets where current = 1 order by id desc limit 1").fetchone()
    return StoredSheet(id=row[0], name=row[1], job=None, loaded=moment(row[2]), text=row[3]) if row else None


def learn_joint(db: Database, job: str | None, entry_key: str, row_key: str, now: datetime) -> None:
    """Remember that entries of this name belong to that joint of the sheet (an empty ``row_key``: to none)."""
    with transaction(db):
        owner = job_id(db, job)
        db.execute("delete from learnt_joints where job is ? and entry_key = ?", [owner, entry_key])
        insert(db, "learnt_joints", {"job": owner, "entry_key": entry_key, "row_key": row_key, "learnt": stamp(now)})


def learnt_joints(db: Database, job: str | None) -> dict[str, str]:
    """The matches that the owner has set for a job: key of the entry's names → key of the joint."""
    return dict(db.execute("select entry_key, row_key from learnt_joints where job is ?", [job_id(db, job)]).fetchall())
