"""The names that are likely in a session: of the job's spec sheet, and of what was done and put right in its earlier sessions."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable

from gudgeon.domain import Entry
from gudgeon.record import Record
from gudgeon.session.settle import job_sheet
from gudgeon.speech import likely, sheet_phrases

LATEST = 20
"""Sessions of the job that are looked at, the newest ones."""
MOST = 300
"""Names of earlier sessions at most, the most frequent ones."""
NAMES = ("part", "place", "fastener")


def job_phrases(record: Record, job: str | None) -> list[str]:
    """Phrases for the recogniser: the sheet's names, then those of the job's latest sessions. No value is among them.

    A name counts when it was put right by hand, stands in a typed session, or stands in entries of two sessions: what was misheard once
    must not be heard the more.
    """
    sheet = job_sheet(record, job)
    return list(dict.fromkeys([*(sheet_phrases(sheet) if sheet else ()), *earlier_phrases(record, job)]))


def earlier_phrases(record: Record, job: str | None) -> list[str]:
    """Names of parts, places and fasteners in the job's latest sessions, the most frequent first."""
    sessions_with: Counter[str] = Counter()
    sure: set[str] = set()
    for session in sorted(record.sessions(job), key=lambda s: s.id, reverse=True)[:LATEST]:
        stored = [entry for entry in record.entries(session.id) if not entry.struck]
        found = {name for entry in stored for name in _names(entry.entry)}
        sessions_with.update(found)
        mended = _mended_notes(record, session.id)
        right = stored if session.recogniser is None else [entry for entry in stored if entry.fixed or mended.intersection(entry.entry.notes)]
        sure |= {name for entry in right for name in _names(entry.entry)}
    counted = [name for name, sessions in sessions_with.most_common() if sessions > 1 or name in sure]
    return likely(counted[:MOST])


def _mended_notes(record: Record, session: int) -> set[int]:
    """Positions of the notes whose words were put right by hand."""
    return {at for at, note in enumerate(record.notes(session)) if any(change.field == "text" for change in record.history("note", note.id))}


def _names(entry: Entry) -> Iterable[str]:
    """The entry's part, place and fastener, alone and together."""
    part, place, fastener = (getattr(entry, name) for name in NAMES)
    yield from (name for name in (part, place) if name)
    if part and place:
        yield f"{place} {part}"
    if part and fastener:
        yield f"{part} {fastener}"
