"""How a live session looks: on a terminal the last phrase and its verdict first, in a pipe one phrase after the other, or JSON lines."""

from __future__ import annotations

import sys
from collections import deque
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from typing import TYPE_CHECKING

from gudgeon.cli.show import TONES, coloured, print_json, print_lines, width

if TYPE_CHECKING:
    from gudgeon.record import StoredNote
    from gudgeon.reports import Line
    from gudgeon.session import Phrase

SHOWN = 6
"""Phrases on a terminal at once."""

Notes = Callable[[], Sequence["StoredNote"]]


@contextmanager
def screen(*, as_json: bool, sheet: bool, notes: Notes, status: Callable[[], str] = lambda: "") -> Iterator[Callable[[Phrase], None]]:
    """What shows each phrase; ``status`` gives a line about the microphone, shown on a terminal only."""
    if as_json:
        yield lambda phrase: _json(phrase, notes)
    elif coloured(sys.stdout):
        with _calm(sheet, notes, status) as show:
            yield show
    else:

        def plain(phrase: Phrase) -> None:
            print_lines(phrase_lines(phrase, notes(), sheet=sheet, width=width()))
            sys.stdout.flush()

        yield plain


def phrase_lines(phrase: Phrase, notes: Sequence[StoredNote], *, sheet: bool, width: int) -> list[Line]:
    """A phrase: when and what was said, then its answer, its values with their verdicts, its open items."""
    from gudgeon.reports import Line, note_lines, saying

    said = phrase.text or "(speech that could not be read; its sound is kept)"
    lines = [Line(f"{saying.clock(phrase.start)}  {said}", "heading" if phrase.text else "unsure")]
    if phrase.answer:
        lines.append(Line(f"  {phrase.answer.text}", "good" if phrase.answer.taken else "unsure"))
    if phrase.note and (phrase.entries or phrase.items):
        lines += note_lines(phrase.note, notes, phrase.entries, phrase.items, width=width, sheet=sheet)[1:]
    elif phrase.note and phrase.text and not phrase.answer:
        lines.append(Line("  kept; no value in it", "faint"))
    return lines


def _json(phrase: Phrase, notes: Notes) -> None:
    from gudgeon.cli import shapes

    known = notes()
    row = {"schema": 1, "start": phrase.start, "end": phrase.end, "text": phrase.text, "note": phrase.note.id if phrase.note else None}
    row["answer"] = phrase.answer.text if phrase.answer else None
    row["entries"] = [shapes.entry_json(entry, known) for entry in phrase.entries]
    row["open_items"] = [shapes.item_json(item) for item in phrase.items]
    print_json(row)
    sys.stdout.flush()


@contextmanager
def _calm(sheet: bool, notes: Notes, status: Callable[[], str]) -> Iterator[Callable[[Phrase], None]]:
    from rich.console import Console, Group
    from rich.live import Live
    from rich.text import Text

    console = Console(highlight=False)
    shown: deque[list[Line]] = deque(maxlen=SHOWN)

    def picture() -> Group:
        room = max(4, console.height - 2)
        lines = [line for block in shown for line in block][:room]
        return Group(*(Text(line.text, style=TONES.get(line.tone, "")) for line in lines), Text(status(), style="dim"))

    with Live(get_renderable=picture, console=console, refresh_per_second=4, vertical_overflow="crop") as live:

        def show(phrase: Phrase) -> None:
            shown.appendleft(phrase_lines(phrase, notes(), sheet=sheet, width=console.width))
            live.refresh()

        yield show
