"""``gudgeon drop``: an open item needs no answer."""

from __future__ import annotations

from typing import Annotated

import typer

from gudgeon.cli.answer import Item
from gudgeon.cli.options import AsJson, RecordDir
from gudgeon.cli.show import print_json


def drop(
    item: Item,
    why: Annotated[list[str], typer.Argument(metavar="WHY", help="Why it needs no answer.")],
    as_json: AsJson = False,
    record: RecordDir = None,
) -> None:
    """Close an open item that needs no answer, with the reason.

    Example: gudgeon drop 7 "not ours, the neighbour's trailer"
    """
    from gudgeon.cli import shapes, wiring

    with wiring.open_record(record) as opened:
        ended = opened.drop(item, " ".join(why))
    print_json({"schema": 1, **shapes.item_json(ended)}) if as_json else print(f"Dropped {item}: {ended.item.text} — {ended.item.ended_by}")
