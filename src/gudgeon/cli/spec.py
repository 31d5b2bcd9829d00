"""``gudgeon spec``: the owner's spec sheet for a job."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from gudgeon.cli.options import AsJson, JobName, RecordDir
from gudgeon.cli.show import print_json, print_lines, tell, width
from gudgeon.domain import BadInput

if TYPE_CHECKING:
    from gudgeon.domain import SpecSheet

spec = typer.Typer(help="The owner's spec sheet for a job.", no_args_is_help=True, rich_markup_mode=None)
MOST_SHOWN = 20


@spec.command("load")
def load(
    file: Annotated[Path, typer.Argument(metavar="FILE", help="The sheet, as CSV.")],
    job: JobName = None,
    as_json: AsJson = False,
    record: RecordDir = None,
) -> None:
    """Load a spec sheet for a job; the sessions there are already are judged against it at once.

    Bad rows are refused with their line and reason, the rest is used. A sheet loaded before stays in the record, no longer in use.

    Example: gudgeon spec load tractor.csv --job "orchard tractor"
    """
    from gudgeon.checks import read_spec
    from gudgeon.cli import wiring
    from gudgeon.session import read_text, settle_all

    text = read_text(file)
    sheet = read_spec(text.split("\n"))
    _refuse_if_empty(file.name, sheet)
    with wiring.open_record(record) as opened:
        job = wiring.pick_job(opened, job, make=True, tell=tell)
        stored = opened.put_sheet(name=file.name, text=text, sheet=sheet, job=job)
        judged = settle_all(opened, wiring.rules(), sheet=stored)
    if as_json:
        refused = [{"line": line, "reason": reason} for line, reason in sheet.refused]
        print_json({"schema": 1, "sheet": stored.name, "job": job, "rows": len(sheet.rows), "sizes": len(sheet.sizes), "refused": refused})
        return
    whom = job or "sessions of any job without its own sheet"
    print(f"Loaded {stored.name}: {_counted(len(sheet.rows), 'torque row')} and {_counted(len(sheet.sizes), 'size row')}, for {whom}.")
    if judged:
        print(f"{_counted(judged, 'session')} judged anew.")
    for line, reason in sheet.refused[:MOST_SHOWN]:
        tell(f"Line {line} was refused: {reason.removesuffix('.')}.")
    if len(sheet.refused) > MOST_SHOWN:
        tell(f"… and {len(sheet.refused) - MOST_SHOWN} more lines were refused; --json lists all.")


def _counted(count: int, word: str) -> str:
    return f"{count} {word}" if count == 1 else f"{count} {word}s"


def _refuse_if_empty(name: str, sheet: SpecSheet) -> None:
    if sheet.rows or sheet.sizes:
        return
    shown = [f"Line {line}: {reason.removesuffix('.')}." for line, reason in sheet.refused[:MOST_SHOWN]]
    raise BadInput(
        " ".join([f"No row of {name} can be used.", *shown]),
        kept="It was not loaded; a sheet loaded before stays.",
        next_step="Mend its rows, then load it again.",
    )


@spec.command("show")
def show(job: JobName = None, as_json: AsJson = False, record: RecordDir = None) -> None:
    """Show the spec sheet in use for a job.

    Example: gudgeon spec show --job "orchard tractor"
    """
    from dataclasses import asdict

    from gudgeon.checks import read_spec
    from gudgeon.cli import wiring
    from gudgeon.domain import MissingThing
    from gudgeon.reports import sheet_lines

    with wiring.open_record(record) as opened:
        job = wiring.pick_job(opened, job, make=False, tell=tell)
        stored = opened.sheet(job)
    if stored is None:
        raise MissingThing("There is no spec sheet yet.", next_step="Load one with `gudgeon spec load FILE`.")
    sheet = read_spec(stored.text.split("\n"))
    if as_json:
        for kind, rows in (("torque", sheet.rows), ("size", sheet.sizes)):
            for row in rows:
                print_json({"schema": 1, "kind": kind, **asdict(row), "extra": dict(row.extra)})
        return
    print_lines(sheet_lines(stored.name, sheet, width=width()))


@spec.command("progress")
def progress(job: JobName = None, as_json: AsJson = False, record: RecordDir = None) -> None:
    """Show how much of the spec sheet is done: stages and counts, what was skipped, values outside.

    Example: gudgeon spec progress --job "orchard tractor"
    """
    from dataclasses import asdict

    from gudgeon.cli import wiring
    from gudgeon.cli.brief import progress_of
    from gudgeon.domain import MissingThing
    from gudgeon.reports import progress_lines

    with wiring.open_record(record) as opened:
        job = wiring.pick_job(opened, job, make=False, tell=tell)
        found = progress_of(opened, job)
    if found is None:
        raise MissingThing("There is no spec sheet yet.", next_step="Load one with `gudgeon spec load FILE`.")
    print_json({"schema": 1, "job": job, **asdict(found)}) if as_json else print_lines(progress_lines(found, width=width()))
