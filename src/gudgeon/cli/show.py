"""How results reach the screen: plain text in a pipe, colour on a terminal, JSON when asked, notices and progress on standard error."""

from __future__ import annotations

import json
import os
import shutil
import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from gudgeon.reports import Line

TONES = {"heading": "bold", "bad": "bold red", "unsure": "yellow", "good": "green", "faint": "dim"}


def width() -> int:
    """Columns to write in: the terminal's, else what COLUMNS says, else 80."""
    if sys.stdout.isatty() or os.environ.get("COLUMNS"):
        return shutil.get_terminal_size((80, 24)).columns
    return 80


def coloured(stream: Any) -> bool:
    """Whether a stream is a terminal that wants colour."""
    return bool(stream.isatty()) and not os.environ.get("NO_COLOR") and os.environ.get("TERM") != "dumb"


def print_lines(lines: list[Line]) -> None:
    """Print a report; tones become colour on a terminal only."""
    if not coloured(sys.stdout):
        print("\n".join(line.text.rstrip() for line in lines))
        return
    from rich.console import Console
    from rich.text import Text

    console = Console(highlight=False, soft_wrap=True)
    for line in lines:
        console.print(Text(line.text, style=TONES.get(line.tone, "")))


def wanted_width(to: str | None) -> int:
    """The width to make a report in: endless for Markdown. Raises BadInput for another form."""
    from gudgeon.domain import BadInput
    from gudgeon.reports import ENDLESS

    if to not in (None, "md"):
        raise BadInput(f"It cannot be printed as {to!r}.", next_step="Use --to md, or leave it out.")
    return ENDLESS if to else width()


def print_report(lines: list[Line], to: str | None) -> None:
    """Print a report as text, or as Markdown when ``to`` says so."""
    from gudgeon.reports import lines_as_markdown

    if to == "md":
        print(lines_as_markdown(lines), end="")
    else:
        print_lines(lines)


def print_json(value: Any) -> None:
    """Print one JSON object on one line; dates as text."""
    print(json.dumps(value, ensure_ascii=False, default=str))


def tell(text: str) -> None:
    """A notice for the person, on standard error."""
    print(text, file=sys.stderr)


@contextmanager
def progress(what: str, total: float | None, unit: str) -> Iterator[Callable[[float, str | None], None]]:
    """A bar on standard error for long work, on a terminal only; call what it gives with how much is done and the latest words."""
    if not coloured(sys.stderr):
        yield lambda done, text: None
        return
    from rich.console import Console
    from rich.progress import BarColumn, Progress, TextColumn, TimeRemainingColumn

    columns = (TextColumn("{task.description}"), BarColumn(), TextColumn("{task.completed:.0f}/{task.total:.0f} " + unit), TimeRemainingColumn())
    with Progress(*columns, console=Console(stderr=True), transient=True) as bar:
        task = bar.add_task(what, total=total)
        begun = False

        def update(done: float, text: str | None) -> None:
            nonlocal begun
            if not begun:  # what an earlier run has done says nothing about the speed of this one
                bar.reset(task, completed=int(done), total=total)
                begun = True
            bar.update(task, completed=done, total=max(total or 0.0, done))
            if text:
                bar.console.print(text, style="dim", highlight=False, markup=False)

        yield update
