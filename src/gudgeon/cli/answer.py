"""``gudgeon answer``: an open item gets its answer."""

from __future__ import annotations

from typing import Annotated

import typer

from gudgeon.cli import completing
from gudgeon.cli.options import AsJson, RecordDir
from gudgeon.cli.show import print_json

Item = Annotated[int, typer.Argument(metavar="ITEM", help="The item's number (see: gudgeon open).", autocompletion=completing.open_items)]


def answer(
    item: Item,
    text: Annotated[list[str], typer.Argument(metavar="TEXT", help="What answers it.")],
    as_json: AsJson = False,
    record: RecordDir = None,
) -> None:
    """Close an open item with what answered it.

    Example: gudgeon answer 4 "the manual says 48 newton metres"
    """
    from gudgeon.cli import shapes, wiring

    with wiring.open_record(record) as opened:
        ended = opened.answer(item, " ".join(text))
    print_json({"schema": 1, **shapes.item_json(ended)}) if as_json else print(f"Answered {item}: {ended.item.text} — {ended.item.ended_by}")
