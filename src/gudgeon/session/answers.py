"""Which open questions and guesses a later value may have answered ("turns out it's twenty"). It is only offered: the owner says whether it is so."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping, Sequence
from dataclasses import asdict, dataclass, replace

from gudgeon.domain import Entry, Fact, Fastener, Part, Torque, TorqueDone
from gudgeon.record import Record, StoredEntry, StoredItem, StoredNote
from gudgeon.session.settle import settle
from gudgeon.session.tools import Tools

KINDS = ("question", "verify")
Read = Callable[[str], Sequence[Fact]]


BARE_WITHIN = 6
"""How many notes after a guess or a question a figure without its unit may answer it."""
TURNED_OUT = re.compile(r"\b(turns|turned) out\b", re.IGNORECASE)
OF_TORQUE = frozenset({"torque", "torques", "torqued", "tight", "tighten", "tightened", "newton", "nm", "pounds", "setting", "figure"})


@dataclass(frozen=True, slots=True)
class Offer:
    """An open item, the entry and those of its values that may answer it, and the note that said them.

    A figure said without its unit ("turns out it's twenty") is offered in the unit of the guess, if that had one; of a question, without an entry.
    """

    item: StoredItem
    entry: StoredEntry | None
    values: tuple[TorqueDone, ...]
    note: StoredNote


def offers(record: Record, session: int, read: Read, *, since: int = 0) -> tuple[Offer, ...]:
    """Open items of the session's job that an entry of this session may answer: of the same part, said before its value.

    Only entries with a note from position ``since`` on are looked at. ``read`` reads the facts of a text.
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
    for note in notes if waiting else ():
        if note.position >= since and not note.struck and TURNED_OUT.search(note.note.text) and not any(isinstance(f, Torque) for f in note.facts):
            found += _bare_offer(record, waiting, note, {earlier.id: earlier.position for earlier in notes}, read)
    return tuple(found)


def _bare_offer(record: Record, waiting: Sequence[StoredItem], note: StoredNote, positions: Mapping[int, int], read: Read) -> list[Offer]:
    """What a figure without its unit may answer: the guess, or else the question about a torque, that was raised last, a few notes before."""
    near = [(at, item) for item in waiting for at in (positions.get(max(item.notes, default=0)),) if at is not None]
    near = [(at, item) for at, item in near if 0 < note.position - at <= BARE_WITHIN]
    for at, item in sorted(near, key=lambda pair: pair[0], reverse=True):
        for stored in record.entries(note.session) if item.item.kind == "verify" else ():
            guess = next((torque for torque in stored.entry.torques if torque.hedged and torque.note == at), None)
            meant = _read_in(note.note.text, guess.unit or "N*m", read) if guess and not stored.struck else None
            if guess and meant:
                value = replace(
                    guess, value=meant.value, nm=meant.nm if guess.unit else None, hedged=False, low=None, high=None, note=note.position, heard=()
                )
                return [Offer(item, stored, (value,), note)]
        if item.item.kind == "question" and OF_TORQUE & set(_words(item.item.text)) and (meant := _read_in(note.note.text, "N*m", read)):
            return [Offer(item, None, (TorqueDone(value=meant.value, unit=None, nm=None, note=note.position),), note)]
    return []


def _read_in(text: str, unit: str, read: Read) -> Torque | None:
    """The one torque that a text would hold, had its last figure been said with that unit; None when a part is named, as it may be another one."""
    facts = read(f"{text.rstrip(' .!')} {unit}")
    found = [fact for fact in facts if isinstance(fact, Torque) and not fact.hedged and fact.replaces is None]
    return found[0] if len(found) == 1 and not any(isinstance(fact, Part | Fastener) for fact in facts) else None


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
        settle(record, offer.note.session, tools.rules)
        if offer.item.session and offer.item.session != offer.note.session:
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
        elif offer.entry is None or stored.id != offer.entry.id:  # the new value has an entry of its own, which takes this one's place
            kept.append(torque)
    if offer.entry is not None and stored.id == offer.entry.id:
        kept += [value for value in offer.values if (value.value, value.unit) not in {(torque.value, torque.unit) for torque in kept}]
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
