"""``gudgeon job``: what is being worked on."""

from __future__ import annotations

from typing import Annotated

import typer

from gudgeon.cli import completing
from gudgeon.cli.options import AsJson, RecordDir
from gudgeon.cli.show import print_json, print_lines, width

job = typer.Typer(help="Jobs: what is being worked on.", no_args_is_help=True, rich_markup_mode=None)
Name = Annotated[str, typer.Argument(help="The job's name.")]
OldName = Annotated[str, typer.Argument(help="The job's name.", autocompletion=completing.jobs)]


@job.command("new")
def new(name: Name, as_json: AsJson = False, record: RecordDir = None) -> None:
    """Make a job.

    Example: gudgeon job new "orchard tractor"
    """
    from gudgeon.cli import shapes, wiring

    with wiring.open_record(record) as opened:
        made = opened.new_job(name)
    print_json(shapes.job_json(made)) if as_json else print(f"Job {made.name!r} is made.")


@job.command("list")
def list_(as_json: AsJson = False, record: RecordDir = None) -> None:
    """List all jobs, open ones first.

    Example: gudgeon job list
    """
    from gudgeon.cli import shapes, wiring
    from gudgeon.reports import jobs_lines

    with wiring.open_record(record) as opened:
        jobs = opened.jobs()
        if as_json:
            for found in jobs:
                print_json(shapes.job_json(found))
            return
        print_lines(jobs_lines([(found, opened.sessions(found.name), opened.items(job=found.name)) for found in jobs], width=width()))


@job.command("show")
def show(name: OldName, as_json: AsJson = False, record: RecordDir = None) -> None:
    """Show a job: its sessions and what is open.

    Example: gudgeon job show "orchard tractor"
    """
    from gudgeon.cli import shapes, wiring
    from gudgeon.reports import job_lines

    with wiring.open_record(record) as opened:
        found = opened.job(name)
        sessions, items, sheet = opened.sessions(found.name), opened.items(job=found.name), opened.sheet(found.name)
        if as_json:
            row = shapes.job_json(found) | {"sessions": [shapes.session_json(session) for session in sessions]}
            print_json(row | {"open_items": [shapes.item_json(item) for item in items], "spec_sheet": sheet.name if sheet else None})
            return
        print_lines(job_lines(found, sessions, items, sheet.name if sheet else None, width=width()))


@job.command("close")
def close(name: OldName, as_json: AsJson = False, record: RecordDir = None) -> None:
    """Close a job; its sessions stay and are still found.

    Example: gudgeon job close "orchard tractor"
    """
    from gudgeon.cli import shapes, wiring

    with wiring.open_record(record) as opened:
        closed = opened.close_job(name)
    print_json(shapes.job_json(closed)) if as_json else print(f"Job {closed.name!r} is closed. Its sessions stay.")
