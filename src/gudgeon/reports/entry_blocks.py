"""One entry as a block of a table: what it was about once, each value with its verdict and who said it, then findings and words."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import tzinfo

from gudgeon.domain import AngleDone, SizeMeasured, TorqueDone, Verdict
from gudgeon.record import StoredEntry
from gudgeon.reports import saying
from gudgeon.reports.document import Attachment, Block, Item, Row
from gudgeon.reports.origins import SessionPart, by_hand, note_of, origin, place, words_of

COLUMNS = ("Fasteners, tool, compound", "Value as said", "In N·m", "Judged", "Said by")
WIDTHS = (0.22, 0.17, 0.08, 0.31, 0.22)
TONES = {"within": "good", "over": "bad", "under": "bad", "unlikely": "bad", "unit not said": "unsure"}
ALARMS = ("over", "under", "unlikely", "unit not said")
DOUBTS = {"clash": "clash", "heard-unsurely": "heard unsurely"}
"""Findings that stand with the values out of bounds, and how they are called there."""


@dataclass(frozen=True, slots=True)
class Work:
    """An entry that counts, with the session it came from."""

    part: SessionPart
    stored: StoredEntry
    zone: tzinfo | None

    @property
    def name(self) -> str:
        """What it is about, with the entry's number."""
        return f"{saying.joint(self.stored.entry)} [entry {self.stored.id}]"

    def where(self, at: int | None = None) -> str:
        """Session, day and time of a note of it."""
        return place(self.part, note_of(self.part, self.stored, at), self.zone)

    def torque_verdict(self, at: int) -> Verdict | None:
        """The verdict of one of its torques."""
        return next((verdict for verdict in self.stored.judgement.verdicts if verdict.torque == at), None)

    def size_verdict(self, at: int) -> Verdict | None:
        """The verdict of one of its measured sizes."""
        return next((verdict for verdict in self.stored.judgement.verdicts if verdict.measure == at), None)

    def urgency(self) -> int:
        """0 with a value out of bounds, else 1: for sorting."""
        return int(all(TONES.get(verdict.code) != "bad" for verdict in self.stored.judgement.verdicts))

    def alarms(self) -> Iterator[tuple[Verdict | None, Item]]:
        """Values out of bounds or without a unit (each with its verdict), clashes with earlier sessions, values that may have been misheard."""
        for verdict in self.stored.judgement.verdicts:
            if verdict.code in ALARMS:
                yield verdict, Item(f"{self.name} — {verdict.code}: {verdict.reason}", self.where(), attached(self))
        for finding in self.stored.judgement.findings:
            if finding.code in DOUBTS:
                yield None, Item(f"{self.name} — {DOUBTS[finding.code]}: {finding.reason}", self.where(), attached(self))


def works_of(parts: Sequence[SessionPart], zone: tzinfo | None) -> list[Work]:
    """All entries that count, oldest first."""
    return [Work(part, stored, zone) for part in parts for stored in part.entries if not stored.struck]


def entry_block(work: Work, *, named: bool = False) -> Block:
    """The block of one entry without its sizes; ``named`` puts its part in front."""
    lead = _lead(work)
    if named:
        lead = saying.joint(work.stored.entry) + (f"\n{lead}" if lead else "")
    rows = tuple(_value_rows(work)) or (Row(("", "", "", origin(work.part, note_of(work.part, work.stored, None), work.zone))),)
    return Block(lead=lead, rows=rows, under=tuple(_under(work)), attached=attached(work))


def attached(work: Work) -> tuple[Attachment, ...]:
    """Pictures and sound of the notes it came from."""
    ids = [work.part.notes[at].id for at in work.stored.entry.notes if at < len(work.part.notes)]
    return tuple(thing for note in ids for thing in work.part.attached.get(note, ()))


def _lead(work: Work) -> str:
    entry = work.stored.entry
    first = saying.fasteners(entry) or ("fastener not named" if entry.torques else entry.part or "part not named")
    more = [saying.tool(entry.tool)] if entry.tool else []
    more += [saying.compound(entry.compound)] if entry.compound else []
    more += [entry.state] if entry.state else []
    more += list(entry.conditions)
    more += ["all said to be done"] if entry.complete else []
    return "\n".join([first, *([", ".join(more)] if more else []), f"entry {work.stored.id}"])


def _value_rows(work: Work) -> Iterator[Row]:
    entry = work.stored.entry
    for at, torque in enumerate(entry.torques):
        verdict = work.torque_verdict(at)
        nm = saying.newton_metres(torque.nm) if torque.nm is not None else "—"
        cells = (saying.torque(torque, beside=False), nm, judged(verdict), said_by(work, torque))
        yield Row(cells, TONES.get(verdict.code, "plain") if verdict else "plain")
    for angle in entry.angles:
        yield Row((saying.angle(angle), "", "", said_by(work, angle)))


def said_by(work: Work, value: TorqueDone | AngleDone | SizeMeasured) -> str:
    """Who said a value, when, and how surely it was heard."""
    return origin(work.part, note_of(work.part, work.stored, value.note), work.zone, changed=by_hand(work.stored, value))


def judged(verdict: Verdict | None) -> str:
    """A verdict's word, and on a small line the reason or what is allowed."""
    if verdict is None:
        return "not judged"
    told = verdict.sum or verdict.reference if verdict.code == "within" else verdict.reason
    return f"{verdict.code}\n{told}" if told else verdict.code


def _under(work: Work) -> Iterator[str]:
    entry = work.stored.entry
    found = {finding.code for finding in work.stored.judgement.findings}
    for torque in entry.torques:
        if torque.mended and "unit-mended" not in found:
            yield f"The unit was heard as “{torque.mended}” and mended by its sound."
        if torque.heard and "heard-unsurely" not in found:
            others = " or ".join(f"{saying.number(other.value)} {saying.unit(other.unit)}".strip() for other in torque.heard)
            yield f"{saying.torque(torque)} may have been {others}: the sound does not tell."
    if entry.unclear:
        yield f"Not clear: {entry.unclear}."
    yield from (finding.reason for finding in work.stored.judgement.findings)
    yield from entry.history
    yield from (f"Changed by hand: {text}" for text in work.part.changes.get(work.stored.id, ()))
    words = [words_of(work.part, work.stored, at) for at in entry.notes]
    if any(words):
        yield "Said: " + " ".join(f"“{text}”" for text in words if text)
