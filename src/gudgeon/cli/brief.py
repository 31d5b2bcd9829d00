"""``gudgeon brief``: what to know before starting."""

from __future__ import annotations

from dataclasses import asdict
from typing import TYPE_CHECKING, Any

from gudgeon.cli.options import AsJson, JobName, RecordDir, ToMarkdown
from gudgeon.cli.show import print_json, print_report, tell, wanted_width

if TYPE_CHECKING:
    from gudgeon.checks import Progress
    from gudgeon.record import Record
    from gudgeon.reports import BriefView


MOST_TO_VERIFY = 40
"""How many of the newest entries with a value to verify are shown."""


def brief(job: JobName = None, to: ToMarkdown = None, as_json: AsJson = False, record: RecordDir = None) -> None:
    """Show, before starting, what is open, what is not finished, what to verify and what to buy.

    Example: gudgeon brief --job "orchard tractor"
    """
    from gudgeon.cli import shapes, wiring
    from gudgeon.reports import brief, to_verify

    with wiring.open_record(record) as opened:
        view = view_of(opened, wiring.pick_job(opened, job, make=False, tell=tell))
    if not as_json:
        print_report(brief(view, width=wanted_width(to)), to)
        return
    row: dict[str, Any] = {"schema": 1, "job": view.job, "last_session": shapes.session_json(view.last) if view.last else None}
    row |= {"open_items": [shapes.item_json(item) for item in view.items]}
    row |= {"to_verify": [{"entry": entry.id, "torque": at} for entry, at in to_verify(view.entries)]}
    print_json(row | {"progress": asdict(view.progress) if view.progress else None})


def view_of(record: Record, job: str | None) -> BriefView:
    """All that a brief of a job shows."""
    from gudgeon.cli import wiring
    from gudgeon.reports import BriefView

    last, doubtful = record.latest_session(job), record.doubtful_entries(job, limit=MOST_TO_VERIFY + 1)
    return BriefView(
        job=job,
        last=last,
        last_notes=record.notes(last.id) if last else (),
        entries=doubtful[:MOST_TO_VERIFY],
        more_to_verify=len(doubtful) > MOST_TO_VERIFY,
        items=[item for item in record.items(job=job) if item.job == job],
        progress=progress_of(record, job),
        now=wiring.clock(),
    )


def progress_of(record: Record, job: str | None) -> Progress | None:
    """How much of the job's spec sheet is done; None when there is no sheet."""
    from gudgeon.checks import progress
    from gudgeon.cli import wiring
    from gudgeon.session import job_sheet

    sheet = job_sheet(record, job)
    if sheet is None:
        return None
    return progress(record.entries_on_sheet(job), sheet, trade=wiring.trade(), learnt=record.learnt_joints(job))
