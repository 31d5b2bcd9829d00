"""Which open questions and guesses a later value may have answered. It is only offered: the owner says whether it is so."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass

from gudgeon.domain import Entry
from gudgeon.record import Record, StoredEntry, StoredItem

KINDS = ("question", "verify")


@dataclass(frozen=True, slots=True)
class Offer:
    """An open item, and the entry whose values may answer it."""

    item: StoredItem
    entry: StoredEntry


def offers(record: Record, session: int, *, since: int = 0) -> tuple[Offer, ...]:
    """Open items of the session's job that an entry of this session may answer: of the same part, said before its value.

    Only entries with a note from position ``since`` on are looked at.
    """
    home, notes = record.session(session), record.notes(session)
    ids = {note.position: note.id for note in notes}
    waiting = [item for item in record.items(job=home.job) if item.item.kind in KINDS and item.job == home.job]
    found = []
    for stored in record.entries(session):
        sure = [torque for torque in stored.entry.torques if not torque.hedged and torque.unit]
        latest = max((ids[at] for at in stored.entry.notes if at in ids and at >= since), default=0)
        if sure and latest and not stored.struck:
            found += [Offer(item, stored) for item in waiting if max(item.notes, default=0) < latest and same_part(stored.entry, item)]
    return tuple(found)


def same_part(entry: Entry, stored: StoredItem) -> bool:
    """Whether an item speaks of the entry's part: it names it, or all of its words are in its text."""
    if entry.part is None:
        return False
    if stored.item.part == entry.part:
        return True
    words = set(re.findall(r"\w+", stored.item.text.lower()))
    return all(word in words or word + "s" in words for word in (*_words(entry.part), *_words(entry.place or "")))


def _words(text: str) -> Sequence[str]:
    return re.findall(r"\w+", text.lower())
