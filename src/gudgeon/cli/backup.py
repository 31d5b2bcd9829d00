"""``gudgeon backup``: the record as one file."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from gudgeon.cli.options import AsJson, RecordDir
from gudgeon.cli.show import print_json


def backup(
    file: Annotated[Path, typer.Argument(metavar="FILE", help="The new file.")],
    sound: Annotated[bool, typer.Option("--sound/--no-sound", help="With the sound, or the words alone.")] = True,
    as_json: AsJson = False,
    record: RecordDir = None,
) -> None:
    """Write the whole record into one file, also while it is in use.

    Example: gudgeon backup record-2026-05-04.zip
    """
    from gudgeon.cli import wiring

    with wiring.open_record(record) as opened:
        size = opened.backup(file, sound=sound)
    if as_json:
        print_json({"schema": 1, "file": str(file), "bytes": size, "sound": sound})
    else:
        print(f"{file}: {size / 1e6:.1f} MB, {'with' if sound else 'without'} sound.")
