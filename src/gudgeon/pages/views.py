"""What the templates show, made from record rows: words with facts underlined, entries with verdicts, waveform paths; pure."""

from __future__ import annotations

import itertools
import zlib
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from gudgeon.domain import AngleDone, Entry, Fact, SizeMeasured, TorqueDone, Verdict, fact_to_dict
from gudgeon.pages.sound import MARGIN_S
from gudgeon.record import StoredEntry, StoredItem, StoredNote
from gudgeon.reports import needs_a_look, saying

OUT = frozenset({"over", "under", "unlikely"})
DOUBT = frozenset({"unit not said", "no reference"})
MARKS = {"unlikely": "✕", "over": "▲", "under": "▼", "unit not said": "?", "no reference": "–", "within": "✓"}
"""A mark beside each verdict's words, worst first."""
UNITS = ("N*m", "lbf*ft", "lbf*in", "kgf*m")
"""The units to choose from for a torque that was said without one."""
KINDS = (("fault", "Faults"), ("question", "Questions"), ("verify", "Guesses to verify"), ("todo", "To do"), ("buy", "To buy"))


@dataclass(frozen=True, slots=True)
class Segment:
    """A run of a note's words: its text, the kind of the fact it was read as ("" for none), and that fact in words."""

    text: str
    kind: str = ""
    title: str = ""


@dataclass(frozen=True, slots=True)
class NoteView:
    """A note on a page; ``start`` and ``end`` are seconds, ``clock`` the start as people write it."""

    id: int
    position: int
    segments: tuple[Segment, ...]
    start: float | None
    end: float | None
    clock: str
    confidence: str
    unheard: bool
    struck: bool
    unsure: bool
    text: str = ""
    readings: tuple[str, ...] = ()
    can_undo: bool = False
    pictures: tuple[tuple[int, str], ...] = ()
    """(number, name) of each picture that is still there."""
    sound_start: float | None = None
    """Where the stretch of sound that is played begins: a breath before ``start``."""


@dataclass(frozen=True, slots=True)
class ValueView:
    """A value of an entry with its verdict: the code, its mark, how it looks (``out``, ``doubt`` or ""), the reason and the sum.

    ``which`` is its place among the entry's torques (None for other values), ``typed`` how a person would type it, and ``readings`` what
    the same sound may also hold, or the units that were not said, as (typed, in words); ``doubtful`` when a person should say that it is
    right. ``note`` is the position of the note that said it.
    """

    words: str
    code: str
    look: str
    reason: str
    sum: str
    mark: str = ""
    which: int | None = None
    typed: str = ""
    readings: tuple[tuple[str, str], ...] = ()
    doubtful: bool = False
    note: int | None = None


@dataclass(frozen=True, slots=True)
class EntryView:
    """An entry on a page; ``fields`` are the names that can be mended: (name, label, value as typed)."""

    id: int
    name: str
    details: str
    values: tuple[ValueView, ...]
    findings: tuple[str, ...]
    unclear: str
    notes: tuple[int, ...]
    look_first: bool
    fixed: bool
    struck: bool
    fields: tuple[tuple[str, str, str], ...] = ()
    can_undo: bool = False


@dataclass(frozen=True, slots=True)
class ItemView:
    """An open item on a page."""

    id: int | None
    text: str
    count: str
    where: str
    state: str
    ended_by: str
    address: str = ""
    """Of the note that raised it."""


def segments(text: str, facts: Sequence[Fact]) -> tuple[Segment, ...]:
    """The note's text cut at the edges of its facts; of facts that overlap, the shortest names the run."""
    edges = sorted({0, len(text), *(edge for fact in facts for edge in fact.span if 0 <= edge <= len(text))})
    runs = []
    for start, end in itertools.pairwise(edges):
        over = [fact for fact in facts if fact.span[0] <= start and end <= fact.span[1]]
        fact = min(over, key=lambda fact: fact.span[1] - fact.span[0], default=None)
        runs.append(Segment(text[start:end], fact.kind if fact else "", fact_words(fact) if fact else ""))
    return tuple(runs)


def fact_words(fact: Fact) -> str:
    """A fact as a short line: its kind and the fields that apply."""
    row = {name: value for name, value in fact_to_dict(fact).items() if name not in ("kind", "span", "text") and value not in (None, False)}
    fields = ", ".join(f"{name.replace('_', ' ')} {saying.number(value) if isinstance(value, float) else value}" for name, value in row.items())
    return f"{fact.kind}: {fields}" if fields else fact.kind


def note_view(stored: StoredNote, unsure: frozenset[int] = frozenset(), *, can_undo: bool = False) -> NoteView:
    """A note; ``unsure`` holds positions of notes that should be listened to first."""
    note = stored.note
    return NoteView(
        id=stored.id,
        position=stored.position,
        segments=segments(note.text, stored.facts),
        start=note.start,
        end=note.end,
        clock=saying.clock(note.start) if note.start is not None else "",
        confidence=f"heard at {note.confidence:.0%}" if note.confidence is not None else "",
        unheard=note.unheard,
        struck=stored.struck,
        unsure=note.unheard or stored.position in unsure,
        text=note.text,
        readings=tuple(reading.text for reading in note.others if reading.text and reading.text != note.text),
        can_undo=can_undo,
        sound_start=round(max(note.start - MARGIN_S, 0.0), 3) if note.start is not None else None,
        pictures=tuple((picture.id, picture.name) for picture in stored.pictures if picture.forgotten is None),
    )


