"""What the next owner should know of a rebuild: guessed, used again, repaired or replaced, found damaged, never verified. Each in its own place."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import tzinfo

from gudgeon.domain import Action
from gudgeon.reports import saying
from gudgeon.reports.document import Item, Section
from gudgeon.reports.entry_blocks import Work, attached
from gudgeon.reports.origins import SessionPart, place

UNVERIFIED = ("joint-unclear", "match-ambiguous", "match-loose", "unit-mended")


def notable_sections(works: Sequence[Work], parts: Sequence[SessionPart], zone: tzinfo | None) -> list[Section]:
    """The sections that have anything in them."""
    found = (
        ("Guessed", "The speaker was not sure of these values.", _guessed(works)),
        ("Used again", "Said to have been fitted again, not new.", _reused(works)),
        ("Repaired or replaced", "What was said of repairs and new parts, in the speaker's words.", _repaired(parts, zone)),
        ("Found damaged", "As it was found; what was done about it stands under the open items, if it was said.", _damaged(works)),
        ("Never verified", "Values with nothing to hold them against, a unit mended by its sound, or maybe another joint.", _unverified(works)),
    )
    return [Section(title=title, text=(text,), items=items) for title, text, made in found if (items := tuple(made))]


def _guessed(works: Sequence[Work]) -> Iterator[Item]:
    for work in works:
        for torque in work.stored.entry.torques:
            if torque.hedged:
                yield Item(f"{work.name}: {saying.torque(torque)}", work.where(torque.note))


def _reused(works: Sequence[Work]) -> Iterator[Item]:
    for work in works:
        told = [finding.reason for finding in work.stored.judgement.findings if finding.code == "one-time-reused"]
        if told or work.stored.entry.state == "reused":
            yield Item(f"{work.name}: {' '.join(told) or saying.fasteners(work.stored.entry) or 'reused'}", work.where())


def _repaired(parts: Sequence[SessionPart], zone: tzinfo | None) -> Iterator[Item]:
    for part in parts:
        for note in part.notes:
            done = [fact for fact in note.facts if isinstance(fact, Action) and fact.action in ("repair", "replace") and fact.status == "done"]
            if done and not note.struck:
                yield Item(f"“{note.note.text}”", place(part, note, zone), part.attached.get(note.id, ()))
    for part in parts:
        for stored in part.entries:
            if stored.entry.state == "new" and not stored.struck:
                work = Work(part, stored, zone)
                yield Item(f"{work.name}: new", work.where())


def _damaged(works: Sequence[Work]) -> Iterator[Item]:
    for work in works:
        bad = [condition for condition in work.stored.entry.conditions if condition != "good"]
        if bad:
            fastener = f" {work.stored.entry.fastener}" if work.stored.entry.fastener else ""
            yield Item(f"{work.name}:{fastener} {', '.join(bad)}", work.where(), attached(work))


def _unverified(works: Sequence[Work]) -> Iterator[Item]:
    for work in works:
        for verdict in work.stored.judgement.verdicts:
            if verdict.code == "no reference":
                yield Item(f"{work.name}: {verdict.of}. {verdict.reason}", work.where())
        for finding in work.stored.judgement.findings:
            if finding.code in UNVERIFIED:
                yield Item(f"{work.name}: {finding.reason}", work.where())
