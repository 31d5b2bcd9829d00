"""Whether a record is whole: the file, the keys, the index, and the sound that belongs to the words."""

from __future__ import annotations

import hashlib
from pathlib import Path

from gudgeon.record.database import Database
from gudgeon.record.keeping import left_out
from gudgeon.record.rows import Trouble
from gudgeon.record.sessions import unsettled


def check(db: Database, folder: Path) -> tuple[Trouble, ...]:
    """All troubles found; an empty tuple means that the record is whole."""
    troubles = [Trouble("damaged-file", f"The database says: {row[0]}.") for row in db.execute("pragma integrity_check").fetchall() if row[0] != "ok"]
    for row in db.execute("pragma foreign_key_check").fetchall():
        troubles.append(Trouble("lost-link", f"A row of {row[0]} points at a row of {row[2]} that is not there."))
    apart = left_out(folder)
    lost = (*_sound_troubles(db, folder, apart), *_picture_troubles(db, folder, apart))
    return (*troubles, *_index_troubles(db), *_session_troubles(db), *lost, *_left_out(db, folder, apart))


def _left_out(db: Database, folder: Path, apart: frozenset[str]) -> list[Trouble]:
    """What is not here because it was left out of the backup on purpose."""
    told = []
    for table, one, many in (("sounds", "session", "sessions"), ("pictures", "picture", "pictures")):
        files = {file for (file,) in db.execute(f"select file from {table} where forgotten is null").fetchall()} & apart
        count = sum(not (folder / file).exists() for file in files)
        if count:
            told.append(f"the sound of {count} {one if count == 1 else many}" if table == "sounds" else f"{count} {one if count == 1 else many}")
    text = f"This record was restored from a backup of the words alone: {' and '.join(told)} were left out of it on purpose."
    return [Trouble("left-out", text, True)] if told else []


def _index_troubles(db: Database) -> list[Trouble]:
    troubles = []
    for table in ("entries_fts", "notes_fts"):
        try:
            db.execute(f"insert into {table} ({table}, rank) values ('integrity-check', 1)")
        except db.conn.DatabaseError:
            troubles.append(Trouble("search-index", f"The search index {table} does not agree with what is stored."))
    return troubles


def _session_troubles(db: Database) -> list[Trouble]:
    behind = [
        Trouble(
            "not-put-together", f"Session {number} has notes that no entries were put together from yet; `gudgeon summary {number}` does it.", True
        )
        for number in unsettled(db)
    ]
    rows = db.execute("select id, source from sessions where state = 'unfinished' or (state = 'open' and recogniser is not null)").fetchall()
    return behind + [Trouble("broken-off", f"Session {number} was broken off; take {source} again to carry on.", True) for number, source in rows]


def _sound_troubles(db: Database, folder: Path, apart: frozenset[str]) -> list[Trouble]:
    rows = db.execute("select session, file, seconds from sounds where forgotten is null order by session, id").fetchall()
    troubles = [
        Trouble("sound-missing", f"The sound {file} of session {session} is not in the record's folder; its words are there.")
        for session, file, _ in rows
        if file not in apart and not (folder / file).exists()
    ]
    short = """select n.session, count(*) from notes n join sessions s on s.id = n.session where s.state = 'finished' and n."end" is not null
        and n."end" > (select max(k."start" + k.seconds) + 1 from sounds k where k.session = n.session) group by n.session"""
    return troubles + [
        Trouble("sound-short", f"{count} notes of session {session} lie behind the end of its kept sound.")
        for session, count in db.execute(short).fetchall()
    ]


def _picture_troubles(db: Database, folder: Path, apart: frozenset[str]) -> list[Trouble]:
    troubles = []
    for note, name, file, sha256 in db.execute("select note, name, file, sha256 from pictures where forgotten is null order by id").fetchall():
        if file in apart and not (folder / file).exists():
            continue
        if not (folder / file).is_file():
            troubles.append(Trouble("picture-missing", f"The picture {name} of note {note} is not in the record's folder; its words are there."))
        elif hashlib.sha256((folder / file).read_bytes()).hexdigest() != sha256:
            troubles.append(Trouble("picture-changed", f"The picture {name} of note {note} ({file}) is not as it was kept."))
    return troubles
