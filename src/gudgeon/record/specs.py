"""Spec sheets: the whole text as loaded, so that nothing of it is lost, and its rows for reading with plain SQL."""

from __future__ import annotations

from datetime import datetime

from sqlite_utils import Database

from gudgeon.domain import SpecSheet
from gudgeon.record.jobs import job_id
from gudgeon.record.pack import dump, moment, slim, stamp
from gudgeon.record.rows import StoredSheet
from gudgeon.record.store import insert, transaction


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
