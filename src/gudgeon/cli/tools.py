"""``gudgeon tools``: the owner's torque wrenches."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from gudgeon.cli.options import AsJson, RecordDir
from gudgeon.cli.show import print_json, print_lines, tell, width

tools = typer.Typer(help="The owner's torque wrenches: range, length, last calibration.", no_args_is_help=True, rich_markup_mode=None)


@tools.command("load")
def load(
    file: Annotated[Path, typer.Argument(metavar="FILE", help="The wrenches, as CSV: name, low, high, unit, length, last calibration.")],
    as_json: AsJson = False,
    record: RecordDir = None,
) -> None:
    """Load the owner's torque wrenches; every session is judged anew with them.

    Example: gudgeon tools load wrenches.csv
    """
    from gudgeon.checks import read_wrenches
    from gudgeon.cli import wiring
    from gudgeon.session import read_text, settle_all

    text = read_text(file)
    sheet = read_wrenches(text.split("\n"))
    with wiring.open_record(record) as opened:
        opened.put_tools(name=file.name, text=text)
        settle_all(opened, wiring.rules())
    if as_json:
        refused = [{"line": line, "reason": reason} for line, reason in sheet.refused]
        print_json({"schema": 1, "file": file.name, "wrenches": len(sheet.wrenches), "refused": refused})
        return
    print(f"Loaded {file.name}: {len(sheet.wrenches)} wrenches.")
    for line, reason in sheet.refused:
        tell(f"Line {line} was refused: {reason}")


@tools.command("show")
def show(as_json: AsJson = False, record: RecordDir = None) -> None:
    """Show the owner's torque wrenches.

    Example: gudgeon tools show
    """
    from dataclasses import asdict

    from gudgeon.checks import read_wrenches
    from gudgeon.cli import wiring
    from gudgeon.domain import MissingThing
    from gudgeon.reports import wrench_lines

    with wiring.open_record(record) as opened:
        stored = opened.tools()
    if stored is None:
        raise MissingThing("No tools file is loaded yet.", next_step="Load one with `gudgeon tools load FILE`.")
    sheet = read_wrenches(stored.text.split("\n"))
    if as_json:
        for wrench in sheet.wrenches:
            print_json({"schema": 1, **asdict(wrench)})
        return
    print_lines(wrench_lines(sheet.wrenches, width=width()))
