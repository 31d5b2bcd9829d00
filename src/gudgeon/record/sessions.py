"""Sessions, their notes and their kept sound. One transaction a note: the note, its facts and how far reading has come."""

from __future__ import annotations

import hashlib
from collections.abc import Sequence
from datetime import datetime
from typing import Any

from gudgeon.domain import Fact, MissingThing, Note, Session
from gudgeon.record.database import Database, insert, transaction
from gudgeon.record.jobs import job_id
from gudgeon.record.pack import dump, dump_fact, dump_readings, load_fact, load_readings, moment, stamp
from gudgeon.record.pictures import pictures_of_session
from gudgeon.record.rows import Picture, Sound, StoredNote
from gudgeon.record.words import count_terms

TYPED = "typed"
"""The source of a session of typed notes."""
SESSION = """select s.id, j.name, s.started, s.seconds, s.source, s.recogniser, s.by, s.state, s.reached
    from sessions s left join jobs j on j.id = s.job"""


def _session(row: Sequence[Any]) -> Session:
    return Session(
        id=row[0],
        job=row[1],
        started=moment(row[2]),
        seconds=row[3],
        source=row[4],
        recogniser=row[5],
        by=row[6],
        state=row[7],
        reached=row[8],
    )


def begin_session(
    db: Database, *, job: str | None, started: datetime, source: str, source_key: str | None, recogniser: str | None, by: str | None
) -> Session:
    """Start a session in the state ``open``. Raises MissingThing for an unknown job."""
    with transaction(db):
        seed = f"{stamp(started)}|{source}|{source_key}|{job}"
        uid, again = fingerprint(seed), 0
        while db.execute("select 1 from sessions where uid = ?", [uid]).fetchone():
            again += 1
            uid = fingerprint(f"{seed}|{again}")
        row = {"uid": uid, "job": job_id(db, job), "started": stamp(started), "source": source}
        new = insert(db, "sessions", {**row, "source_key": source_key, "recogniser": recogniser, "by": by})
    return session(db, new)


def fingerprint(text: str) -> str:
    """A short name that is the same for the same text."""
    return hashlib.sha256(text.encode()).hexdigest()[:20]


def session(db: Database, number: int) -> Session:
    """The session of that number. Raises MissingThing."""
    row = db.execute(f"{SESSION} where s.id = ?", [number]).fetchone()
    if row is None:
        raise MissingThing(f"There is no session {number}.", next_step="List the sessions of a job with `gudgeon job show NAME`.")
    return _session(row)


def sessions(db: Database, job: str | None = None, newest: int | None = None) -> tuple[Session, ...]:
    """All sessions, or those of one job, in the order of their time; with ``newest`` the last so many of them."""
    where, values = ("", []) if job is None else ("where s.job = ?", [job_id(db, job)])
    limit = -1 if newest is None else newest
    rows = db.execute(f"{SESSION} {where} order by s.started desc, s.id desc limit ?", [*values, limit]).fetchall()
    return tuple(_session(row) for row in reversed(rows))


def count_sessions(db: Database) -> int:
    """How many sessions there are."""
    return int(db.execute("select count(*) from sessions").fetchone()[0])


def latest_session(db: Database, job: str | None = None) -> Session | None:
    """The session that was added last, of one job or of all."""
    where, values = ("", []) if job is None else ("where s.job = ?", [job_id(db, job)])
    row = db.execute(f"{SESSION} {where} order by s.id desc limit 1", values).fetchone()
    return _session(row) if row else None


def session_of_source(db: Database, source_key: str, states: tuple[str, ...]) -> Session | None:
    """The newest session that was read from a source with this key and is in one of these states."""
    marks = ", ".join("?" * len(states))
    row = db.execute(f"{SESSION} where s.source_key = ? and s.state in ({marks}) order by s.id desc limit 1", [source_key, *states]).fetchone()
    return _session(row) if row else None


def mark_session(db: Database, number: int, *, state: str, seconds: float | None = None, reached: float | None = None) -> Session:
    """Set the state of a session, and how long it is and how far it was read when that is known."""
    with transaction(db):
        db.execute(
            "update sessions set state = ?, seconds = coalesce(?, seconds), reached = coalesce(?, reached) where id = ?",
            [state, seconds, reached, number],
        )
    return session(db, number)


def add_note(db: Database, number: int, note: Note, facts: Sequence[Fact], now: datetime, reached: float | None = None) -> StoredNote:
    """Store one note with its facts, in one transaction; when this returns it is on the disk."""
    with transaction(db):
        last = db.execute("select max(position) from notes where session = ?", [number]).fetchone()[0]
        position = 0 if last is None else last + 1
        row = {"session": number, "position": position, "start": note.start, "end": note.end, "text": note.text, "by": note.by}
        row |= {"confidence": note.confidence, "unheard": int(note.unheard), "others": dump_readings(note.others), "added": stamp(now)}
        new = insert(db, "notes", row)
        _put_facts(db, new, facts)
        count_terms(db, note.text)
        db.execute("update sessions set reached = coalesce(?, reached) where id = ?", [reached, number])
    return StoredNote(id=new, session=number, position=position, note=note, facts=tuple(facts))


