"""``gudgeon restore``: a backup becomes a record again."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from gudgeon.cli.options import AsJson, RecordDir
from gudgeon.cli.show import print_json


def restore(
    file: Annotated[Path, typer.Argument(metavar="FILE", help="A file made by gudgeon backup.")],
    as_json: AsJson = False,
    record: RecordDir = None,
) -> None:
    """Unpack a backup into a folder that holds no record yet.

    Example: gudgeon restore record-2026-05-04.zip --record restored
    """
    from gudgeon.cli import wiring
    from gudgeon.record import Record

    folder = wiring.record_folder(record)
    Record.restore(file, folder)
    with wiring.open_record(record) as opened:
        sessions = len(opened.sessions())
    print_json({"schema": 1, "record": str(folder), "sessions": sessions}) if as_json else print(f"Restored into {folder}: {sessions} sessions.")
