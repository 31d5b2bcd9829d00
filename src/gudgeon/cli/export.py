"""``gudgeon export``: the record for other programs and other people."""

from __future__ import annotations

import json
import sys
from collections.abc import Iterable
from importlib import resources
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from gudgeon.cli.options import JobName, RecordDir
from gudgeon.cli.show import tell

if TYPE_CHECKING:
    from gudgeon.record import Record


FORMS = ("json", "md", "csv")


def export(
    to: Annotated[str, typer.Option("--to", metavar="FORM", help="json (to be read back by gudgeon import), md (the build record) or csv.")] = "json",
    out: Annotated[Path | None, typer.Option("--out", metavar="FILE", help="Write it there (else it is printed).")] = None,
    job: JobName = None,
    schema: Annotated[bool, typer.Option("--schema", help="Print the JSON Schema of what commands print with --json, and stop.")] = False,
    record: RecordDir = None,
) -> None:
    """Export the record, or one job of it, without its sound: as JSON, or as a build record for people (md) and spreadsheets (csv).

    Example: gudgeon export --to md --job "orchard tractor" --out tractor.md
    """
    from gudgeon.cli import wiring
    from gudgeon.domain import BadInput

    if schema:
        print(resources.files("gudgeon.cli").joinpath("tables/shapes.schema.json").read_text(encoding="utf-8"), end="")
        return
    if to not in FORMS:
        raise BadInput(f"A record cannot be exported to {to!r}.", next_step=f"Use one of: {', '.join(FORMS)}.")
    with wiring.open_record(record) as opened:
        lines: Iterable[str]
        if to == "json":
            lines = (json.dumps(row, ensure_ascii=False) + "\n" for row in opened.export_lines(job))
        else:
            lines = [_built(opened, to, wiring.pick_job(opened, job, make=False, tell=tell), everything=job is None)]
        if out is None:
            sys.stdout.writelines(lines)
            return
        _write(out, lines)
    tell(f"Written to {out}, without sound.")


def _built(record: Record, to: str, job: str | None, *, everything: bool) -> str:
    """The build record of a job; as CSV, of every session when no job was named."""
    from gudgeon.reports import SessionPart, build_csv, build_markdown

    wanted = [session for session in record.sessions() if session.job == job or (everything and to == "csv")]
    parts = [SessionPart(session=session, notes=record.notes(session.id), entries=record.entries(session.id)) for session in wanted]
    if to == "csv":
        return build_csv(parts)
    return build_markdown(job, parts, [item for item in record.items(state=None) if item.job == job])


def _write(path: Path, lines: Iterable[str]) -> None:
    from gudgeon.domain import BadInput, Failure

    if path.exists():
        raise BadInput(f"{path} is there already.", kept="It was not touched.", next_step="Choose another name.")
    part = path.with_name(path.name + ".part")
    try:
        with part.open("w", encoding="utf-8") as file:
            file.writelines(lines)
        part.chmod(0o600)
        part.replace(path)
    except OSError as error:
        part.unlink(missing_ok=True)
        raise Failure(f"{path} could not be written: {error.strerror or error}.", kept="The record is as it was.") from error
