"""How a live session looks: large on a terminal, one phrase after the other in a pipe or when asked, or JSON lines."""

from __future__ import annotations

import sys
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from typing import TYPE_CHECKING

from gudgeon.cli.show import coloured, print_json, print_lines, tell, width

if TYPE_CHECKING:
    from gudgeon.record import StoredNote
    from gudgeon.reports import Line
    from gudgeon.session import Phrase

Notes = Callable[[], Sequence["StoredNote"]]


class Notices:
    """Notices for the person: to standard error, or onto the screen while it is open; then they are said again when it has closed.

    ``aloud`` speaks a text, while there is a voice.
    """

    def __init__(self) -> None:
        self.aloud: Callable[[str], None] = lambda text: None
        self._show: Callable[[str], None] | None = None
        self._shown: list[str] = []

    def tell(self, text: str) -> None:
        """One notice."""
        if self._show is None:
            tell(text)
            return
        self._shown.append(text)
        self._show(text)

    def warn(self, text: str) -> None:
        """One notice that somebody with his head under the machine should hear too."""
        self.tell(text)
        self.aloud(text)

    @contextmanager
    def on(self, show: Callable[[str], None]) -> Iterator[None]:
        """Meanwhile notices go to ``show``."""
        self._show = show
        try:
            yield
        finally:
            self._show = None
            for text in dict.fromkeys(self._shown):
                tell(text)
            self._shown.clear()


@dataclass(frozen=True)
class Screen:
    """What shows phrases and the words so far; ``typed`` shows the line being typed and is None where the terminal itself does."""

    phrase: Callable[[Phrase], None]
    partial: Callable[[str], None] = lambda text: None
    typed: Callable[[str], None] | None = None


@contextmanager
def screen(*, as_json: bool, plain: bool, sheet: bool, notes: Notes, status: Callable[[], str], notices: Notices) -> Iterator[Screen]:
    """The screen that suits: ``status`` gives a line about the microphone, shown on a terminal only."""
    if as_json:
        yield Screen(lambda phrase: _json(phrase, notes))
    elif plain or not coloured(sys.stdout):
        yield Screen(lambda phrase: _plain(phrase, notes, sheet))
    else:
        from gudgeon.cli.live_panel import Panel

        panel = Panel(status)
        panel.open()
        try:
            with notices.on(panel.notice):
                yield Screen(panel.phrase, panel.partial, panel.typed)
        finally:
            panel.close()


def _plain(phrase: Phrase, notes: Notes, sheet: bool) -> None:
    print_lines(phrase_lines(phrase, notes(), sheet=sheet, width=width()))
    sys.stdout.flush()


def phrase_lines(phrase: Phrase, notes: Sequence[StoredNote], *, sheet: bool, width: int) -> list[Line]:
    """A phrase: when and what was said, then its answer, its values with their verdicts, its open items, and what is asked about it."""
    from gudgeon.reports import Line, note_lines, saying

    said = phrase.text or "(speech that could not be read; its sound is kept)"
    when = "typed" if phrase.typed else saying.clock(phrase.start)
    lines = [Line(f"{when}  {said}", "heading" if phrase.text else "unsure")]
    if phrase.answer:
        lines.append(Line(f"  {phrase.answer.text}", "good" if phrase.answer.taken else "unsure"))
    if phrase.note and (phrase.entries or phrase.items):
        lines += note_lines(phrase.note, notes, phrase.entries, phrase.items, width=width, sheet=sheet)[1:]
    elif phrase.note and phrase.text and not phrase.answer:
        lines.append(Line("  kept; no value in it", "faint"))
    if phrase.question:
        lines.append(Line(f"  ? {phrase.question}", "unsure"))
    return lines


def _json(phrase: Phrase, notes: Notes) -> None:
    from gudgeon.cli import shapes

    known = notes()
    row = {"schema": 1, "start": phrase.start, "end": phrase.end, "text": phrase.text, "note": phrase.note.id if phrase.note else None}
    row["answer"] = phrase.answer.text if phrase.answer else None
    row["question"] = phrase.question or None
    row["typed"] = phrase.typed
    row["entries"] = [shapes.entry_json(entry, known) for entry in phrase.entries]
    row["open_items"] = [shapes.item_json(item) for item in phrase.items]
    print_json(row)
    sys.stdout.flush()
