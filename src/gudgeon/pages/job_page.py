"""A job as a page shows it before a start: where it stopped, joints drawn with their counts and values, what to verify, what is open, how it went."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import datetime, tzinfo
from pathlib import Path
from typing import Any

from gudgeon.checks import JointProgress, RowValue, StageProgress, Tally, limits_of
from gudgeon.domain import Condition, MissingThing, Session, SpecRow, SpecSheet
from gudgeon.pages import views
from gudgeon.pages.drawings import Span, dots, progress_plot, range_plot, range_words
from gudgeon.pages.session_page import home_of
from gudgeon.record import Record, StoredEntry, StoredNote
from gudgeon.reports import saying, to_verify
from gudgeon.session import job_sheet
from gudgeon.trade import Trade

MOST_POINTS = 60
MOST_VALUES = 5
MOST_HISTORY = 60
MOST_TO_VERIFY = 50
MOST_KEPT = 4
LISTED = 50
STATES = {"done": "✓", "part done": "◐", "outside": "▲", "not started": "○"}


@dataclass(frozen=True, slots=True)
class StageView:
    """One row of the sheet, drawn: its fasteners as ``drawn``, its values against what is allowed as ``plot`` and in ``words``."""

    title: str
    wanted: str
    said: str
    drawn: str
    plot: str
    words: str


@dataclass(frozen=True, slots=True)
class JointView:
    """One joint of the sheet, drawn; ``line`` is its first row's, ``notes`` are sentences on what was skipped and what is outside."""

    name: str
    line: int
    state: str
    mark: str
    stages: tuple[StageView, ...]
    notes: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class ValueRow:
    """One value of a joint's history, or what it was found to be (then without a verdict); ``sound`` is the address of the note that said it."""

    day: str
    entry: views.EntryView
    session: int
    stage: str
    words: str
    verdict: str
    mark: str
    reason: str
    said: str
    sound: str
    at: int


