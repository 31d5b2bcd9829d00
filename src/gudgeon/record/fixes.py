"""Changes by hand: a field set, an entry struck, restored, split or joined; what was there before stays in the history, with time and reason."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import datetime
from typing import Any

from gudgeon.domain import BadInput, Entry
from gudgeon.record.database import Database, insert, transaction
from gudgeon.record.entries import entry, entry_row, field_json, with_field
from gudgeon.record.pack import dump, dump_entry, slim, stamp
from gudgeon.record.rows import StoredEntry
from gudgeon.record.words import entry_words

NAMES = ("part", "place", "fastener", "thread", "grade", "state")


def set_field(db: Database, number: int, name: str, value: Any, now: datetime, reason: str) -> StoredEntry:
    """Change one field of an entry to a JSON value. The caller settles the session again, so that it is judged anew."""
    with transaction(db):
        old = entry(db, number)
        new = with_field(old.entry, name, value)
        before, after = field_json(old.entry, name), field_json(new, name)
        _note(db, number, "set", now, reason, field=name, before=before, after=after)
        db.execute("update entries set body = ?, fixed = 1 where id = ?", [dump_entry(new), number])
    return replace(old, entry=new, fixed=True)


def strike_entry(db: Database, number: int, *, struck: bool, now: datetime, reason: str) -> StoredEntry:
    """Strike an entry (it stays, and counts no more) or restore it. Raises BadInput when it is so already."""
    with transaction(db):
        old = entry(db, number)
        if old.struck == struck:
            raise BadInput(f"Entry {number} is {'struck already' if struck else 'not struck'}.", kept="It was not changed.")
        _note(db, number, "strike" if struck else "restore", now, reason)
        db.execute("update entries set struck = ? where id = ?", [int(struck), number])
    return replace(old, struck=struck)


def split_entry(db: Database, number: int, at: int, now: datetime, reason: str) -> StoredEntry:
    """Move the torques from ``at`` (0, 1, …) on into an entry of their own with the same names; that new entry. Raises BadInput."""
    with transaction(db):
        old = entry(db, number)
        if not 0 < at < len(old.entry.torques):
            raise BadInput(
                f"Entry {number} has no torque to split off there.", kept="It was not changed.", next_step="See it with `gudgeon fix ENTRY`."
            )
        moved = replace(old.entry, torques=old.entry.torques[at:], angles=(), measures=(), conditions=(), how=(f"split from entry {number} by hand",))
        row = entry_row(moved, old.judgement, entry_words(moved, old.judgement, [])) | {"session": old.session, "position": old.position, "fixed": 1}
        new = insert(db, "entries", row | {"reading": dump_entry(Entry())})
        set_field(db, number, "torques", [slim(torque) for torque in old.entry.torques[:at]], now, reason or f"split: the rest is entry {new}")
        _note(db, new, "split", now, reason, before=f"entry {number}")
    return entry(db, new)


def join_entries(db: Database, number: int, other: int, now: datetime, reason: str) -> StoredEntry:
    """Put all that another entry of the session holds into this one; the other is struck. Raises BadInput."""
    with transaction(db):
        one, two = entry(db, number), entry(db, other)
        if one.id == two.id or one.session != two.session:
            raise BadInput("Only two entries of one session can be joined.", kept="Nothing was changed.")
        why = reason or f"joined with entry {other}"
        for name in ("torques", "angles", "measures"):
            both = [slim(value) for value in (*getattr(one.entry, name), *getattr(two.entry, name))]
            _set_if_new(db, one, name, both, now, why)
        _set_if_new(db, one, "conditions", list(dict.fromkeys((*one.entry.conditions, *two.entry.conditions))), now, why)
        _set_if_new(db, one, "notes", sorted({*one.entry.notes, *two.entry.notes}), now, why)
        for name in (*NAMES, "count", "tool", "compound"):
            if getattr(one.entry, name) is None and getattr(two.entry, name) is not None:
                set_field(db, number, name, slim(two.entry)[name], now, why)
        if not two.struck:
            strike_entry(db, other, struck=True, now=now, reason=f"joined into entry {number}")
    return entry(db, number)


def _set_if_new(db: Database, one: StoredEntry, name: str, value: Sequence[Any], now: datetime, why: str) -> None:
    if dump(list(value)) != (field_json(one.entry, name) if slim(one.entry).get(name) else "[]"):
        set_field(db, one.id, name, list(value), now, why)


def _note(
    db: Database,
    number: int,
    action: str,
    now: datetime,
    reason: str,
    *,
    field: str | None = None,
    before: str | None = None,
    after: str | None = None,
) -> None:
    row = {"at": stamp(now), "what": "entry", "target": number, "action": action, "field": field, "before": before, "after": after}
    insert(db, "history", {**row, "reason": reason})
