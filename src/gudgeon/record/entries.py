"""Entries: how they were read, how they stand now, and what was judged. Hand-made changes outlive a new reading."""

from __future__ import annotations

import json
from collections.abc import Sequence
from dataclasses import dataclass, fields, replace
from datetime import datetime
from typing import Any

from gudgeon.domain import Entry, Judgement, MissingThing, PastValue
from gudgeon.record.database import Database, insert, transaction
from gudgeon.record.jobs import job_id
from gudgeon.record.pack import dump, dump_entry, dump_judgement, load_entry, load_judgement, slim
from gudgeon.record.rows import Change, StoredEntry
from gudgeon.record.words import entry_words, know_terms

COLUMNS = ("id", "session", "position", "body", "reading", "judgement", "struck", "fixed")
ENTRY = f"select {', '.join(COLUMNS)} from entries"


@dataclass(frozen=True, slots=True)
class Slot:
    """Where a new reading goes: the row it continues (None for a new one), and the entry with hand-made changes applied."""

    row: int | None
    reading: Entry
    body: Entry


def _entry(row: Sequence[Any]) -> StoredEntry:
    now = load_entry(row[3])
    return StoredEntry(
        id=row[0],
        session=row[1],
        position=row[2],
        entry=now,
        reading=now if row[4] == row[3] else load_entry(row[4]),
        judgement=load_judgement(row[5]),
        struck=bool(row[6]),
        fixed=bool(row[7]),
    )


def entries(db: Database, session: int) -> tuple[StoredEntry, ...]:
    """The entries of a session in their order, struck ones too."""
    return tuple(_entry(row) for row in db.execute(f"{ENTRY} where session = ? order by position, id", [session]).fetchall())


def entry(db: Database, number: int) -> StoredEntry:
    """The entry of that number. Raises MissingThing."""
    row = db.execute(f"{ENTRY} where id = ?", [number]).fetchone()
    if row is None:
        raise MissingThing(f"There is no entry {number}.", next_step="See the numbers with `gudgeon summary`.")
    return _entry(row)


def place_readings(db: Database, session: int, readings: Sequence[Entry]) -> tuple[Slot, ...]:
    """Match a new reading of a session to the rows it had, so that numbers stay and hand-made changes are kept.

    Entries that a hand made or changed stay also when nothing reads like them any more.
    """
    free = list(entries(db, session))
    slots = []
    for reading in readings:
        best = max(free, key=lambda old: _likeness(old.reading, reading), default=None)
        if best is None or _likeness(best.reading, reading) <= 0:
            slots.append(Slot(None, reading, reading))
            continue
        free.remove(best)
        slots.append(Slot(best.id, reading, _changed(db, best.id, reading) if best.fixed else reading))
    return (*slots, *(Slot(old.id, old.reading, old.entry) for old in free if old.fixed or old.struck))


def _likeness(old: Entry, new: Entry) -> float:
    shared = len(set(old.notes) & set(new.notes)) / (len(set(old.notes) | set(new.notes)) or 1)
    same_names = (old.part, old.place, old.fastener) == (new.part, new.place, new.fastener)
    return shared + (1.0 if same_names and shared else 0.5 if same_names and not (old.notes and new.notes) else 0.0)


def _changed(db: Database, number: int, reading: Entry) -> Entry:
    for change in history(db, "entry", number):
        if change.action == "set" and change.field:
            reading = with_field(reading, change.field, json.loads(change.after or "null"))
    return reading


def with_field(entry: Entry, name: str, value: Any) -> Entry:
    """The entry with one field set from its JSON value; None leaves it as if nothing had been said of it."""
    row = {**slim(entry), name: value}
    row.pop(f"{name.removesuffix('_mm')}_heard", None)  # what a hand has set was not misheard
    return load_entry(dump({key: kept for key, kept in row.items() if kept is not None}))


def field_json(entry: Entry, name: str) -> str:
    """One field of an entry as JSON."""
    return dump(slim(entry).get(name))