NOTE = 'select id, session, position, "start", "end", text, confidence, unheard, by, others, struck from notes'


def notes(db: Database, number: int) -> tuple[StoredNote, ...]:
    """The notes of a session in their order, with their facts."""
    facts: dict[int, list[Fact]] = {}
    found = "select f.note, f.body from facts f join notes n on n.id = f.note where n.session = ? order by f.note, f.position"
    for note, body in db.execute(found, [number]).fetchall():
        facts.setdefault(note, []).append(load_fact(body))
    rows, shown = db.execute(f"{NOTE} where session = ? order by position", [number]).fetchall(), pictures_of_session(db, number)
    return tuple(_note(row, tuple(facts.get(row[0], ())), shown.get(row[0], ())) for row in rows)


def _note(row: Sequence[Any], facts: tuple[Fact, ...], shown: tuple[Picture, ...]) -> StoredNote:
    said = Note(
        text=row[5],
        start=row[3],
        end=row[4],
        confidence=row[6],
        unheard=bool(row[7]),
        by=row[8],
        others=load_readings(row[9]) if row[9] != "[]" else (),
    )
    return StoredNote(id=row[0], session=row[1], position=row[2], note=said, facts=facts, struck=bool(row[10]), pictures=shown)


def strike_notes(db: Database, notes: Sequence[int], now: datetime, reason: str, *, struck: bool = True) -> None:
    """Take notes back together: they stay, and no entry is put together from them any more. Or bring them back."""
    action = "strike" if struck else "restore"
    with transaction(db):
        for note in notes:
            db.execute("update notes set struck = ? where id = ?", [int(struck), note])
            db.execute("update sessions set settled = -1 where id = (select session from notes where id = ?)", [note])
            insert(db, "history", {"at": stamp(now), "what": "note", "target": note, "action": action, "reason": reason})


def mend_note(db: Database, note: int, text: str, facts: Sequence[Fact], now: datetime, reason: str) -> None:
    """Change the words of a note by hand, with the facts read from the new ones; the words before stay in the history. Raises MissingThing."""
    row = db.execute("select text, session from notes where id = ?", [note]).fetchone()
    if row is None:
        raise MissingThing(f"There is no note {note}.", kept="Nothing was changed.")
    with transaction(db):
        db.execute("update notes set text = ?, unheard = ? where id = ?", [text, int(not text), note])
        db.execute("delete from facts where note = ?", [note])
        _put_facts(db, note, facts)
        count_terms(db, text)
        db.execute("update sessions set settled = -1 where id = ?", [row[1]])
        what = {"at": stamp(now), "what": "note", "target": note, "action": "set", "field": "text"}
        insert(db, "history", {**what, "before": dump(row[0]), "after": dump(text), "reason": reason})


def _put_facts(db: Database, note: int, facts: Sequence[Fact]) -> None:
    for place, fact in enumerate(facts):
        where = {"note": note, "position": place, "kind": fact.kind, "start": fact.span[0], "end": fact.span[1]}
        insert(db, "facts", {**where, "rule": fact.rule, "body": dump_fact(fact)})


def add_sound(db: Database, number: int, sound: Sound) -> None:
    """Note where a stretch of a session's sound is kept; the same file again replaces what was known of it."""
    with transaction(db):
        db.execute("delete from sounds where session = ? and file = ?", [number, sound.file])
        insert(db, "sounds", {"session": number, "start": sound.start, "seconds": sound.seconds, "file": sound.file})


def sounds(db: Database, number: int) -> tuple[Sound, ...]:
    """The kept stretches of a session's sound, in order."""
    rows = db.execute('select file, "start", seconds, forgotten from sounds where session = ? order by "start", id', [number]).fetchall()
    return tuple(Sound(file=row[0], start=row[1], seconds=row[2], forgotten=moment(row[3]) if row[3] else None) for row in rows)


def settled_notes(db: Database, number: int) -> int:
    """From how many notes the entries of a session were last put together."""
    return int(db.execute("select settled from sessions where id = ?", [number]).fetchone()[0])


def unsettled(db: Database) -> tuple[int, ...]:
    """Sessions with notes that no entries were put together from yet (a fall in between)."""
    sql = "select s.id from sessions s where s.settled <> (select count(*) from notes n where n.session = s.id) order by s.id"
    return tuple(row[0] for row in db.execute(sql).fetchall())
