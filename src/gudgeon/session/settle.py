"""The last stages of a session: its notes become entries, entries are judged, open items raised, and all of it is stored at once."""

from __future__ import annotations

from gudgeon.checks import read_spec
from gudgeon.domain import Entry, Judgement, ReadNote, Session, SpecSheet
from gudgeon.record import Record, StoredEntry, StoredSheet
from gudgeon.session.tools import Rules


def settle(record: Record, session: int, rules: Rules, *, sheet: SpecSheet | None = None) -> tuple[StoredEntry, ...]:
    """Put the entries of a session together anew from its notes, judge them and raise open items, in one transaction.

    Entry numbers and hand-made changes stay. ``sheet`` is the job's spec sheet when the caller has read it already.
    """
    home = record.session(session)
    sheet = sheet or job_sheet(record, home.job)
    notes = [ReadNote(text="", facts=()) if note.struck else ReadNote(text=note.note.text, facts=note.facts) for note in record.notes(session)]
    with record.transaction():
        slots = record.place_readings(session, rules.assemble(notes))
        judged = [(slot, _judgement(record, home, slot.body, rules, sheet)) for slot in slots]
        stored = record.put_entries(session, judged)
        record.raise_items(session, rules.open_items(notes))
    return stored


def _judgement(record: Record, session: Session, entry: Entry, rules: Rules, sheet: SpecSheet | None) -> Judgement:
    past = record.past_values(session.job, entry.part, before=session.id)
    return rules.judge(entry, sheet=sheet, past=past, today=session.started.date())


def settle_all(record: Record, rules: Rules, *, sheet: StoredSheet) -> int:
    """Settle every session that this spec sheet is in use for; how many there were."""
    read = read_spec(sheet.text.split("\n"))
    in_use = {job: record.sheet(job) for job in (None, *(job.name for job in record.jobs()))}
    wanted = [session.id for session in record.sessions() if (found := in_use[session.job]) and found.id == sheet.id]
    for number in wanted:
        settle(record, number, rules, sheet=read)
    return len(wanted)


def job_sheet(record: Record, job: str | None) -> SpecSheet | None:
    """The spec sheet in use for a job (None: for sessions without a job), read; None when there is none."""
    stored = record.sheet(job)
    return read_spec(stored.text.split("\n")) if stored else None
