"""Typing beside talking: lines from the keyboard (or a pipe) are handed over one by one, in a thread that never holds anything up."""

from __future__ import annotations

import codecs
import os
import select
import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from threading import Event, Thread
from typing import Any

LOOK_S = 0.2
LONGEST = 2_000
"""Letters of one line; what is typed beyond is left out."""


class LineEditor:
    """Keys go in, whole lines come out; ``line`` is what stands in the line so far. Backspace takes a letter away, Ctrl-U the line."""

    def __init__(self) -> None:
        self._decoder = codecs.getincrementaldecoder("utf-8")("replace")
        self.line = ""

    def keys(self, data: bytes) -> list[str]:
        """Takes what was read from the keyboard; returns the lines that it ended. Arrows and the like do nothing."""
        if data.startswith(b"\x1b"):
            return []
        lines = []
        for letter in self._decoder.decode(data):
            if letter in "\r\n":
                lines.append(self.line)
                self.line = ""
            elif letter in "\x7f\b":
                self.line = self.line[:-1]
            elif letter == "\x15":
                self.line = ""
            elif letter.isprintable() and len(self.line) < LONGEST:
                self.line += letter
        return lines


@contextmanager
def typing(give: Callable[[str], None], *, seen: Callable[[str], None] | None = None) -> Iterator[None]:
    """While it lasts, each line typed is given to ``give``; with ``seen`` each key shows nothing by itself, and it gets the line so far.

    Without a keyboard or a pipe nothing happens.
    """
    keyboard = _descriptor()
    if keyboard is None:
        yield
        return
    restore = _quiet(keyboard) if seen else lambda: None
    over = Event()
    reading = Thread(target=_read, args=(keyboard, give, seen, over), name="gudgeon-keys", daemon=True)
    reading.start()
    try:
        yield
    finally:
        over.set()
        reading.join(2 * LOOK_S)
        restore()


def _read(keyboard: int, give: Callable[[str], None], seen: Callable[[str], None] | None, over: Event) -> None:
    editor = LineEditor()
    while not over.is_set():
        try:
            ready, _, _ = select.select([keyboard], [], [], LOOK_S)
            data = os.read(keyboard, 4096) if ready else b""
        except (OSError, ValueError):
            return
        if ready and not data:
            if editor.line:
                give(editor.line)
            return
        for line in editor.keys(data) if data else ():
            if line.strip():
                give(line)
        if data and seen:
            seen(editor.line)


def _descriptor() -> int | None:
    try:
        return sys.stdin.fileno()
    except (AttributeError, OSError, ValueError):
        return None


def _quiet(keyboard: int) -> Callable[[], Any]:
    """Keys come at once and are not echoed; Ctrl-C still works. Gives what sets the terminal back."""
    try:
        import termios
        import tty

        before = termios.tcgetattr(keyboard)
        tty.setcbreak(keyboard)
    except (ImportError, OSError, termios.error):
        return lambda: None
    return lambda: termios.tcsetattr(keyboard, termios.TCSADRAIN, before)