class JobTally:
    """All entries of a job held against its sheet, session by session, with the rows done after each."""

    def __init__(self, record: Record, job: str | None, sheet: SpecSheet, trade: Trade, zone: tzinfo | None) -> None:
        self.tally = Tally(sheet, trade=trade, learnt=record.learnt_joints(job))
        self.entries: list[StoredEntry] = []
        self.days: list[str] = []
        self.bad: dict[int, list[int]] = {}
        """Line of the sheet → the entries that say the joint was found bad, as places in ``entries``."""
        self.course: list[tuple[datetime, int]] = []
        sessions = [session for session in record.sessions(job) if session.job == job]
        every = max(1, -(-len(sessions) // MOST_POINTS))
        for at, session in enumerate(sessions, start=1):
            for entry in record.entries(session.id):
                if not entry.struck:
                    if entry.judgement.joint and bad_words(entry):
                        self.bad.setdefault(entry.judgement.joint.row.line, []).append(len(self.entries))
                    self.tally.add(entry.entry)
                    self.entries.append(entry)
                    self.days.append(short_day(session, zone))
            if at % every == 0 or at == len(sessions):
                self.course.append((session.started, self.tally.progress().done))
        self.progress = self.tally.progress()
        self.rows = {row.line: row for row in sheet.rows}

    def span(self, joint: str, line: int, most: int) -> Span | None:
        """The newest values of a row of the sheet with what it allows; None where it asks for no torque."""
        row = self.rows[line]
        if row.torque is None and row.low is None and row.high is None:
            return None
        allowed = limits_of(row)
        held = [value for value in self.tally.values(line) if value.nm is not None]
        values = tuple((self.days[value.entry], value.nm or 0.0, value.verdict) for value in held[-most:])
        return Span(joint, allowed.low_nm, allowed.high_nm if allowed.high_nm != float("inf") else None, allowed.short, values)


class Tallies:
    """The tallies of the jobs that were looked at last, counted anew only when the record's file has changed."""

    def __init__(self, trade: Trade, zone: tzinfo | None) -> None:
        self._trade = trade
        self._zone = zone
        self._kept: dict[str | None, tuple[object, JobTally | None]] = {}

    def of(self, record: Record, job: str | None) -> JobTally | None:
        """The tally of a job; None without a sheet."""
        mark = _mark(record.folder)
        kept = self._kept.get(job)
        if kept and kept[0] == mark:
            return kept[1]
        sheet = job_sheet(record, job)
        made = JobTally(record, job, sheet, self._trade, self._zone) if sheet else None
        self._kept = dict([*((name, old) for name, old in self._kept.items() if name != job)][-MOST_KEPT + 1 :]) | {job: (mark, made)}
        return made


def _mark(folder: Path) -> object:
    """What changes whenever anything is written to a record: its file's and its journal's time and size."""
    found = []
    for name in ("record.db", "record.db-wal"):
        try:
            state = (folder / name).stat()
            found.append((state.st_mtime_ns, state.st_size) if state.st_size else None)
        except FileNotFoundError:
            found.append(None)
    return tuple(found)


def job_page(record: Record, job: str | None, tallies: Tallies, zone: tzinfo | None) -> dict[str, Any]:
    """What the job template shows. Raises MissingThing for a job that is not there."""
    if job is not None:
        job = record.job(job).name
    sessions = [session for session in record.sessions(job) if session.job == job]
    tally = tallies.of(record, job)
    doubtful = record.doubtful_entries(job, limit=MOST_TO_VERIFY + 1)  # without values that a later entry said anew
    last = sessions[-1] if sessions else None
    notes = record.notes(last.id) if last else ()
    return {
        "job": job,
        "last": last,
        "last_day": saying.day(last.started, zone) if last else "",
        "stopped_at": next((note.note.text for note in reversed(notes) if note.note.text), ""),
        "sessions": [(session, saying.day(session.started, zone)) for session in reversed(sessions[-LISTED:])],
        "more_to_verify": len(doubtful) > MOST_TO_VERIFY,
        "done": tally.progress if tally else None,
        "joints": [joint_view(tally, joint, MOST_VALUES) for joint in tally.progress.joints] if tally else [],
        "verify": [(entry, views.entry_view(entry).values[at], saying.joint(entry.entry)) for entry, at in to_verify(doubtful[:MOST_TO_VERIFY])],
        "home": home_of,
        "items": views.items_by_kind([item for item in record.items(job=job) if item.job == job]),
        "course": progress_plot(_points(tally.course, zone), tally.progress.total) if tally else "",
    }


def joint_page(record: Record, job: str | None, line: int, tallies: Tallies) -> dict[str, Any]:
    """What the template of one joint shows: its stages drawn, and the history of its values, newest first. Raises MissingThing."""
    if job is not None:
        job = record.job(job).name
    tally = tallies.of(record, job)
    found = [joint for joint in tally.progress.joints if line in [stage.line for stage in joint.stages]] if tally else []
    if tally is None or not found:
        raise MissingThing(f"Line {line} of this job's spec sheet is no joint.", next_step="See the job's page for its joints.")
    notes: dict[int, Sequence[Any]] = {}
    history = []
    for stage in found[0].stages:
        for value in tally.tally.values(stage.line)[-MOST_HISTORY:]:
            stored = tally.entries[value.entry]
            if stored.session not in notes:
                notes[stored.session] = record.notes(stored.session)
            history.append((value.entry, _value_row(tally, found[0], stage, value, notes)))
    shown = {at for at, _ in history}
    for at in _found_bad(tally, found[0]):
        if at not in shown:
            stored = tally.entries[at]
            if stored.session not in notes:
                notes[stored.session] = record.notes(stored.session)
            history.append((at, _found_row(tally, at, notes[stored.session])))
    heard = {session for session in notes if (record.folder / "sound" / str(session)).is_dir()}
    history = [(at, row if row.session in heard else replace(row, sound="")) for at, row in history]
    rows = [row for _, row in sorted(history, key=lambda item: item[0], reverse=True)]
    also = [row_words(tally.rows[stage.line]) for stage in found[0].stages]
    return {"job": job, "joint": joint_view(tally, found[0], MOST_HISTORY), "rows": rows, "also": also}


def joint_view(tally: JobTally, joint: JointProgress, most: int) -> JointView:
    """One joint, drawn stage by stage."""
    many = len(joint.stages) > 1
    stages = []
    for stage in joint.stages:
        span = tally.span(joint.name, stage.line, most)
        said = f"{stage.values[-1]}: {stage.verdict}" if stage.values else "not said"
        if len(stage.values) > 1:
            said += f" ({len(stage.values)} values)"
        plot = range_plot(span) if span and span.values else ""
        stages.append(StageView(f"stage {stage.stage}" if many else "", stage.wanted, said, dots(stage), plot, range_words(span) if span else ""))
    found = [(tally.entries[at], tally.days[at]) for at in _found_bad(tally, joint)]
    notes = (
        *(f"Skipped: {text}" for text in joint.skipped),
        *(f"Outside: {text}" for text in joint.outside),
        *(f"Found {bad_words(stored)} on {day}, session {stored.session}." for stored, day in found[-most:]),
    )
    return JointView(joint.name, joint.stages[0].line, joint.state, STATES.get(joint.state, ""), tuple(stages), notes)


def _found_bad(tally: JobTally, joint: JointProgress) -> list[int]:
    """The entries of a joint that say it was found bad, oldest first, as places in the tally: also those of later sessions without a value."""
    return sorted({at for stage in joint.stages for at in tally.bad.get(stage.line, ())})


def bad_words(stored: StoredEntry) -> str:
    """What an entry was found to be, without what is no fault."""
    return ", ".join(condition for condition in stored.entry.conditions if condition != "good")


def _found_row(tally: JobTally, at: int, notes: Sequence[StoredNote]) -> ValueRow:
    """What a joint was found to be, as a row of its history."""
    stored = tally.entries[at]
    first = min(stored.entry.notes, default=None)
    told = [note for note in notes if note.position in stored.entry.notes and any(isinstance(fact, Condition) for fact in note.facts)]
    said = told[0] if told else next((note for note in notes if note.position == first), None)
    return ValueRow(
        day=tally.days[at],
        entry=views.entry_view(stored),
        session=stored.session,
        stage="",
        words=f"found {bad_words(stored)}",
        verdict="",
        mark="",
        reason="",
        said=said.note.text if said else "",
        at=home_of(stored),
        sound=_sound(stored.session, said),
    )


def _sound(session: int, said: StoredNote | None) -> str:
    return f"/session/{session}/note/{said.id}.wav" if said and said.note.start is not None else ""


def _value_row(tally: JobTally, joint: JointProgress, stage: StageProgress, value: RowValue, notes: Mapping[int, Sequence[Any]]) -> ValueRow:
    stored = tally.entries[value.entry]
    verdict = next((verdict for verdict in stored.judgement.verdicts if value.torque is not None and verdict.torque == value.torque), None)
    at = stored.entry.torques[value.torque].note if value.torque is not None else min(stored.entry.notes, default=None)
    said = next((note for note in notes[stored.session] if note.position == at), None)
    return ValueRow(
        day=tally.days[value.entry],
        entry=views.entry_view(stored),
        session=stored.session,
        stage=f"stage {stage.stage}" if len(joint.stages) > 1 else "",
        words=value.words,
        verdict=value.verdict,
        mark=views.MARKS.get(value.verdict, ""),
        reason=verdict.reason if verdict else "",
        said=said.note.text if said else "",
        at=home_of(stored),
        sound=_sound(stored.session, said),
    )


def row_words(row: SpecRow) -> str:
    """What else a row of the sheet asks: thread, grade, condition, compound, tool, note, each where it is there."""
    words = (row.thread, row.grade, row.condition, row.compound, row.tool, "new each time" if row.one_time else None, row.note)
    return " · ".join(str(word) for word in words if word)


def _points(course: Sequence[tuple[datetime, int]], zone: tzinfo | None) -> list[tuple[float, str, int]]:
    return [((moment - course[0][0]).total_seconds() / 86400, _day_month(moment, zone), done) for moment, done in course]


def short_day(session: Session, zone: tzinfo | None) -> str:
    """``3 May``."""
    return _day_month(session.started, zone)


def _day_month(moment: datetime, zone: tzinfo | None) -> str:
    local = moment.astimezone(zone)
    return f"{local.day} {local:%b}"