def put_entries(db: Database, session: int, judged: Sequence[tuple[Slot, Judgement]]) -> tuple[StoredEntry, ...]:
    """Store the entries of a session as they are now; rows that were read before, no more now, and never touched by hand, go.

    Rows that stand as they did are left alone, so that one more note in a long session costs little.
    """
    with transaction(db):
        notes = {row[0]: (row[1], row[2]) for row in db.execute("select position, id, text from notes where session = ?", [session]).fetchall()}
        before, stored = {old.id: old for old in entries(db, session)}, []
        words = dict(db.execute("select id, words from entries where session = ?", [session]).fetchall())
        for gone in before.keys() - {slot.row for slot, _ in judged}:
            db.execute("delete from entries where id = ?", [gone])
        for position, (slot, judgement) in enumerate(judged):
            said = [notes[at] for at in slot.body.notes if at in notes]
            told = entry_words(slot.body, judgement, [text for _, text in said])
            old = before.get(slot.row) if slot.row is not None else None
            new = StoredEntry(
                id=old.id if old else 0,
                session=session,
                position=position,
                entry=slot.body,
                reading=slot.reading,
                judgement=judgement,
                struck=old.struck if old else False,
                fixed=old.fixed if old else False,
            )
            if old is None or new != old or words[old.id] != told:
                new = replace(new, id=_put(db, new, told, [note for note, _ in said]))
            stored.append(new)
        db.execute("update sessions set settled = ? where id = ?", [len(notes), session])
    return tuple(stored)


def _put(db: Database, new: StoredEntry, words: str, notes: Sequence[int]) -> int:
    """Write one entry into its row, or into a new one when its id is 0; its id."""
    row = entry_row(new.entry, new.judgement, words) | {"session": new.session, "position": new.position, "reading": dump_entry(new.reading)}
    number = new.id
    if not number:
        number = insert(db, "entries", row)
    else:
        sets = ", ".join(f'"{name}" = ?' for name in row)
        db.execute(f"update entries set {sets} where id = ?", [*row.values(), number])
    know_terms(db, words)
    _put_details(db, number, new.entry, new.judgement, notes)
    return number


def entry_row(entry: Entry, judgement: Judgement, words: str) -> dict[str, object]:
    """The columns of an entry that can be read with plain SQL; ``words`` are all that it can be found by."""
    plain = ("part", "place", "fastener", "count", "thread", "grade", "length_mm", "state", "unclear")
    row: dict[str, object] = {name: getattr(entry, name) for name in plain}
    tool, compound = entry.tool, entry.compound
    row |= {"tool": tool and tool.tool, "tool_size": tool and tool.size, "tool_size_unit": tool and tool.size_unit}
    row |= {"compound": compound and compound.compound, "strength": compound and compound.strength, "complete": int(entry.complete)}
    worst = min((verdict.code for verdict in judgement.verdicts), key=worst_first, default=None)
    row |= {"verdict": worst, "words": words}
    return row | judged_columns(entry, judgement) | {"body": dump_entry(entry), "judgement": dump_judgement(judgement)}


def judged_columns(entry: Entry, judgement: Judgement) -> dict[str, int]:
    """What the judgement says of an entry, as columns to search by."""
    return {"on_sheet": int(_on_sheet(judgement)), "doubtful": int(_doubtful(entry, judgement))}


def _on_sheet(judgement: Judgement) -> bool:
    """Whether the entry belongs to a joint or size of the sheet."""
    return judgement.joint is not None or any(verdict.code in ("within", "over", "under") for verdict in judgement.verdicts)


def _doubtful(entry: Entry, judgement: Judgement) -> bool:
    """Whether a torque was guessed, heard unsurely, said without its unit, or is out of bounds."""
    guessed = any(torque.hedged or torque.heard for torque in entry.torques)
    return guessed or any(verdict.torque is not None and verdict.code in DOUBTFUL for verdict in judgement.verdicts)


VERDICTS = ("unit not said", "unlikely", "over", "under", "no reference", "within")


DOUBTFUL = ("unit not said", "unlikely", "over", "under")


def worst_first(code: str) -> int:
    """Verdicts in the order in which a person should look at them."""
    return VERDICTS.index(code) if code in VERDICTS else len(VERDICTS)


