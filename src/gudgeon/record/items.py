"""Open items: raised from notes, joined when said twice, carried until they are answered or dropped."""

from __future__ import annotations

import re
from collections.abc import Sequence
from datetime import datetime, timedelta
from typing import Any

from rapidfuzz import fuzz

from gudgeon.domain import BadInput, MissingThing, OpenItem
from gudgeon.record.database import Database, insert, transaction
from gudgeon.record.entries import history
from gudgeon.record.jobs import job_id
from gudgeon.record.pack import moment, stamp
from gudgeon.record.rows import StoredItem
from gudgeon.record.sessions import TYPED, fingerprint
from gudgeon.record.words import terms_of, words

KINDS = ("question", "verify", "todo", "buy", "fault")
ENDED = "ended"
"""Asked for as a state: answered or dropped."""
ALIKE = 86.0
FILLER = words("a an the of to for and is it it's that this these those some please i we need get buy")
SIDES = words("left right front rear upper lower top bottom inner outer inlet exhaust first second third one two three four five six")
ITEM = """select i.id, i.kind, i.text, i.count, i.part, i.state, i.ended_by, j.name, i.session, i.raised, i.ended
    from open_items i left join jobs j on j.id = i.job"""


def same_thing(one: str, other: str) -> bool:
    """Whether two items of one kind are the same thing said twice: like words, and no figure or side that differs."""
    first, second = [[term for term in terms_of(text) if term not in FILLER] for text in (one, other)]
    if first == second:
        return True
    telling = [{term for term in terms if term in SIDES or re.search(r"\d", term)} for terms in (first, second)]
    return telling[0] == telling[1] and fuzz.token_sort_ratio(" ".join(first), " ".join(second)) >= ALIKE


def raise_items(db: Database, session: int, found: Sequence[OpenItem], now: datetime) -> tuple[StoredItem, ...]:
    """Store what a session's notes raise. Said before: joined to the item that is open. Read no more: taken back, unless a hand touched it."""
    with transaction(db):
        job = db.execute("select job from sessions where id = ?", [session]).fetchone()[0]
        notes = dict(db.execute("select position, id from notes where session = ?", [session]).fetchall())
        known = _mentions(db, session)
        wanted = {(item.kind, notes[item.note], item.text): item for item in found if item.note is not None and item.note in notes}
        for key in known.keys() - wanted.keys():
            _forget_mention(db, known[key], key)
        for key, item in wanted.items():
            number = known.get(key) or _join_or_insert(db, job, session, item, key[1], _said_at(db, key[1], now))
            _end_from_note(db, number, item, now)
    return items_of_session(db, session)


def _said_at(db: Database, note: int, now: datetime) -> datetime:
    """When a note was said: in a recording its session's start and its own seconds, at the keyboard when it was typed; never after now."""
    sql = 'select s.started, n."start", n.added, s.source from notes n join sessions s on s.id = n.session where n.id = ?'
    started, start, added, source = db.execute(sql, [note]).fetchone()
    said = moment(added) if source == TYPED else moment(started) + timedelta(seconds=start or 0.0)
    return min(said, now)


def _mentions(db: Database, session: int) -> dict[tuple[str, int, str], int]:
    sql = """select i.kind, m.note, m.text, m.item from open_item_notes m join open_items i on i.id = m.item
        join notes n on n.id = m.note where n.session = ?"""
    return {(row[0], row[1], row[2]): row[3] for row in db.execute(sql, [session]).fetchall()}


def _forget_mention(db: Database, number: int, key: tuple[str, int, str]) -> None:
    db.execute("delete from open_item_notes where item = ? and note = ? and text = ?", [number, key[1], key[2]])
    touched = "select 1 from open_item_notes where item = ? union all select 1 from history where what = 'item' and target = ?"
    if not db.execute(touched, [number, number]).fetchone():
        db.execute("delete from open_items where id = ?", [number])


def _join_or_insert(db: Database, job: int | None, session: int, item: OpenItem, note: int, now: datetime) -> int:
    rows = db.execute("select id, text, part from open_items where job is ? and kind = ? and state = 'open' order by id", [job, item.kind]).fetchall()
    number = next((row[0] for row in rows if same_thing(row[1], item.text) and (row[2] == item.part or not (row[2] and item.part))), None)
    if number is None:
        number = _insert(db, job, session, item, now)
    elif item.count is not None:
        db.execute("update open_items set count = max(coalesce(count, 0), ?) where id = ?", [item.count, number])
    db.execute("insert or ignore into open_item_notes (item, note, text) values (?, ?, ?)", [number, note, item.text])
    return number


