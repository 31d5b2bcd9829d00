"""A job as a page shows it before a start: where it stopped, joints drawn with their counts, values to verify, what is open, how it went."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import tzinfo
from typing import Any

from gudgeon.checks import JointProgress, Progress, progress
from gudgeon.domain import Session, SpecSheet
from gudgeon.pages import views
from gudgeon.pages.drawings import Span, dots, progress_plot, range_plot, range_words
from gudgeon.record import Record, StoredEntry
from gudgeon.reports import saying, to_verify
from gudgeon.session import job_sheet
from gudgeon.trade import Trade
from gudgeon.units import to_nm

MOST_POINTS = 12
NEWEST = 20
LISTED = 50
STATES = {"done": "✓", "part done": "◐", "outside": "▲", "not started": "○"}


@dataclass(frozen=True, slots=True)
class StageView:
    """One row of the sheet, drawn."""

    title: str
    wanted: str
    said: str
    drawn: str


@dataclass(frozen=True, slots=True)
class JointView:
    """One joint of the sheet, drawn; ``notes`` are sentences on what was skipped and what is outside."""

    name: str
    state: str
    mark: str
    stages: tuple[StageView, ...]
    notes: tuple[str, ...]


def job_page(record: Record, job: str | None, trade: Trade, zone: tzinfo | None) -> dict[str, Any]:
    """What the job template shows. Raises MissingThing for a job that is not there."""
    if job is not None:
        job = record.job(job).name
    sessions = [session for session in record.sessions(job) if session.job == job]
    sheet = job_sheet(record, job)
    read = sessions if sheet else sessions[-NEWEST:]  # counting against a sheet needs all that was ever said; the rest only what is new
    entries = {session.id: [entry for entry in record.entries(session.id) if not entry.struck] for session in read}
    live = [entry for session in read for entry in entries[session.id]]
    learnt = record.learnt_joints(job)
    done = progress([entry.entry for entry in live], sheet, trade=trade, learnt=learnt) if sheet else None
    last = sessions[-1] if sessions else None
    notes = record.notes(last.id) if last else ()
    spans = spans_of(read, entries, zone)
    return {
        "job": job,
        "last": last,
        "last_day": saying.day(last.started, zone) if last else "",
        "stopped_at": next((note.note.text for note in reversed(notes) if note.note.text), ""),
        "sessions": [(session, saying.day(session.started, zone)) for session in reversed(sessions[-LISTED:])],
        "newest": NEWEST if len(read) < len(sessions) else 0,
        "done": done,
        "joints": [joint_view(joint) for joint in done.joints] if done else [],
        "verify": [(entry, views.entry_view(entry).values[at], saying.joint(entry.entry)) for entry, at in to_verify(live)],
        "items": views.items_by_kind([item for item in record.items(job=job) if item.job == job]),
        "spans": [(span.name, range_plot(span), range_words(span)) for span in spans],
        "course": course(sessions, entries, sheet, trade, learnt, zone) if sheet else "",
    }


def joint_view(joint: JointProgress) -> JointView:
    """One joint, drawn stage by stage."""
    many = len(joint.stages) > 1
    stages = tuple(
        StageView(
            title=f"pass {stage.stage}" if many else "",
            wanted=stage.wanted,
            said=f"{', '.join(stage.values)}: {stage.verdict}" if stage.values else "not said",
            drawn=dots(stage),
        )
        for stage in joint.stages
    )
    notes = (*(f"Skipped: {text}" for text in joint.skipped), *(f"Outside: {text}" for text in joint.outside))
    return JointView(joint.name, joint.state, STATES.get(joint.state, ""), stages, notes)


def course(
    sessions: Sequence[Session], entries: dict[int, list[StoredEntry]], sheet: SpecSheet, trade: Trade, learnt: dict[str, str], zone: tzinfo | None
) -> str:
    """The rows done after each of the last sessions, drawn."""
    points = []
    for end in range(max(1, len(sessions) - MOST_POINTS + 1), len(sessions) + 1):
        upto = [entry.entry for session in sessions[:end] for entry in entries[session.id]]
        found: Progress = progress(upto, sheet, trade=trade, learnt=learnt)
        points.append((_short(sessions[end - 1], zone), found.done))
    return progress_plot(points, progress([], sheet, trade=trade).total)


def _short(session: Session, zone: tzinfo | None) -> str:
    local = session.started.astimezone(zone)
    return f"{local.day} {local:%b}"


def spans_of(sessions: Sequence[Session], entries: dict[int, list[StoredEntry]], zone: tzinfo | None) -> list[Span]:
    """For each row of the sheet that values were matched to: its range in newton metres and the values said, oldest first."""
    spans: dict[int, Span] = {}
    for session in sessions:
        for stored in entries[session.id]:
            joint = stored.judgement.joint
            verdicts = {verdict.torque: verdict.code for verdict in stored.judgement.verdicts if verdict.torque is not None}
            low, high = band(joint.row) if joint and len(stored.entry.torques) == 1 else (None, None)
            if joint is None or (low is None and high is None):
                continue
            torque = stored.entry.torques[0]
            if torque.nm is None:
                continue
            point = (_short(session, zone), torque.nm, verdicts.get(0, ""))
            old = spans.get(joint.row.line)
            name = " ".join(text for text in (joint.row.part, joint.row.place, joint.row.fastener) if text)
            values = (*old.values, point) if old else (point,)
            spans[joint.row.line] = Span(name, "N·m", low, high, values[-10:])
    return list(spans.values())


def band(row: Any) -> tuple[float | None, float | None]:
    """The range a row of the sheet itself states, in newton metres: its low and high, else its torque with its own tolerance."""
    unit = row.unit or "N*m"
    if row.low is not None or row.high is not None:
        low, high = (None if edge is None else round(to_nm(edge, unit), 2) for edge in (row.low, row.high))
        return low, high
    if row.torque is None or not row.tolerance_percent:
        return None, None
    share = row.tolerance_percent / 100
    return round(to_nm(row.torque * (1 - share), unit), 2), round(to_nm(row.torque * (1 + share), unit), 2)
