"""A live session on a terminal, to be read from across the bench: the last note first, its value in large figures, its verdict in words.

``picture`` makes the rows, ``Panel`` paints only those that changed, each in its place, so that nothing flickers, also over a slow line.
"""

from __future__ import annotations

import shutil
import sys
from collections import deque
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from functools import cache
from importlib import resources
from textwrap import wrap
from threading import Event, Lock, Thread
from typing import TYPE_CHECKING, TextIO

if TYPE_CHECKING:
    from gudgeon.domain import Verdict
    from gudgeon.record import StoredEntry
    from gudgeon.session import Phrase

STYLES = {"bold": "\x1b[1m", "bad": "\x1b[1;31m", "unsure": "\x1b[33m", "good": "\x1b[32m", "faint": "\x1b[2m", "plain": ""}
MARKS = {"within": ("✓", "good"), "over": ("▲", "bad"), "under": ("▼", "bad"), "unlikely": ("✖", "bad"), "unit not said": ("?", "unsure")}
OTHER_MARK = ("–", "plain")
EARLIER = 12
"""Phrases that are remembered for the lower part."""
LOOK_S = 0.5
"""How often the level and the like are looked at."""
MOST_WORDS = 3
"""Lines that the words of the last note may take."""

Row = tuple[str, str]
"""A row's text and its style."""


@dataclass
class View:
    """What the panel shows."""

    last: Phrase | None = None
    earlier: deque[Row] = field(default_factory=lambda: deque(maxlen=EARLIER))
    notice: str = ""
    partial: str = ""
    typed: str = ""

    def take(self, phrase: Phrase) -> None:
        """The phrase becomes the last one; the one before goes to the lower part."""
        if self.last is not None:
            self.earlier.appendleft(one_row(self.last))
        self.last, self.partial = phrase, ""


def picture(view: View, status: str, *, width: int, height: int) -> list[Row]:
    """The rows of the screen, from the top, at most ``height`` of them and ``width`` wide."""
    bottom = [(f"! {view.notice}", "unsure")] if view.notice else []
    bottom += [(f"… {view.partial}"[-width:], "faint")] if view.partial else []
    bottom += [(f"> {view.typed}"[-width:], "plain")]
    rows: list[Row] = [(status, "faint"), ("", "plain")]
    rows += _last_rows(view.last, width) if view.last else [("Listening. Speak, or type a line.", "bold")]
    rows += [("", "plain"), ("─" * width, "faint"), *view.earlier] if view.earlier else []
    room = max(1, height - len(bottom))
    rows = [(text[:width], style) for text, style in rows[:room]]
    return [*rows, *[("", "plain")] * (room - len(rows)), *((text[:width], style) for text, style in bottom)]


def _last_rows(phrase: Phrase, width: int) -> list[Row]:
    words = phrase.text or "Speech that could not be read; its sound is kept."
    rows = [(line, "bold" if phrase.text else "unsure") for line in wrap(words, width)[:MOST_WORDS]]
    values = _values(phrase)
    for stored, verdict in values[:1]:
        rows += [("", "plain"), *_value_rows(stored, verdict, width)]
    for stored, verdict in values[1:3]:
        rows.append((f"{_mark(verdict)[0]} {stored.entry.part or 'part not named'}: {verdict.of}  {verdict.code.upper()}", _mark(verdict)[1]))
    for reason in dict.fromkeys(finding.reason for stored in phrase.entries for finding in stored.judgement.findings):
        rows += [(line, "unsure") for line in wrap(f"! {reason}", width, subsequent_indent="  ")[:2]]
    rows += [(line, "plain") for item in phrase.items for line in wrap(f"{item.item.kind}: {item.item.text}", width)[:2]]
    if phrase.question:
        rows += [("", "plain"), *((line, "unsure") for line in wrap(f"? {phrase.question}", width))]
    if phrase.answer:
        rows += [("", "plain"), *((line, "good" if phrase.answer.taken else "unsure") for line in wrap(phrase.answer.text, width))]
    if phrase.note and phrase.text and not (values or phrase.items or phrase.answer or phrase.entries):
        rows.append(("kept; no value in it", "faint"))
    if values:
        rows.append(("A comparison: the maker's manual decides.", "faint"))
    return rows


def _values(phrase: Phrase) -> Sequence[tuple[StoredEntry, Verdict]]:
    from gudgeon.session import said_now

    return said_now(phrase)


