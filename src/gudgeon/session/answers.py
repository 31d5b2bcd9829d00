"""Which open questions and guesses a later value may have answered ("turns out it's twenty"). It is only offered: the owner says whether it is so."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import asdict, dataclass, replace

from gudgeon.domain import Entry, Torque, TorqueDone
from gudgeon.record import Record, StoredEntry, StoredItem, StoredNote
from gudgeon.session.settle import settle
from gudgeon.session.tools import Tools

KINDS = ("question", "verify")


@dataclass(frozen=True, slots=True)
class Offer:
    """An open item, the entry and those of its values that may answer it, and the note that said them."""

    item: StoredItem
    entry: StoredEntry
    values: tuple[TorqueDone, ...]
    note: StoredNote


def offers(record: Record, session: int, *, since: int = 0) -> tuple[Offer, ...]:
    """Open items of the session's job that an entry of this session may answer: of the same part, said before its value.

    Only entries with a note from position ``since`` on are looked at.
    """
    home, notes = record.session(session), record.notes(session)
    waiting = [item for item in record.items(job=home.job) if item.item.kind in KINDS and item.job == home.job]
    found = []
    for stored in record.entries(session) if waiting else ():
        said = [(note, values) for note in notes if note.position >= since and (values := _sure(stored.entry, note))]
        if said and not stored.struck:
            note, values = said[-1]
            mine = [item for item in waiting if max(item.notes, default=0) < note.id and same_part(stored.entry, item)]
            found += [Offer(item, stored, values, note) for item in mine]
    return tuple(found)


def _sure(entry: Entry, note: StoredNote) -> tuple[TorqueDone, ...]:
    """The entry's torques that a note says for sure, those among them that only say again what was a guess before."""
    if note.position not in entry.notes or note.struck:
        return ()
    facts = [fact for fact in note.facts if isinstance(fact, Torque) and not fact.hedged and fact.unit]
    said = {(fact.value, fact.unit) for fact in facts}
    return tuple(torque for torque in entry.torques if (torque.value, torque.unit) in said)


def take_offer(tools: Tools, offer: Offer, text: str) -> None:
    """Answer the item with a text. The guess that raised it stands no more: its entry keeps the value that answered it, and is judged anew."""
    record, number = tools.record, offer.item.item.id
    if number is None:
        return
    with record.transaction():
        record.answer(number, text)
        for stored in record.entries(offer.item.session) if offer.item.session and offer.item.item.kind == "verify" else ():
            if same_part(stored.entry, offer.item) and not stored.struck:
                _settle_guess(record, stored, offer, reason=f"answered item {number}: {text}")
        settle(record, offer.entry.session, tools.rules)
        if offer.item.session and offer.item.session != offer.entry.session:
            settle(record, offer.item.session, tools.rules)


def _settle_guess(record: Record, stored: StoredEntry, offer: Offer, *, reason: str) -> None:
    """Guesses that the item's notes said: the same value is a guess no more; another one gives way to the value that stands in the same entry."""
    positions = {note.position for note in record.notes(stored.session) if note.id in offer.item.notes}
    said, kept = {(value.value, value.unit) for value in offer.values}, []
    for torque in stored.entry.torques:
        if not torque.hedged or torque.note not in positions:
            kept.append(torque)
        elif (torque.value, torque.unit) in said:
            kept.append(replace(torque, hedged=False))
        elif stored.id != offer.entry.id:  # the new value has an entry of its own, which takes this one's place
            kept.append(torque)
    if tuple(kept) != stored.entry.torques:
        record.set_field(stored.id, "torques", [asdict(torque) for torque in kept], reason=reason)


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
