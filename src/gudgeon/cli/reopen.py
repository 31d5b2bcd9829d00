"""``gudgeon reopen``: an ended item is open again."""

from __future__ import annotations

from typing import Annotated

import typer

from gudgeon.cli.answer import Item
from gudgeon.cli.options import AsJson, RecordDir
from gudgeon.cli.show import print_json


def reopen(
    item: Item,
    why: Annotated[list[str] | None, typer.Argument(metavar="WHY", help="Why it is open again.")] = None,
    as_json: AsJson = False,
    record: RecordDir = None,
) -> None:
    """Open an answered or dropped item again; how it had ended stays in its history.

    Example: gudgeon reopen 4 "that was the other gearbox"
    """
    from gudgeon.cli import shapes, wiring

    with wiring.open_record(record) as opened:
        again = opened.reopen(item, " ".join(why or []))
    print_json({"schema": 1, **shapes.item_json(again)}) if as_json else print(f"Open again: {again.item.id} {again.item.text}")