def _put_details(db: Database, number: int, entry: Entry, judgement: Judgement, notes: Sequence[int]) -> None:
    for table in ("entry_notes", "torques", "measures", "findings"):
        db.execute(f"delete from {table} where entry = ?", [number])
    for note in dict.fromkeys(notes):
        insert(db, "entry_notes", {"entry": number, "note": note})
    of_torque = {verdict.torque: verdict for verdict in judgement.verdicts if verdict.torque is not None}
    for at, torque in enumerate(entry.torques):
        verdict = of_torque.get(at)
        row = {"entry": number, "position": at, "value": torque.value, "unit": torque.unit, "nm": torque.nm, "angle_deg": torque.angle_deg}
        row |= {"stage": torque.stage, "hedged": int(torque.hedged), "low": torque.low, "high": torque.high}
        insert(db, "torques", {**row, "verdict": verdict and verdict.code, "reason": verdict and verdict.reason})
    of_measure = {verdict.measure: verdict for verdict in judgement.verdicts if verdict.measure is not None}
    for at, size in enumerate(entry.measures):
        verdict = of_measure.get(at)
        row = {"entry": number, "position": at, "quantity": size.quantity, "value": size.value, "unit": size.unit}
        insert(db, "measures", {**row, "verdict": verdict and verdict.code, "reason": verdict and verdict.reason})
    for at, finding in enumerate(judgement.findings):
        insert(db, "findings", {"entry": number, "position": at, "code": finding.code, "reason": finding.reason})


def entries_on_sheet(db: Database, job: str | None) -> tuple[Entry, ...]:
    """The entries of a job that belong to a joint or size of its sheet, oldest first; struck ones are left out."""
    sql = """select e.body from sessions s join entries e indexed by entries_on_sheet on e.session = s.id
        where s.job is ? and e.on_sheet = 1 and e.struck = 0 order by s.started, s.id, e.position"""
    return tuple(load_entry(body) for (body,) in db.execute(sql, [job_id(db, job)]).fetchall())


def doubtful_entries(db: Database, job: str | None, limit: int) -> tuple[StoredEntry, ...]:
    """Entries of a job with a torque that nobody should rely on yet, newest first, unless a later entry of the joint said all its stages anew."""
    sql = f"""select {", ".join(f"e.{name}" for name in COLUMNS)} from sessions s join entries e indexed by entries_doubtful on e.session = s.id
        where s.job is ? and e.doubtful = 1 and e.struck = 0 and not exists (
            select 1 from entries l indexed by entries_part cross join sessions m on m.id = l.session
            where l.part = e.part and l.place is e.place and l.fastener is e.fastener and l.struck = 0 and m.job is s.job
            and (m.started, m.id) > (s.started, s.id) and not exists (
                select 1 from torques a where a.entry = e.id
                and not exists (select 1 from torques b where b.entry = l.id and b.stage is a.stage)))
        order by s.started desc, s.id desc, e.position limit ?"""
    return tuple(_entry(row) for row in db.execute(sql, [job_id(db, job), limit]).fetchall())


def past_values(db: Database, job: str | None, part: str | None, before: int) -> tuple[PastValue, ...]:
    """What stands from sessions before that one, of the same job and part: of each joint and stage the last value. Struck entries are left out."""
    if part is None:
        return ()
    sql = """select s.id, s.started, e.part, e.place, e.fastener, t.stage, t.value, t.unit, t.nm, e.count
        from entries e indexed by entries_part cross join sessions s on s.id = e.session cross join torques t on t.entry = e.id
        where e.part = ? and s.job is ? and e.struck = 0 and (s.started, s.id) < (select started, id from sessions where id = ?)
        order by s.started, s.id, e.position, t.position"""
    rows = db.execute(sql, [part, job_id(db, job), before]).fetchall()
    names = [field.name for field in fields(PastValue)]
    standing = {(row[3], row[4], row[5]): row for row in rows}
    return tuple(PastValue(**{**dict(zip(names, row, strict=True)), "date": row[1][:10]}) for row in standing.values())


def history(db: Database, what: str, target: int) -> tuple[Change, ...]:
    """Every change of one entry, item or note, oldest first."""
    sql = "select at, what, target, action, field, before, after, reason from history where what = ? and target = ? order by id"
    return tuple(_change(row) for row in db.execute(sql, [what, target]).fetchall())


def _change(row: Sequence[Any]) -> Change:
    from_row = {field.name: value for field, value in zip(fields(Change), row, strict=True)}
    return Change(**{**from_row, "at": datetime.fromisoformat(row[0].replace("Z", "+00:00"))})
