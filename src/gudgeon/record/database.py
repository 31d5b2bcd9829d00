"""One connection to the record's file, and blocks of writes that are kept together or not at all."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager
from typing import Any

Values = Sequence[Any] | Mapping[str, Any]


class Database:
    """A connection that commits nothing by itself: what it is told outside of a block is kept at once, inside with its block."""

    def __init__(self, conn: sqlite3.Connection) -> None:
        self.conn = conn

    def execute(self, sql: str, values: Values = ()) -> sqlite3.Cursor:
        """Run one statement with bound values."""
        return self.conn.execute(sql, values)

    def total_changes(self) -> int:
        """How many rows were written through this connection."""
        return self.conn.total_changes

    def close(self) -> None:
        """Let go of the file."""
        self.conn.close()


@contextmanager
def transaction(db: Database) -> Iterator[None]:
    """All writes inside are kept together or not at all; blocks may stand in blocks.

    The outermost takes the lock before anything is read, so that reading then writing cannot clash with another program.
    """
    undo: tuple[str, ...]
    if db.conn.in_transaction:
        begin, keep, undo = "savepoint inner_block", "release inner_block", ("rollback to inner_block", "release inner_block")
    else:
        begin, keep, undo = "begin immediate", "commit", ("rollback",)
    db.execute(begin)
    try:
        yield
        db.execute(keep)
    except BaseException:
        if db.conn.in_transaction:  # a full disk may have undone all of it already
            for statement in undo:
                db.execute(statement)
        raise


def insert(db: Database, table: str, row: Mapping[str, object]) -> int:
    """Insert one row; its id. Names come from this room alone, values are bound."""
    names = ", ".join(f'"{name}"' for name in row)
    marks = ", ".join("?" * len(row))
    return int(db.execute(f'insert into "{table}" ({names}) values ({marks})', list(row.values())).lastrowid or 0)
