"""Words as they come, for recognisers that give them while somebody speaks: beside the live way, in a thread of its own, and only for the eye."""

from __future__ import annotations

from collections import deque
from collections.abc import Callable, Iterable, Iterator
from queue import SimpleQueue
from threading import Thread
from typing import Protocol

from gudgeon.domain import GudgeonError
from gudgeon.session.tools import Samples

BEFORE = 5
"""Blocks from before the gate opened that are read too: half a second at a microphone."""
MOST_WAITING = 50
"""Blocks that may wait; a computer that cannot keep up shows no words so far, and loses nothing by it."""


class UnderWay(Protocol):
    """A phrase that is being read while it runs."""

    def add(self, samples: Samples) -> str: ...


class WordsSoFar:
    """Feeds the sound of an open gate to a phrase of the recogniser and shows its words whenever they change."""

    def __init__(self, is_open: Callable[[], bool], begin: Callable[[], UnderWay], show: Callable[[str], None]) -> None:
        self._is_open, self._begin, self._show = is_open, begin, show
        self._queue: SimpleQueue[tuple[Samples, bool] | None] = SimpleQueue()
        self._thread = Thread(target=self._run, name="gudgeon-words", daemon=True)
        self._thread.start()

    def through(self, blocks: Iterable[Samples]) -> Iterator[Samples]:
        """The blocks, unchanged and at once; what is in them is read aside."""
        for block in blocks:
            if self._queue.qsize() < MOST_WAITING:
                self._queue.put((block, self._is_open()))
            yield block

    def close(self) -> None:
        """Ends the thread."""
        self._queue.put(None)
        self._thread.join(5)

    def _run(self) -> None:
        before: deque[Samples] = deque(maxlen=BEFORE)
        phrase: UnderWay | None = None
        shown = ""
        try:
            while (came := self._queue.get()) is not None:
                block, is_open = came
                if not is_open:
                    phrase, shown = None, ""
                    before.append(block)
                    continue
                if phrase is None:
                    phrase = self._begin()
                    for earlier in before:
                        phrase.add(earlier)
                    before.clear()
                words = phrase.add(block)
                if words and words != shown:
                    shown = words
                    self._show(words)
        except GudgeonError:
            return  # the phrase itself is read by the live way, which tells what is wrong
