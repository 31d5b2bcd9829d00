"""Before a start: where the last session stopped, joints not finished, values to verify, what is open and what to buy."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, tzinfo
from typing import TYPE_CHECKING

from gudgeon.domain import Session
from gudgeon.record import StoredEntry, StoredItem, StoredNote
from gudgeon.reports import saying
from gudgeon.reports.lines import Line, fit, heading, wrapped
from gudgeon.reports.lists import dated_items
from gudgeon.reports.summary import BAD, UNSURE

if TYPE_CHECKING:
    from gudgeon.checks import JointProgress, Progress, SizeProgress

DONE = "done"


@dataclass(frozen=True, slots=True, kw_only=True)
class BriefView:
    """All that a brief is made from; ``progress`` is None without a spec sheet."""

    job: str | None
    last: Session | None
    last_notes: Sequence[StoredNote]
    entries: Sequence[StoredEntry]
    """Those with a value to verify, newest first; ``more_to_verify`` says that there are older ones."""
    items: Sequence[StoredItem]
    progress: Progress | None
    now: datetime
    more_to_verify: bool = False


def brief(view: BriefView, *, width: int = 80, zone: tzinfo | None = None) -> list[Line]:
    """What to know before starting."""
    width = fit(width)
    lines = wrapped(view.job or "All sessions without a job", width, tone="heading")
    if view.last is None:
        return lines + wrapped("No session yet.", width)
    lines += _last(view, view.last, width, zone)
    unfinished = [joint for joint in view.progress.joints if joint.state != DONE and joint.state != "not started"] if view.progress else []
    if unfinished:
        lines += heading("Joints not finished")
        lines += [line for joint in unfinished for line in joint_lines(joint, width)]
    outside = [size for size in view.progress.sizes if size.verdict not in (None, "within")] if view.progress else []
    if outside:
        lines += heading("Sizes not right")
        lines += [line for size in outside for line in size_lines(size, width)]
    if view.progress:
        waiting = sum(joint.state == "not started" for joint in view.progress.joints) + sum(size.verdict is None for size in view.progress.sizes)
        text = f"{view.progress.done} of {view.progress.total} rows of the spec sheet are done; {waiting} not started (gudgeon spec progress)."
        lines += [Line(""), *wrapped(text, width, hang=0)]
    lines += _to_verify(view.entries, width)
    if view.more_to_verify:
        lines += wrapped("… and older ones: gudgeon find --verdict over (under, unlikely, unit not said)", width, indent=2, hang=0, tone="faint")
    lines += dated_items(view.items, width, view.now, with_job=False)
    return lines if view.items else [*lines, Line(""), Line("Nothing is open.")]


def _last(view: BriefView, last: Session, width: int, zone: tzinfo | None) -> list[Line]:
    text = f"Last session: {last.id}, {saying.day(last.started, zone)}"
    if last.state == "unfinished":
        text += f", broken off at {saying.clock(last.reached)}"
    lines = wrapped(text, width)
    said = next((note.note.text for note in reversed(view.last_notes) if note.note.text), "")
    return lines + (wrapped(f"It stopped at: “{said[:200]}”", width, indent=2) if said else [])


def to_verify(entries: Sequence[StoredEntry]) -> list[tuple[StoredEntry, int]]:
    """Torques that nobody should rely on yet, as (entry, which): guessed, heard unsurely, without a unit, or outside what they were held against."""
    found = []
    for entry in entries:
        codes = {verdict.torque: verdict.code for verdict in entry.judgement.verdicts if verdict.torque is not None}
        for at, torque in enumerate(entry.entry.torques):
            if not entry.struck and (torque.hedged or torque.heard or codes.get(at) in BAD + UNSURE):
                found.append((entry, at))
    return found


def _to_verify(entries: Sequence[StoredEntry], width: int) -> list[Line]:
    found = to_verify(entries)
    lines = heading("Values to verify") if found else []
    for entry, at in found:
        code = next((verdict.code for verdict in entry.judgement.verdicts if verdict.torque == at), "")
        words = " · ".join(text for text in (saying.joint(entry.entry), saying.torque(entry.entry.torques[at]), code) if text)
        lines += wrapped(f"{words}  [session {entry.session}, entry {entry.id}]", width, indent=2, hang=4)
    return lines


def progress_lines(progress: Progress, *, width: int = 80) -> list[Line]:
    """How much of a spec sheet is done, joint by joint."""
    width = fit(width)
    lines = wrapped(f"{progress.done} of {progress.total} rows of the spec sheet are done.", width, tone="heading")
    for joint in progress.joints:
        lines += joint_lines(joint, width)
    for size in progress.sizes:
        lines += size_lines(size, width)
    return lines


def size_lines(size: SizeProgress, width: int) -> list[Line]:
    """One measured size of the sheet: what is wanted, what was said, and the last one's verdict."""
    said = f"{', '.join(size.values)}: {size.verdict}" if size.values else "not measured"
    return wrapped(f"{size.name} · {size.wanted} · {said}", width, indent=2, hang=4)


def joint_lines(joint: JointProgress, width: int) -> list[Line]:
    """One joint: its state, its stages with values and counts, and what is missing."""
    lines = wrapped(f"{joint.name} · {joint.state}", width, indent=2, hang=4)
    if joint.state == "not started":
        return lines
    for stage in joint.stages:
        said = f"said {', '.join(stage.values)}: {stage.verdict}" if stage.values else "not said"
        counted = f"{stage.counted} of {stage.expected}" if stage.counted is not None else f"how many of {stage.expected} was not said"
        count = f" · {counted}" if stage.expected and stage.values else ""
        named = f"stage {stage.stage}: " if len(joint.stages) > 1 else ""
        lines += wrapped(f"{named}wanted {stage.wanted} · {said}{count}", width, indent=6)
    for text in joint.skipped:
        lines += wrapped(f"skipped: {text}", width, indent=6, tone="unsure")
    for text in joint.outside:
        lines += wrapped(f"outside: {text}", width, indent=6, tone="bad")
    return lines
