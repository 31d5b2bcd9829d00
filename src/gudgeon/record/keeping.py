"""Backups: the whole record as one file, made while it is in use, and back again; and sound removed for good."""

from __future__ import annotations

import shutil
import sqlite3
import zipfile
from datetime import datetime
from pathlib import Path

from gudgeon.domain import BadInput, Failure, MissingThing
from gudgeon.record.database import Database, insert, transaction
from gudgeon.record.pack import stamp
from gudgeon.record.store import FILE, copy_to, make_folder

MARK = "gudgeon-backup.txt"
SAFE_FOLDERS = ("sound", "photos")
LEFT_OUT = "left_out.txt"
"""In a record that was restored from a backup of the words alone: the files that were left out of it, one a line."""


def backup(db: Database, folder: Path, target: Path, *, sound: bool) -> int:
    """Write the record into one new file (a zip archive), with its sound or without; its size in bytes. Raises BadInput, Failure.

    The database is copied as it stands at one instant, also while another program writes to it.
    """
    if target.exists():
        raise BadInput(f"{target} is there already.", kept="It was not touched.", next_step="Choose another name for the backup.")
    part, copy = target.with_name(target.name + ".part"), folder / "backup.part"
    try:
        copy_to(db, copy)
        with zipfile.ZipFile(part, "w", zipfile.ZIP_DEFLATED) as archive:
            archive.writestr(MARK, "gudgeon backup, with sound\n" if sound else "gudgeon backup, without sound\n")
            archive.write(copy, FILE)
            for path in _kept_files(folder) if sound else ():
                archive.write(path, path.relative_to(folder).as_posix(), zipfile.ZIP_STORED)
        part.chmod(0o600)
        part.replace(target)
    except OSError as error:
        part.unlink(missing_ok=True)
        raise Failure(f"The backup {target} could not be written: {error.strerror or error}.", kept="The record is as it was.") from error
    finally:
        copy.unlink(missing_ok=True)
    return target.stat().st_size


def _kept_files(folder: Path) -> list[Path]:
    return [path for name in SAFE_FOLDERS for path in sorted((folder / name).rglob("*")) if path.is_file()]


def restore(source: Path, folder: Path) -> None:
    """Unpack a backup into a folder that holds no record yet. Raises MissingThing, BadInput, Failure; nothing is left half done."""
    if not source.is_file():
        raise MissingThing(f"There is no file {source}.", kept="Nothing was changed.", next_step="Check the name.")
    if (folder / FILE).exists():
        raise BadInput(f"{folder} holds a record already.", kept="It was not touched.", next_step="Name an empty folder with --record.")
    fresh = not folder.exists()
    make_folder(folder)
    try:
        with zipfile.ZipFile(source) as archive:
            _unpack(archive, source, folder)
            _note_left_out(archive, folder)
    except (zipfile.BadZipFile, OSError, EOFError, NotImplementedError) as error:
        if fresh:
            shutil.rmtree(folder, ignore_errors=True)
        raise Failure(f"The backup {source} is damaged or is none: {error}.", kept="Nothing was changed.", next_step="Try an older one.") from error


def _unpack(archive: zipfile.ZipFile, source: Path, folder: Path) -> None:
    """The database last, under its own name only when it is whole: a fall half-way leaves no record behind."""
    names = archive.namelist()
    if MARK not in names or FILE not in names:
        raise zipfile.BadZipFile("it holds no record")
    for name in names:
        inside = Path(name)
        if inside.parts[0] in SAFE_FOLDERS and ".." not in inside.parts and not name.endswith("/"):
            (folder / inside).parent.mkdir(parents=True, exist_ok=True, mode=0o700)
            with archive.open(name) as packed, (folder / inside).open("wb") as file:
                shutil.copyfileobj(packed, file)
    part = folder / (FILE + ".part")
    part.touch(mode=0o600)
    with archive.open(FILE) as packed, part.open("wb") as file:
        shutil.copyfileobj(packed, file)
    _check_database(part, source)
    part.replace(folder / FILE)


def _note_left_out(archive: zipfile.ZipFile, folder: Path) -> None:
    """Write down what a backup without sound left out on purpose, so that a check does not take it for lost."""
    if b"without sound" not in archive.read(MARK):
        return
    connection = sqlite3.connect(folder / FILE)
    try:
        sql = "select file from sounds where forgotten is null union select file from pictures where forgotten is null order by 1"
        files = [file for (file,) in connection.execute(sql).fetchall() if not (folder / file).exists()]
    except sqlite3.OperationalError:  # a record from before there were pictures
        files = [file for (file,) in connection.execute("select file from sounds where forgotten is null order by 1").fetchall()]
    finally:
        connection.close()
    if files:
        path = folder / LEFT_OUT
        path.touch(mode=0o600)
        path.write_text("".join(f"{file}\n" for file in files), encoding="utf-8")


def left_out(folder: Path) -> frozenset[str]:
    """The files that the backup this record was restored from had left out on purpose."""
    try:
        return frozenset((folder / LEFT_OUT).read_text(encoding="utf-8").splitlines())
    except FileNotFoundError:
        return frozenset()


def _check_database(path: Path, source: Path) -> None:
    connection = sqlite3.connect(path)
    try:
        whole = connection.execute("pragma integrity_check").fetchone()[0] == "ok"
    except sqlite3.DatabaseError:
        whole = False
    finally:
        connection.close()
    if not whole:
        path.unlink()
        raise zipfile.BadZipFile(f"the record in {source.name} is damaged")


def forget_sound(db: Database, folder: Path, session: int | None, now: datetime) -> int:
    """Remove the sound of a session, or of all, for good; the words stay, and the record says that it is gone. How many stretches went.

    The record says so first and the files go then, so that a fall in between leaves no sound that is thought to be kept.
    """
    where, values = ("", []) if session is None else ("and session = ?", [session])
    rows = db.execute(f"select id, session, file from sounds where forgotten is null {where}", values).fetchall()
    with transaction(db):
        for number, owner, _ in rows:
            db.execute("update sounds set forgotten = ? where id = ?", [stamp(now), number])
            insert(db, "history", {"at": stamp(now), "what": "session", "target": owner, "action": "sound forgotten"})
    gone = f"select file from sounds where forgotten is not null {where}"
    for (file,) in db.execute(gone, values).fetchall():
        path = folder / file
        if path.is_dir():
            shutil.rmtree(path)
        else:
            path.unlink(missing_ok=True)
    return len(rows)
