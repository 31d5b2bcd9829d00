"""A session that two records hold: corrections made by hand in the other one come along, the later change of one thing wins, all history is kept."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any

from gudgeon.domain import Entry
from gudgeon.record import exporting as names
from gudgeon.record.database import Database, insert
from gudgeon.record.exporting import history_rows
from gudgeon.record.pack import dump, dump_entry, load_entry, load_fact
from gudgeon.record.words import count_terms

Row = dict[str, Any]
BY_HAND = dump_entry(Entry())
"""The reading of an entry that no note was read as: a hand split it off."""


def merge_session(
    db: Database, number: int, notes: Sequence[Row], found: Sequence[Row], take_note: Callable[[Row], int], take_entry: Callable[[Row], None]
) -> bool:
    """Take into session ``number`` what a hand has changed in another record's copy of it, and notes it got later; whether anything came.

    A note that is another one here (both records went on with the session on their own) stays as it is. The caller settles the session.
    """
    changed = False
    mine = {row[1]: row for row in db.execute("select id, position, text from notes where session = ?", [number]).fetchall()}
    for note in notes:
        own = mine.get(note["position"])
        if own is None:
            take_note(note)
            changed = True
        elif (news := _news(db, "note", own[0], note["history"])) and _grew_from(db, own[0], own[2], note):
            changed = True
            if _is_later(db, "note", own[0], note["history"]):
                _put_note(db, own[0], note)
            _put_history(db, "note", own[0], news)
    free = {row[0]: row for row in db.execute("select id, position, reading from entries where session = ?", [number]).fetchall()}
    for entry in found:
        own = _same_entry(db, list(free.values()), entry)
        if own is not None:
            del free[own[0]]
        if own is None and entry["history"] and entry["reading"] == BY_HAND:
            take_entry(entry)
            changed = True
        elif own is not None and (news := _news(db, "entry", own[0], entry["history"])):
            changed = True
            if _is_later(db, "entry", own[0], entry["history"]):
                load_entry(entry["body"])
                columns = ("body", "struck", "fixed")
                sets = ", ".join(f"{name} = ?" for name in columns)
                db.execute(f"update entries set {sets} where id = ?", [*(entry[name] for name in columns), own[0]])
            _put_history(db, "entry", own[0], news)
    if changed:
        db.execute("update sessions set settled = -1 where id = ?", [number])
    return changed


def _news(db: Database, what: str, number: int, theirs: Sequence[Row]) -> list[Row]:
    """Both histories as one, in the order of time; empty when theirs holds nothing new."""
    mine = history_rows(db, what, number)
    told = [{name: change[name] for name in names.OF_HISTORY} for change in theirs]
    new = [change for change in told if change not in mine]
    return sorted([*mine, *new], key=lambda change: str(change["at"])) if new else []


def _is_later(db: Database, what: str, number: int, theirs: Sequence[Row]) -> bool:
    mine = history_rows(db, what, number)
    return not mine or str(theirs[-1]["at"]) > str(mine[-1]["at"])


def _grew_from(db: Database, number: int, text: str, theirs: Row) -> bool:
    """Whether both notes began as the same words."""
    first = [
        [change["before"] for change in changes if change["field"] == "text"] for changes in (history_rows(db, "note", number), theirs["history"])
    ]
    begun = [found[0] if found else None for found in first]
    plain = [before if before is not None else dump(now) for before, now in zip(begun, (text, theirs["text"]), strict=True)]
    return plain[0] == plain[1]


def _put_note(db: Database, number: int, note: Row) -> None:
    """Give a note the words, facts and standing it has in the other record."""
    columns = ("text", "unheard", "struck")
    db.execute(f"update notes set {', '.join(f'{name} = ?' for name in columns)} where id = ?", [*(note[name] for name in columns), number])
    db.execute("delete from facts where note = ?", [number])
    for fact in note["facts"]:
        load_fact(fact["body"])
        insert(db, "facts", {**{name: fact[name] for name in names.OF_FACT}, "note": number})
    count_terms(db, note["text"])


def _same_entry(db: Database, free: Sequence[Any], theirs: Row) -> Any:
    """The row of this record that is their entry: read as the same, else at the same place in the session; None when there is none."""
    if theirs["reading"] == BY_HAND:
        begun = [change["at"] for change in theirs["history"][:1]]
        mine = [row for row in free if row[2] == BY_HAND]
        return next((row for row in mine if [change["at"] for change in history_rows(db, "entry", row[0])[:1]] == begun), None)
    alike = [row for row in free if row[2] == theirs["reading"]]
    at = [row for row in alike or free if row[1] == theirs["position"] and row[2] != BY_HAND]
    return (at or alike or [None])[0]


def _put_history(db: Database, what: str, number: int, changes: Sequence[Row]) -> None:
    db.execute("delete from history where what = ? and target = ?", [what, number])
    for change in changes:
        insert(db, "history", {**change, "target": number})