def unsure_notes(notes: Sequence[StoredNote], entries: Sequence[StoredEntry]) -> frozenset[int]:
    """Positions of the notes to listen to first: those that said values guessed, mended, heard unsurely, without a unit or out of bounds."""
    found = set()
    for stored in entries:
        codes = {verdict.torque: verdict.code for verdict in stored.judgement.verdicts if verdict.torque is not None}
        for at, torque in enumerate(stored.entry.torques):
            doubtful = torque.hedged or torque.heard or torque.angle_heard or torque.mended or codes.get(at) in OUT or torque.unit is None
            if doubtful and torque.note is not None and not stored.struck:
                found.add(torque.note)
        others: list[AngleDone | SizeMeasured] = [*stored.entry.angles, *stored.entry.measures]
        found |= {value.note for value in others if value.heard and value.note is not None and not stored.struck}
    return frozenset(found) | {note.position for note in notes if note.note.unheard}


def entry_view(stored: StoredEntry, *, can_undo: bool = False) -> EntryView:
    """An entry with each value's verdict beside it."""
    entry = stored.entry
    details = [saying.fasteners(entry)]
    details += [saying.tool(entry.tool)] if entry.tool else []
    details += [saying.compound(entry.compound)] if entry.compound else []
    details += list(entry.conditions) + (["all done"] if entry.complete else [])
    return EntryView(
        id=stored.id,
        name=saying.joint(entry),
        details=" · ".join(text for text in details if text),
        values=_values(stored),
        findings=tuple(finding.reason for finding in stored.judgement.findings),
        unclear=entry.unclear or "",
        notes=entry.notes,
        look_first=needs_a_look(stored),
        fixed=stored.fixed,
        struck=stored.struck,
        fields=_fields(entry),
        can_undo=can_undo,
    )


def seen(stored: StoredEntry) -> str:
    """A mark of an entry as it stands, so that a form filled from an older state is not taken for this one."""
    return f"{zlib.crc32(repr((stored.entry, stored.struck)).encode()):08x}"


def source(text: str) -> str:
    """Where a session came from, without the folders."""
    return text.replace("\\", "/").rstrip("/").rpartition("/")[2] or text


def _fields(entry: Entry) -> tuple[tuple[str, str, str], ...]:
    """The names of an entry that can be mended, as (field, label, value as typed)."""
    named = [("part", "Part"), ("place", "Place"), ("count", "Count"), ("fastener", "Fastener"), ("thread", "Thread"), ("grade", "Grade")]
    shown = [(name, label, str(getattr(entry, name) or "")) for name, label in named]
    shown.append(("tool", "Tool", saying.tool(entry.tool) if entry.tool else ""))
    shown.append(("compound", "Compound", entry.compound.compound if entry.compound else ""))
    return tuple(shown)


def typed(value: float, unit: str | None) -> str:
    """A torque as a person would type it: ``35 lb ft``."""
    return f"{saying.number(value)} {saying.unit(unit).replace('·', ' ')}".strip()


def _values(stored: StoredEntry) -> tuple[ValueView, ...]:
    entry, verdicts = stored.entry, stored.judgement.verdicts
    of_torque = {verdict.torque: verdict for verdict in verdicts if verdict.torque is not None}
    of_size = {verdict.measure: verdict for verdict in verdicts if verdict.measure is not None}
    values = [_torque(at, torque, of_torque.get(at)) for at, torque in enumerate(entry.torques)]
    values += [replace(_value(saying.angle(angle), None), note=angle.note) for angle in entry.angles]
    values += [replace(_value(saying.size(size), of_size.get(at)), note=size.note) for at, size in enumerate(entry.measures)]
    return tuple(values)


def _torque(at: int, torque: TorqueDone, verdict: Verdict | None) -> ValueView:
    others = [(other.value, other.unit or torque.unit) for other in torque.heard] if torque.unit else [(torque.value, unit) for unit in UNITS]
    readings = tuple(
        (typed(value, unit), f"{saying.number(value)} {saying.unit(unit)}") for value, unit in others if (value, unit) != (torque.value, torque.unit)
    )
    shown = _value(saying.torque(torque), verdict)
    return replace(shown, which=at, typed=typed(torque.value, torque.unit), readings=readings, doubtful=_doubtful(torque), note=torque.note)


def _doubtful(torque: TorqueDone) -> bool:
    return torque.unit is not None and (torque.hedged or bool(torque.heard) or bool(torque.mended))


def _value(words: str, verdict: Verdict | None) -> ValueView:
    if verdict is None:
        return ValueView(words, "", "", "", "")
    look = "out" if verdict.code in OUT else "doubt" if verdict.code in DOUBT else ""
    return ValueView(words, verdict.code, look, verdict.reason, verdict.sum, MARKS.get(verdict.code, ""))


def items_by_kind(items: Sequence[StoredItem], days: Mapping[int, str] | None = None) -> list[tuple[str, list[ItemView]]]:
    """Open items under their headings, in the order that summaries use; ``days`` names the day of each session."""
    shown = []
    for kind, title in KINDS:
        rows = [_item(stored, days or {}) for stored in items if stored.item.kind == kind]
        if rows:
            shown.append((title, rows))
    return shown


def _item(stored: StoredItem, days: Mapping[int, str]) -> ItemView:
    item = stored.item
    day = days.get(stored.session or 0) or saying.day(stored.raised)
    where = " · ".join(text for text in (stored.job or "", f"session {stored.session}" if stored.session else "", day) if text)
    address = f"/session/{stored.session}" + (f"/note/{stored.notes[0]}" if stored.notes else "") if stored.session else ""
    return ItemView(item.id, item.text, f"({item.count})" if item.count else "", where, item.state, item.ended_by or "", address)


def wave_path(heights: Sequence[float]) -> str:
    """The waveform as an SVG path in a box of len(heights) by 100."""
    loudest = max([*heights, 0.05])
    return "".join(f"M{at + 0.5} {50 - 48 * height / loudest:.1f}V{50 + 48 * height / loudest:.1f}" for at, height in enumerate(heights))
