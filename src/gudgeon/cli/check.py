"""``gudgeon check``: whether the record is whole."""

from __future__ import annotations

import typer

from gudgeon.cli.options import AsJson, RecordDir
from gudgeon.cli.show import print_json


def check(as_json: AsJson = False, record: RecordDir = None) -> None:
    """Check that the record is whole: its file, its links, its search index and its sound.

    Example: gudgeon check
    """
    from gudgeon.cli import wiring

    with wiring.open_record(record) as opened:
        troubles = opened.check()
        where = opened.folder
    serious = [trouble for trouble in troubles if not trouble.harmless]
    if as_json:
        listed = [{"code": trouble.code, "text": trouble.text, "harmless": trouble.harmless} for trouble in troubles]
        print_json({"schema": 1, "record": str(where), "whole": not serious, "troubles": listed})
    else:
        print(f"The record {where} is whole." if not serious else f"The record {where} is not whole:")
        for trouble in troubles:
            print(f"  {trouble.text}  [{trouble.code}]")
    if serious:
        raise typer.Exit(1)
