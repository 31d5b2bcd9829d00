"""Pictures kept with notes: the file as it came, under ``photos/`` in the record's folder, and what is known of it in a row."""

from __future__ import annotations

import hashlib
import os
from collections.abc import Sequence
from datetime import datetime
from pathlib import Path
from typing import Any

from gudgeon.domain import Failure, MissingThing
from gudgeon.record.database import Database, insert, transaction
from gudgeon.record.pack import moment, stamp
from gudgeon.record.picture_files import ENDINGS, bare, form_of
from gudgeon.record.rows import Picture
from gudgeon.record.small_pictures import small

FOLDER = "photos"
PICTURE = "select id, note, file, name, form, bytes, sha256, added, forgotten from pictures"


def _picture(row: Sequence[Any]) -> Picture:
    gone = moment(row[8]) if row[8] else None
    return Picture(id=row[0], note=row[1], file=row[2], name=row[3], form=row[4], size=row[5], sha256=row[6], added=moment(row[7]), forgotten=gone)


def add_picture(db: Database, folder: Path, note: int, data: bytes, name: str, now: datetime) -> Picture:
    """Keep a picture with a note, unchanged; the same one twice is one. The file is on the disk before the row that names it.

    Raises BadInput when it is no picture, too big or not whole; MissingThing for an unknown note; Failure when it cannot be written.
    """
    name = Path(name).name
    form, sha256 = form_of(data, name), hashlib.sha256(data).hexdigest()
    with transaction(db):
        session = db.execute("select session from notes where id = ?", [note]).fetchone()
        if session is None:
            raise MissingThing(f"There is no note {note}.", kept="Nothing was stored.")
        known = db.execute(f"{PICTURE} where note = ? and sha256 = ? and forgotten is null", [note, sha256]).fetchone()
        if known:
            return _picture(known)
        file = f"{FOLDER}/{session[0]}/{sha256[:24]}{ENDINGS[form]}"
        _write(folder / file, data)
        row = {"note": note, "file": file, "name": name, "form": form, "bytes": len(data), "sha256": sha256, "added": stamp(now)}
        number = insert(db, "pictures", row)
        return _picture(db.execute(f"{PICTURE} where id = ?", [number]).fetchone())


def _write(path: Path, data: bytes) -> None:
    """The whole file, forced to the disk, or none."""
    part = path.with_name(path.name + ".part")
    try:
        path.parent.parent.mkdir(mode=0o700, exist_ok=True)
        path.parent.mkdir(mode=0o700, exist_ok=True)
        part.touch(mode=0o600)
        with part.open("wb") as file:
            file.write(data)
            file.flush()
            os.fsync(file.fileno())
        part.replace(path)
    except OSError as error:
        part.unlink(missing_ok=True)
        raise Failure(
            f"The picture could not be kept: {error.strerror or error}.", kept="Nothing was stored.", next_step="Make room, try again."
        ) from error


def pictures(db: Database, note: int) -> tuple[Picture, ...]:
    """The pictures of a note, as they were added; those forgotten too."""
    return tuple(_picture(row) for row in db.execute(f"{PICTURE} where note = ? order by id", [note]).fetchall())


def pictures_of_session(db: Database, session: int) -> dict[int, tuple[Picture, ...]]:
    """Note id → its pictures, for all notes of a session that have any."""
    found: dict[int, tuple[Picture, ...]] = {}
    for row in db.execute(f"{PICTURE} where note in (select id from notes where session = ?) order by id", [session]).fetchall():
        found[row[1]] = (*found.get(row[1], ()), _picture(row))
    return found


def pictures_of_entry(db: Database, entry: int) -> tuple[Picture, ...]:
    """The pictures of the notes that an entry came from."""
    sql = f"{PICTURE} where note in (select note from entry_notes where entry = ?) order by id"
    return tuple(_picture(row) for row in db.execute(sql, [entry]).fetchall())


def picture_bytes(folder: Path, picture: Picture, *, location: bool) -> bytes:
    """A picture to be given away: without what it says of its place, time and camera, unless ``location``. Raises MissingThing."""
    try:
        data = (folder / picture.file).read_bytes()
    except OSError as error:
        raise MissingThing(f"The picture {picture.name} is not in the record's folder.", next_step="Run `gudgeon check`.") from error
    return data if location else bare(data, picture.form)


def picture_small(folder: Path, picture: Picture, most: int) -> bytes:
    """A picture to be shown small. Raises MissingThing when its file is gone, BadInput when it cannot be opened."""
    return small(picture_bytes(folder, picture, location=True), picture.form, most)


def picture(db: Database, session: int, note: int, number: int) -> Picture:
    """One picture of a note of a session. Raises MissingThing when it is not there or was forgotten."""
    home = "note = ? and note in (select id from notes where session = ?)"
    row = db.execute(f"{PICTURE} where id = ? and forgotten is null and {home}", [number, note, session]).fetchone()
    if row is None:
        raise MissingThing("This picture is not there.", kept="The words of its note are kept.")
    return _picture(row)


def forget_pictures(db: Database, folder: Path, session: int | None, now: datetime) -> int:
    """Remove the pictures of a session, or of all, for good; the words stay, and the record says that they are gone. How many went."""
    of, values = ("", []) if session is None else ("and note in (select id from notes where session = ?)", [session])
    rows = db.execute(f"select p.id, n.session from pictures p join notes n on n.id = p.note where forgotten is null {of}", values).fetchall()
    with transaction(db):
        for number, owner in rows:
            db.execute("update pictures set forgotten = ? where id = ?", [stamp(now), number])
            insert(db, "history", {"at": stamp(now), "what": "session", "target": owner, "action": "picture forgotten"})
    kept = {file for (file,) in db.execute("select file from pictures where forgotten is null").fetchall()}
    for (file,) in db.execute(f"select file from pictures where forgotten is not null {of}", values).fetchall():
        if file not in kept:
            (folder / file).unlink(missing_ok=True)
    return len(rows)
