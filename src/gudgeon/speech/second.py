"""A second recogniser for what the first is not sure of: both readings are kept, neither is preferred by itself."""

from __future__ import annotations

from collections import deque
from collections.abc import Iterable, Iterator
from dataclasses import replace

from gudgeon.domain import Clip, Hearing, Reading
from gudgeon.speech.protocol import Recogniser

UNSURE = 0.6
"""A reading whose confidence is below this is read again; good notes go down to about 0.55."""


class WithSecond:
    """Reads clips with ``first``; those that it could not read, has other readings for, or was unsure of, are read by ``second`` too.

    The text stays the first one's. What the second heard is among ``others``, with its own confidence as odds, unless it says the same
    words. Speech that the first could not read stays marked so.
    """

    def __init__(self, first: Recogniser, second: Recogniser) -> None:
        self._first, self._second = first, second

    @property
    def name(self) -> str:
        """Both names."""
        return f"{self._first.name}, then {self._second.name}"

    def hear(self, clips: Iterable[Clip]) -> Iterator[Hearing]:
        """One Hearing a clip, in order. Raises RecogniserFailed when either gives up."""
        passed: deque[Clip] = deque()
        for hearing in self._first.hear(_remembered(clips, passed)):
            clip = passed.popleft()
            yield self._with_second(hearing, clip) if unsure(hearing) else hearing

    def _with_second(self, hearing: Hearing, clip: Clip) -> Hearing:
        second = next(iter(self._second.hear([clip])))
        if not second.text or _plain(second.text) == _plain(hearing.text):
            return hearing
        others = [other for other in hearing.others if _plain(other.text) != _plain(second.text)]
        return replace(hearing, others=(*others, Reading(second.text, second.confidence)))


def unsure(hearing: Hearing) -> bool:
    """Whether a reading should be read again."""
    return not hearing.text or bool(hearing.others) or hearing.confidence < UNSURE


def _remembered(clips: Iterable[Clip], passed: deque[Clip]) -> Iterator[Clip]:
    for clip in clips:
        passed.append(clip)
        yield clip


def _plain(text: str) -> str:
    return " ".join("".join(c if c.isalnum() or c in "./" else " " for c in text.lower()).strip(". ").split())
