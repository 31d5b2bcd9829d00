"""What was taken apart, turned round into the order of putting it together: the last thing off is the first thing on."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import datetime, tzinfo

from gudgeon.domain import Action, Entry, Fastener, Mark, Part, SpecRow, SpecSheet
from gudgeon.entries import same_part
from gudgeon.record import StoredNote
from gudgeon.reports import saying
from gudgeon.reports.document import Document, Item, Section
from gudgeon.reports.origins import SessionPart, place

OFF = ("remove", "loosen", "drain")
ON = ("fit", "replace", "fill", "tighten")
HAPPENED = ("done", "doing")
NOTE = (
    "Made from what was said while things came off, last first. It is a memory aid: what was not said is missing from it, and the maker's manual "
    "has the order that is right. Torques are those of the owner's spec sheet, and no specification."
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Step:
    """One step of putting together: what it is about, the words, what the sheet asks for there, whether it is back on, and where it was said."""

    what: str
    wanted: tuple[str, ...]
    back: str
    where: str
    part: SessionPart
    note: StoredNote


def putting_together(
    job: str | None, parts: Sequence[SessionPart], *, made: datetime, maker: str, sheet: SpecSheet | None = None, zone: tzinfo | None = None
) -> Document:
    """The steps of putting together, from the notes that say what came off, and how it sat."""
    items = tuple(_item(step) for step in steps_of(parts, sheet=sheet, zone=zone))
    text = (NOTE,) if items else ("Nothing was said of taking things apart: say “took off …” or “removed …” while it comes off.",)
    return Document(
        title="Putting together",
        subject=job or "Sessions without a job",
        made=made.astimezone(zone).date().isoformat(),
        maker=maker,
        facts=(("Sessions", str(len(parts))), ("Steps", str(len(items))), ("Made", f"{saying.date(made, zone)} by {maker}")),
        sections=(Section(title="Steps", text=text, items=items, numbered=True),),
    )


def steps_of(parts: Sequence[SessionPart], *, sheet: SpecSheet | None = None, zone: tzinfo | None = None) -> list[Step]:
    """The steps as they are to be done: what was said last comes first."""
    told = [(part, note) for part in parts for note in part.notes if not note.struck and _tells(note)]
    return [_step(part, note, parts, sheet, zone) for part, note in reversed(told)]


def _tells(note: StoredNote) -> bool:
    """Whether a note says that something came off, or how something sits."""
    return any(isinstance(fact, Mark) or (isinstance(fact, Action) and fact.action in OFF and fact.status in HAPPENED) for fact in note.facts)


def _step(part: SessionPart, note: StoredNote, parts: Sequence[SessionPart], sheet: SpecSheet | None, zone: tzinfo | None) -> Step:
    named = dict.fromkeys(f"{fact.name}, {fact.place}" if fact.place else fact.name for fact in note.facts if isinstance(fact, Part))
    fasteners = [
        saying.fasteners(Entry(fastener=fact.fastener, count=fact.count, thread=fact.thread, length_mm=fact.length_mm, grade=fact.grade))
        for fact in note.facts
        if isinstance(fact, Fastener)
    ]
    return Step(
        what="; ".join([*named, *fasteners]),
        wanted=tuple(_wanted(note.facts, sheet)),
        back=_back(note, parts, zone),
        where=place(part, note, zone),
        part=part,
        note=note,
    )


def _item(step: Step) -> Item:
    words = f"“{step.note.note.text}”"
    told = [f"sheet: {wanted}" for wanted in step.wanted]
    told += [f"put back, as said in {step.back}"] if step.back else []
    told += [f"said in {step.where}"]
    return Item(f"{step.what}: {words}" if step.what else words, "; ".join(told), step.part.attached.get(step.note.id, ()))


def _wanted(facts: Sequence[object], sheet: SpecSheet | None) -> Iterator[str]:
    """What the sheet asks for at the parts of a note, where part and side are the same."""
    for fact in facts:
        if isinstance(fact, Part):
            for row in sheet.rows if sheet else ():
                if same_part(fact.name, fact.place, row.part, row.place):
                    yield _value(row)


def _value(row: SpecRow) -> str:
    fasteners = saying.fasteners(Entry(fastener=row.fastener, count=row.count, thread=row.thread))
    value = f"{saying.number(row.torque)} {saying.unit(row.unit)}" if row.torque is not None else ""
    if row.torque is None and (row.low is not None or row.high is not None):
        value = " to ".join(saying.number(end) if end is not None else "…" for end in (row.low, row.high)) + f" {saying.unit(row.unit)}"
    turn = f"{saying.number(row.angle_deg)}°" if row.angle_deg is not None else ""
    stage = f"stage {row.stage}" if row.stage is not None else ""
    return " ".join(text for text in (fasteners, stage, " + ".join(text for text in (value, turn) if text), row.compound) if text)


def _back(taken: StoredNote, parts: Sequence[SessionPart], zone: tzinfo | None) -> str:
    """Where a later note says that the same part went back on; empty when none does."""
    mine = {(fact.name, fact.place) for fact in taken.facts if isinstance(fact, Part)}
    later = ((part, note) for part in parts for note in part.notes if note.id > taken.id and not note.struck)
    for part, note in later:
        on = any(isinstance(fact, Action) and fact.action in ON and fact.status == "done" for fact in note.facts)
        if on and mine & {(fact.name, fact.place) for fact in note.facts if isinstance(fact, Part)}:
            return place(part, note, zone)
    return ""
