"""Migrations: named functions that make or change tables, applied once and in order, each in one transaction.

A new one goes to the end of ``MIGRATIONS``, ``schema.VERSION`` goes up by one, and a record of the schema before it is kept
(``tests/record/keep_schema.py``). Each gets sqlite-utils' ``Database``, whose ``transform`` and ``add_column`` change tables that hold rows.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Callable
from datetime import datetime

from sqlite_utils import Database as Tables

from gudgeon.record.database import Database, insert, transaction
from gudgeon.record.pack import stamp
from gudgeon.record.schema import FIRST_TABLES, JUDGED, PICTURES

Migration = tuple[str, Callable[[Tables], None]]


def first_tables(tables: Tables) -> None:
    """The tables of the first release."""
    for statement in FIRST_TABLES:
        tables.execute(statement)


def pictures(tables: Tables) -> None:
    """Pictures kept with notes."""
    for statement in PICTURES:
        tables.execute(statement)


def judged(tables: Tables) -> None:
    """Which entries belong to the sheet, and which hold a value that nobody should rely on yet, so that they are found among very many."""
    for statement in JUDGED:
        tables.execute(statement)


MIGRATIONS: tuple[Migration, ...] = (("first tables", first_tables), ("pictures", pictures), ("judged", judged))


def apply(db: Database, number: int, migration: Migration, now: datetime) -> None:
    """Apply one migration, unless another program did while this one waited for the lock.

    Foreign keys are off meanwhile, so that a table may be made anew under its rows; that none is lost is checked before it is kept.
    """
    name, change = migration
    db.execute("pragma foreign_keys = off")
    try:
        with transaction(db):
            if db.execute("pragma user_version").fetchone()[0] >= number:
                return
            change(Tables(db.conn, execute_plugins=False))
            if db.execute("pragma foreign_key_check").fetchone():
                raise sqlite3.IntegrityError(f"the migration {name!r} lost a link between rows")
            insert(db, "migrations", {"name": name, "applied": stamp(now)})
            db.execute(f"pragma user_version = {number}")
    finally:
        db.execute("pragma foreign_keys = on")