def _value_rows(stored: StoredEntry, verdict: Verdict, width: int) -> list[Row]:
    """The first value: its figure large where there is room, its unit, its verdict and why."""
    figure, _, unit = verdict.of.partition(" ")
    mark, style = _mark(verdict)
    name = " ".join(word for word in (stored.entry.place, stored.entry.part, stored.entry.fastener) if word) or "part not named"
    beside = ["", unit, "", f"{mark} {verdict.code.upper()}", ""]
    large = large_figure(figure)
    rows: list[Row] = [(name, "plain")]
    if large and len(large[0]) + 3 + max(map(len, beside)) <= width:
        rows += [(f"{row}   {text}".rstrip(), style) for row, text in zip(large, beside, strict=True)]
    else:
        rows.append((f"{mark} {verdict.of}  {verdict.code.upper()}", style))
    return rows + [(line, "plain") for line in wrap(verdict.reason, width)[:3]]


def large_figure(figure: str) -> list[str]:
    """A figure five rows high; empty when it has signs that have no large form."""
    shapes = _shapes()
    if not figure or any(sign not in shapes for sign in figure):
        return []
    return ["  ".join(shapes[sign][row] for sign in figure) for row in range(5)]


@cache
def _shapes() -> dict[str, list[str]]:
    lines = resources.files("gudgeon.cli").joinpath("tables/big_figures.txt").read_text(encoding="utf-8").splitlines()
    return {line[0]: [row.replace("#", "██").replace(".", "  ") for row in line[2:].split()] for line in lines}


def one_row(phrase: Phrase) -> Row:
    """An earlier phrase in one row: when, what, and its values with their verdicts."""
    from gudgeon.reports import saying

    when = "typed" if phrase.typed else saying.clock(phrase.start)
    values = _values(phrase)
    judged = "; ".join(f"{_mark(verdict)[0]} {verdict.of} {verdict.code}" for _, verdict in values)
    said = phrase.text or "(could not be read)"
    unsure = any(_mark(verdict)[1] != "good" for _, verdict in values) or not phrase.text
    return f"{when:>6}  {judged + '  ' if judged else ''}{said}", "plain" if unsure and values else "faint"


def _mark(verdict: Verdict) -> tuple[str, str]:
    return MARKS.get(verdict.code, OTHER_MARK)


class Panel:
    """Paints the view on a terminal until it is closed. ``status`` is asked twice a second; rows that stay the same are not written again."""

    def __init__(self, status: Callable[[], str], out: TextIO | None = None) -> None:
        self.view = View()
        self._status, self._out = status, out or sys.stdout
        self._painted: list[Row] = []
        self._size: tuple[int, ...] = (0, 0)
        self._lock, self._over = Lock(), Event()
        self._ticker = Thread(target=self._tick, name="gudgeon-panel", daemon=True)

    def open(self) -> None:
        """Takes the whole terminal; what stood on it comes back at the end."""
        self._out.write("\x1b[?1049h\x1b[?25l")
        self.paint()
        self._ticker.start()

    def close(self) -> None:
        """Gives the terminal back."""
        self._over.set()
        self._ticker.join(2 * LOOK_S)
        with self._lock:
            self._out.write("\x1b[?25h\x1b[?1049l")
            self._out.flush()

    def phrase(self, phrase: Phrase) -> None:
        """Shows a phrase as the last one."""
        with self._lock:
            self.view.take(phrase)
        self.paint()

    def notice(self, text: str) -> None:
        """Shows a notice until the next one."""
        self.view.notice = text
        self.paint()

    def partial(self, text: str) -> None:
        """Shows the words so far of what is being said."""
        self.view.partial = text
        self.paint()

    def typed(self, text: str) -> None:
        """Shows the line that is being typed."""
        self.view.typed = text
        self.paint()

    def paint(self) -> None:
        """Writes the rows that changed, in one go."""
        with self._lock:
            width, height = size = tuple(shutil.get_terminal_size((80, 24)))
            rows = picture(self.view, self._status(), width=width, height=height)
            out = ""
            if size != self._size:
                self._painted, self._size, out = [], size, "\x1b[2J"
            for at, row in enumerate(rows):
                if at >= len(self._painted) or self._painted[at] != row:
                    text, style = row
                    start = STYLES[style]
                    out += f"\x1b[{at + 1};1H{start}{text}{chr(27) + '[0m' if start else ''}\x1b[K"
            self._painted = rows
            if out:
                self._out.write(out)
                self._out.flush()

    def _tick(self) -> None:
        while not self._over.wait(LOOK_S):
            self.paint()
