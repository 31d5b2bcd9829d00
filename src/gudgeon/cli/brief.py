"""``gudgeon brief``: what to know before starting."""

from __future__ import annotations

from dataclasses import asdict
from typing import TYPE_CHECKING

from gudgeon.cli.options import AsJson, JobName, RecordDir
from gudgeon.cli.show import print_json, print_lines, tell, width

if TYPE_CHECKING:
    from gudgeon.checks import Progress
    from gudgeon.record import Record


MOST_TO_VERIFY = 40
"""How many of the newest entries with a value to verify are shown."""


def brief(job: JobName = None, as_json: AsJson = False, record: RecordDir = None) -> None:
    """Show, before starting, what is open, what is not finished, what to verify and what to buy.

    Example: gudgeon brief --job "orchard tractor"
    """
    from gudgeon.cli import shapes, wiring
    from gudgeon.reports import BriefView, brief, to_verify

    with wiring.open_record(record) as opened:
        job = wiring.pick_job(opened, job, make=False, tell=tell)
        last = opened.latest_session(job)
        doubtful = opened.doubtful_entries(job, limit=MOST_TO_VERIFY + 1)
        items = [item for item in opened.items(job=job) if item.job == job]
        notes = opened.notes(last.id) if last else ()
        view = BriefView(
            job=job,
            last=last,
            last_notes=notes,
            entries=doubtful[:MOST_TO_VERIFY],
            more_to_verify=len(doubtful) > MOST_TO_VERIFY,
            items=items,
            progress=progress_of(opened, job),
            now=wiring.clock(),
        )
        if not as_json:
            print_lines(brief(view, width=width()))
            return
        row = {
            "schema": 1,
            "job": job,
            "last_session": shapes.session_json(last) if last else None,
            "open_items": [shapes.item_json(i) for i in items],
        }
        row |= {"to_verify": [{"entry": entry.id, "torque": at} for entry, at in to_verify(view.entries)]}
        print_json(row | {"progress": asdict(view.progress) if view.progress else None})


def progress_of(record: Record, job: str | None) -> Progress | None:
    """How much of the job's spec sheet is done; None when there is no sheet."""
    from gudgeon.checks import progress
    from gudgeon.cli import wiring
    from gudgeon.session import job_sheet

    sheet = job_sheet(record, job)
    if sheet is None:
        return None
    return progress(record.entries_on_sheet(job), sheet, trade=wiring.trade(), learnt=record.learnt_joints(job))
