"""``gudgeon open``: what is open."""

from __future__ import annotations

import sys
from typing import Annotated

import typer

from gudgeon.cli.options import AsJson, JobName, RecordDir
from gudgeon.cli.show import print_json, print_lines, width

To = Annotated[str | None, typer.Option("--to", metavar="csv", help="Print a table instead: csv.")]
Kind = Annotated[str | None, typer.Option("--kind", metavar="KIND", help="Only question, verify, todo, buy or fault.")]
All = Annotated[bool, typer.Option("--all", help="Also those answered or dropped.")]


def open_(job: JobName = None, to: To = None, kind: Kind = None, everything: All = False, as_json: AsJson = False, record: RecordDir = None) -> None:
    """List open items: questions, guesses to verify, things to do and to buy, and faults.

    Example: gudgeon open --kind buy --to csv
    """
    from gudgeon.cli import shapes, wiring
    from gudgeon.cli.aids import aid_json, aid_lines, aids_of
    from gudgeon.domain import BadInput
    from gudgeon.reports import items_csv, items_lines

    kinds = ("question", "verify", "todo", "buy", "fault")
    if to not in (None, "csv"):
        raise BadInput(f"Open items cannot be written as {to!r}.", next_step="Use --to csv, or --json.")
    if kind not in (None, *kinds):
        raise BadInput(f"{kind!r} is no kind of open item.", next_step=f"Choose one of: {', '.join(kinds)}.")
    with wiring.open_record(record) as opened:
        items = opened.items(job=job, state=None if everything else "open", kind=kind)
        aids = aids_of(opened, items) if to is None else {}
    rows = [shapes.item_json(item) | {"aid": aid_json(aids.get(item.item.id or 0))} for item in items]
    if as_json:
        for row in rows:
            print_json({"schema": shapes.SCHEMA, **row})
    elif to == "csv":
        sys.stdout.write(items_csv(items))
    else:
        print_lines([*items_lines(items, width=width(), now=wiring.clock()), *aid_lines(aids, width=width())])
