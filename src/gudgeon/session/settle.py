"""The last stages of a session: its notes become entries, entries are judged, open items raised, and all of it is stored at once."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from gudgeon.checks import read_spec, read_wrenches
from gudgeon.domain import Entry, Judgement, ReadNote, Session, SpecSheet
from gudgeon.record import Record, StoredEntry, StoredNote, StoredSheet
from gudgeon.session.tools import Rules
from gudgeon.trade import Wrench

REDONE = re.compile(r"\b(re-?torqu\w*|re-?tighten\w*|redone|redo|redid|did (it|them|those) again|over again)\b")
"""Words that say a joint was done anew: an earlier session's value is then superseded, and no clash."""


@dataclass(frozen=True, slots=True)
class Bench:
    """What the entries of a session are judged with: the job's sheet, the owner's wrenches, and the joints they have set themselves."""

    sheet: SpecSheet | None
    wrenches: Sequence[Wrench]
    learnt: Mapping[str, str]


def settle(record: Record, session: int, rules: Rules, *, bench: Bench | None = None) -> tuple[StoredEntry, ...]:
    """Put the entries of a session together anew from its notes, judge them and raise open items, in one transaction.

    Entry numbers and hand-made changes stay. ``bench`` is what to judge with, when the caller has it already.
    """
    with record.transaction():  # from reading to storing, so that a note added by another program meanwhile is not left out
        home, stored = record.session(session), record.notes(session)
        bench = bench or bench_of(record, home.job)
        notes = [ReadNote(text="", facts=()) if note.struck else ReadNote(text=note.note.text, facts=note.facts) for note in stored]
        slots = record.place_readings(session, rules.assemble(notes))
        judged = [(slot, _judgement(record, home, slot.body, stored, rules, bench)) for slot in slots]
        entries = record.put_entries(session, judged)
        record.raise_items(session, rules.open_items(notes))
    return entries


def _judgement(record: Record, session: Session, entry: Entry, notes: Sequence[StoredNote], rules: Rules, bench: Bench) -> Judgement:
    redone = any(REDONE.search(notes[at].note.text.lower()) for at in entry.notes if at < len(notes))
    past = () if redone else record.past_values(session.job, entry.part, before=session.id)
    today = session.started.date()
    return rules.judge(entry, sheet=bench.sheet, past=past, wrenches=bench.wrenches, today=today, learnt=bench.learnt)


def settle_all(record: Record, rules: Rules, *, sheet: StoredSheet | None = None) -> int:
    """Settle every session, or those that this spec sheet is in use for; how many there were."""
    in_use = {job: record.sheet(job) for job in (None, *(job.name for job in record.jobs()))}
    wanted = [session for session in record.sessions() if sheet is None or ((found := in_use[session.job]) and found.id == sheet.id)]
    benches: dict[str | None, Bench] = {}
    for session in wanted:
        if session.job not in benches:
            benches[session.job] = bench_of(record, session.job)
        settle(record, session.id, rules, bench=benches[session.job])
    return len(wanted)


def bench_of(record: Record, job: str | None) -> Bench:
    """What sessions of a job are judged with."""
    tools = record.tools()
    wrenches = read_wrenches(tools.text.split("\n")).wrenches if tools else ()
    return Bench(job_sheet(record, job), wrenches, record.learnt_joints(job))


def job_sheet(record: Record, job: str | None) -> SpecSheet | None:
    """The spec sheet in use for a job (its own, else the one loaded without a job), read; None when there is none."""
    stored = record.sheet(job)
    return read_spec(stored.text.split("\n")) if stored else None
