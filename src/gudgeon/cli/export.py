"""``gudgeon export``: the record for other programs and other people."""

from __future__ import annotations

from importlib import resources
from pathlib import Path
from typing import Annotated

import typer

from gudgeon.cli.options import JobName, RecordDir
from gudgeon.cli.show import print_json, tell


def export(
    to: Annotated[str, typer.Option("--to", metavar="json", help="The form: json (one object a line, to be read back by gudgeon import).")] = "json",
    out: Annotated[Path | None, typer.Option("--out", metavar="FILE", help="Write it there (else it is printed).")] = None,
    job: JobName = None,
    schema: Annotated[bool, typer.Option("--schema", help="Print the JSON Schema of what commands print with --json, and stop.")] = False,
    record: RecordDir = None,
) -> None:
    """Export the record, or one job of it, without its sound.

    Example: gudgeon export --to json --out record.jsonl
    """
    from gudgeon.cli import wiring
    from gudgeon.domain import BadInput

    if schema:
        print(resources.files("gudgeon.cli").joinpath("tables/shapes.schema.json").read_text(encoding="utf-8"), end="")
        return
    if to != "json":
        raise BadInput(f"A record cannot be exported to {to!r}.", next_step="Use --to json.")
    with wiring.open_record(record) as opened:
        rows = opened.export_lines(job)
        if out is None:
            for row in rows:
                print_json(row)
            return
        _write(out, rows)
    tell(f"Written to {out}, without sound.")


def _write(path: Path, rows: object) -> None:
    import json
    from collections.abc import Iterable
    from typing import Any, cast

    from gudgeon.domain import BadInput, Failure

    if path.exists():
        raise BadInput(f"{path} is there already.", kept="It was not touched.", next_step="Choose another name.")
    part = path.with_name(path.name + ".part")
    try:
        with part.open("w", encoding="utf-8") as file:
            for row in cast(Iterable[dict[str, Any]], rows):
                file.write(json.dumps(row, ensure_ascii=False) + "\n")
        part.chmod(0o600)
        part.replace(path)
    except OSError as error:
        part.unlink(missing_ok=True)
        raise Failure(f"{path} could not be written: {error.strerror or error}.", kept="The record is as it was.") from error
