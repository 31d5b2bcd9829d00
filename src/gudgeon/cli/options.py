"""Options that many commands share, so that they read the same everywhere."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from gudgeon.cli import completing
from gudgeon.cli.as_json import AsJson as AsJson

RecordDir = Annotated[
    Path | None,
    typer.Option("--record", metavar="DIR", help="The record's folder (else GUDGEON_RECORD, else your user data folder)."),
]
JobName = Annotated[
    str | None,
    typer.Option("--job", metavar="NAME", help="The job: what is being worked on.", autocompletion=completing.jobs),
]
Speaker = Annotated[str | None, typer.Option("--by", metavar="NAME", help="Who speaks.")]
Why = Annotated[bool, typer.Option("--why", help="Also show what was said, how it was put together, and each sum.")]
SessionNumber = Annotated[int | None, typer.Argument(metavar="SESSION", help="The session's number; the latest when left out.")]
ToMarkdown = Annotated[str | None, typer.Option("--to", metavar="md", help="Print it as Markdown instead: md.")]