def _insert(db: Database, job: int | None, session: int | None, item: OpenItem, now: datetime) -> int:
    number = db.execute("select coalesce(max(id), 0) + 1 from open_items").fetchone()[0]
    row = {"uid": fingerprint(f"{job}|{item.kind}|{item.text}|{stamp(now)}|{number}"), "job": job, "session": session, "kind": item.kind}
    return insert(db, "open_items", {**row, "text": item.text, "count": item.count, "part": item.part, "raised": stamp(now)})


def _end_from_note(db: Database, number: int, item: OpenItem, now: datetime) -> None:
    by_hand = any(change.action in ("reopened", "answered", "dropped") for change in history(db, "item", number))
    if item.state != "open" and not by_hand:
        db.execute(
            "update open_items set state = ?, ended_by = ?, ended = coalesce(ended, ?) where id = ?", [item.state, item.ended_by, stamp(now), number]
        )


def add_item(db: Database, item: OpenItem, job: str | None, now: datetime) -> StoredItem:
    """Raise an item by hand. Raises BadInput for an unknown kind."""
    if item.kind not in KINDS:
        raise BadInput(f"{item.kind!r} is no kind of open item.", next_step=f"Choose one of: {', '.join(KINDS)}.")
    with transaction(db):
        number = _insert(db, job_id(db, job), None, item, now)
    return stored_item(db, number)


def stored_item(db: Database, number: int) -> StoredItem:
    """The open item of that number. Raises MissingThing."""
    row = db.execute(f"{ITEM} where i.id = ?", [number]).fetchone()
    if row is None:
        raise MissingThing(f"There is no open item {number}.", next_step="See the numbers with `gudgeon open`.")
    return _item(db, row)


def _item(db: Database, row: Sequence[Any]) -> StoredItem:
    notes = tuple(found[0] for found in db.execute("select distinct note from open_item_notes where item = ? order by note", [row[0]]).fetchall())
    item = OpenItem(kind=row[1], text=row[2], id=row[0], count=row[3], part=row[4], state=row[5], ended_by=row[6])
    return StoredItem(item=item, job=row[7], session=row[8], raised=moment(row[9]), ended=moment(row[10]) if row[10] else None, notes=notes)


def items(
    db: Database, *, job: str | None = None, state: str | None = "open", kind: str | None = None, limit: int | None = None, begin: int = 0
) -> tuple[StoredItem, ...]:
    """Items of one job or all, in the order they were raised; ``state`` None gives ended ones too, ``ENDED`` those alone, the newest end first.

    ``limit`` gives so many of them from ``begin`` on.
    """
    where, values = _where(db, job, state, kind)
    order = "i.ended desc, i.id desc" if state == ENDED else "i.raised, i.id"
    sql = f"{ITEM} where {where} order by {order} limit ? offset ?"
    return tuple(_item(db, row) for row in db.execute(sql, [*values, -1 if limit is None else limit, begin]).fetchall())


def count_items(db: Database, *, job: str | None = None, state: str | None = "open") -> dict[str, int]:
    """How many items there are of each kind that has any, without reading them."""
    where, values = _where(db, job, state, None)
    return dict(db.execute(f"select i.kind, count(*) from open_items i where {where} group by i.kind", values).fetchall())


def _where(db: Database, job: str | None, state: str | None, kind: str | None) -> tuple[str, list[Any]]:
    tests: list[str] = ["i.state <> 'open'"] if state == ENDED else ["1 = 1"]
    values: list[Any] = []
    for column, value in (("i.job", job_id(db, job)), ("i.state", None if state == ENDED else state), ("i.kind", kind)):
        if value is not None:
            tests.append(f"{column} = ?")
            values.append(value)
    return " and ".join(tests), values


def items_of_session(db: Database, session: int) -> tuple[StoredItem, ...]:
    """Items that a note of this session raised or said again."""
    sql = f"""{ITEM} where i.id in (select m.item from open_item_notes m join notes n on n.id = m.note where n.session = ?) order by i.id"""
    return tuple(_item(db, row) for row in db.execute(sql, [session]).fetchall())


def end_item(db: Database, number: int, *, state: str, text: str, now: datetime) -> StoredItem:
    """Answer, drop or re-open an item; the text says with what or why, and stays in its history. Raises BadInput when it is so already."""
    with transaction(db):
        old = stored_item(db, number)
        if old.item.state == state:
            raise BadInput(f"Item {number} is {state} already.", kept="It was not changed.", next_step="See it with `gudgeon open`.")
        action = "reopened" if state == "open" else state
        row = {"at": stamp(now), "what": "item", "target": number, "action": action, "field": "state"}
        insert(db, "history", {**row, "before": old.item.ended_by, "after": text, "reason": text})
        ended = None if state == "open" else stamp(now)
        db.execute("update open_items set state = ?, ended_by = ?, ended = ? where id = ?", [state, None if ended is None else text, ended, number])
    return stored_item(db, number)
