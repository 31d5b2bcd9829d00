"""The record's folder and connection: made for the owner alone, migrated with a backup first, and its errors in plain words."""

from __future__ import annotations

import sqlite3
import time
from collections.abc import Callable
from datetime import datetime
from pathlib import Path

from gudgeon.domain import BadInput, Failure, GudgeonError, NewerRecord
from gudgeon.record.database import Database
from gudgeon.record.schema import VERSION

FILE = "record.db"
BUSY_SECONDS = 10


def open_database(folder: Path, now: datetime) -> Database:
    """Open (or make) the record in ``folder``, brought up to the newest schema.

    Raises BadInput when the folder cannot be one, NewerRecord when a newer gudgeon wrote it, Failure when it cannot be opened.
    """
    make_folder(folder)
    path = folder / FILE
    try:
        if not path.exists():  # a record that is only looked at keeps its time: the pages tell by it whether anything changed
            path.touch(mode=0o600)  # its log and index files get the same mode from SQLite
        db = connect(path)
        migrate(db, path, now)
    except (sqlite3.Error, OSError) as error:
        raise plain_error(error, path) from error
    return db


def connect(path: Path) -> Database:
    """A connection with foreign keys on, write-ahead log, and every commit written through to the disk."""
    connection = sqlite3.connect(path, timeout=BUSY_SECONDS, check_same_thread=False, isolation_level=None)
    db = Database(connection)
    db.execute("pragma foreign_keys = on")
    _wait_for(lambda: db.execute("pragma journal_mode = wal"))
    db.execute("pragma synchronous = full")
    return db


def _wait_for(change: Callable[[], object]) -> None:
    """Try until the lock is had: SQLite does not wait by itself when two programs switch a new record to its write-ahead log at once."""
    until = time.monotonic() + BUSY_SECONDS
    while True:
        try:
            change()
            return
        except sqlite3.OperationalError as error:
            if error.sqlite_errorcode & 0xFF != sqlite3.SQLITE_BUSY or time.monotonic() > until:
                raise
            time.sleep(0.02)


def make_folder(folder: Path) -> None:
    """Make the record's folder, readable by its owner alone. Raises BadInput or Failure."""
    if folder.exists() and not folder.is_dir():
        raise BadInput(f"{folder} is a file, and a record is a folder.", next_step="Name another folder with --record.")
    try:
        if not folder.is_dir():
            folder.mkdir(parents=True, mode=0o700, exist_ok=True)  # another gudgeon may make it at this very moment
        (folder / "sound").mkdir(mode=0o700, exist_ok=True)
    except OSError as error:
        raise Failure(
            f"The folder {folder} could not be made: {error.strerror or error}.",
            kept="Nothing was changed.",
            next_step="Choose a folder you may write to with --record DIR or GUDGEON_RECORD.",
        ) from error


def migrate(db: Database, path: Path, now: datetime) -> None:
    """Apply the migrations that are missing, each in one transaction, after a copy of the file. Raises NewerRecord."""
    version = db.execute("pragma user_version").fetchone()[0]
    if version > VERSION:
        raise NewerRecord(
            f"The record {path} was written by a newer gudgeon (its schema is {version}, this one knows {VERSION}).",
            kept="The record was not touched.",
            next_step="Install the newer gudgeon, or name another record with --record.",
        )
    if version < VERSION:
        from gudgeon.record.migrations import MIGRATIONS, apply  # noqa: PLC0415 - sqlite-utils takes a while to load and is seldom needed

        if version:
            copy_to(db, path.with_name(f"before-schema-{version + 1}.db"))
        for number in range(version + 1, VERSION + 1):
            apply(db, number, MIGRATIONS[number - 1], now)


def copy_to(db: Database, target: Path) -> None:
    """A consistent copy of the whole database, readable by its owner alone; an older copy of that name is replaced when it is complete."""
    part = target.with_name(target.name + ".part")
    part.unlink(missing_ok=True)
    part.touch(mode=0o600)
    copy = sqlite3.connect(part)
    try:
        db.conn.backup(copy)
        copy.execute("pragma journal_mode = delete")
    except sqlite3.Error:
        part.unlink(missing_ok=True)
        raise
    finally:
        copy.close()
    part.replace(target)


def plain_error(error: Exception, path: Path) -> GudgeonError:
    """What a database or file error means to a person."""
    if isinstance(error, GudgeonError):
        return error
    words = str(error).lower()
    kept = "Everything stored before this is kept; what was being written is not half there."
    if "locked" in words or "busy" in words:
        return Failure(f"Another program is writing to the record {path}.", kept=kept, next_step="Wait until it is done, then try again.")
    if "readonly" in words or "read-only" in words or "unable to open" in words or isinstance(error, PermissionError):
        return Failure(
            f"The record {path} cannot be written.", kept=kept, next_step="Check who may write to that folder, or name another with --record."
        )
    if "full" in words or "no space" in words or "disk i/o" in words:
        return Failure(f"The disk with the record {path} is full or failing.", kept=kept, next_step="Make room on the disk, then try again.")
    if "malformed" in words or "not a database" in words or "corrupt" in words:
        return Failure(
            f"The file {path} is damaged or is no record.",
            kept="It was not changed.",
            next_step="Restore a backup with `gudgeon restore FILE --record NEW_FOLDER`, and keep the damaged file.",
        )
    return Failure(f"The record {path} could not be used: {error}.", kept=kept, next_step="Run `gudgeon check` and try again.")
