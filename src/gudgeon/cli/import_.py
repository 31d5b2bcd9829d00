"""``gudgeon import``: an exported record comes back in."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from gudgeon.cli.options import AsJson, RecordDir
from gudgeon.cli.show import print_json


def import_(
    file: Annotated[Path, typer.Argument(metavar="FILE", help="What gudgeon export --to json wrote.")],
    as_json: AsJson = False,
    record: RecordDir = None,
) -> None:
    """Take an exported record into this one; what is there already is passed over.

    In a session that both have, corrections made by hand come along: of one entry or note the later change stands, and all history is kept.

    Example: gudgeon import record.jsonl
    """
    from gudgeon.cli import wiring
    from gudgeon.session import read_text, settle_changed

    text = read_text(file)
    with wiring.open_record(record) as opened:
        counts = opened.import_lines(text.split("\n"))
        if counts["corrected"]:
            rules = wiring.rules()
            for number in opened.unsettled():
                settle_changed(opened, number, rules)
    if as_json:
        print_json({"schema": 1, **counts})
    else:
        kinds = (("session", "sessions"), ("item", "open items"), ("job", "jobs"), ("sheet", "spec sheets"), ("picture", "pictures"))
        print(f"Taken in: {', '.join(f'{counts[kind]} {words}' for kind, words in kinds)}.")
        if counts["corrected"]:
            print(f"Corrections made by hand came along for {counts['corrected']} of the sessions that were here already; the later change stands.")
