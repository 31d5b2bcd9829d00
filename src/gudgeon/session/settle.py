"""The last stages of a session: its notes become entries, entries are judged, open items raised, and all of it is stored at once."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from gudgeon.checks import read_spec, read_wrenches, torque_words
from gudgeon.domain import Entry, Judgement, PastValue, ReadNote, Session, SpecSheet
from gudgeon.entries import joint_key
from gudgeon.record import Record, Slot, StoredEntry, StoredSheet
from gudgeon.session.earlier_faults import earlier_faults
from gudgeon.session.tools import Rules
from gudgeon.trade import Wrench


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
        judged = [_judged(record, home, slot, notes, rules, bench) for slot in slots]
        entries = record.put_entries(session, judged)
        said_of_before = earlier_faults(record, home, notes, [slot.body for slot in slots])
        record.raise_items(session, (*rules.open_items(notes), *said_of_before))
    return entries


def _judged(record: Record, session: Session, slot: Slot, notes: Sequence[ReadNote], rules: Rules, bench: Bench) -> tuple[Slot, Judgement]:
    """The judgement of an entry. One that was said to be done anew is held against no earlier value, and says which ones it supersedes."""
    past, today = record.past_values(session.job, slot.body.part, before=session.id), session.started.date()
    if past and rules.redone(slot.body, notes):
        slot = replace(slot, reading=_superseding(slot.reading, past), body=_superseding(slot.body, past))
        past = ()
    return slot, rules.judge(slot.body, sheet=bench.sheet, past=past, wrenches=bench.wrenches, today=today, learnt=bench.learnt)


def _superseding(entry: Entry, past: Sequence[PastValue]) -> Entry:
    """The entry with the earlier values of its joint that stand no more, for ``--why``."""
    stages, key = {torque.stage for torque in entry.torques}, joint_key(entry.part, entry.place, entry.fastener)
    old = [value for value in past if value.stage in stages and joint_key(value.part, value.place, value.fastener) == key]
    told = [f"{torque_words(value.value, value.unit)} of session {value.session} ({value.date})" for value in old]
    return replace(entry, how=(*entry.how, f"done anew, so it takes the place of {', '.join(told)}")) if told else entry


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


def settle_changed(record: Record, session: int, rules: Rules) -> None:
    """Settle a session that was changed, and later sessions of its job that speak of a same part: a clash with an earlier value follows."""
    with record.transaction():
        home, before = record.session(session), record.entries(session)
        after = settle(record, session, rules)
        parts = {stored.entry.part for stored in (*before, *after)} - {None}
        later = [other.id for other in record.sessions() if other.job == home.job and (other.started, other.id) > (home.started, home.id)]
        for number in later:
            if any(stored.entry.part in parts for stored in record.entries(number)):
                settle(record, number, rules)


def bench_of(record: Record, job: str | None) -> Bench:
    """What sessions of a job are judged with."""
    tools = record.tools()
    wrenches = read_wrenches(tools.text.split("\n")).wrenches if tools else ()
    return Bench(job_sheet(record, job), wrenches, record.learnt_joints(job))


def job_sheet(record: Record, job: str | None) -> SpecSheet | None:
    """The spec sheet in use for a job (its own, else the one loaded without a job), read; None when there is none."""
    stored = record.sheet(job)
    return read_spec(stored.text.split("\n")) if stored else None
