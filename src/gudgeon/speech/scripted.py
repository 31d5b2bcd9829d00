"""A recogniser that says what it was told to say: for tests and for trying the house without a model."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from gudgeon.domain import Clip, Hearing


class Scripted:
    """Hands out the given texts (or whole Hearings) in order, one a clip; clips after the last text get an empty Hearing.

    The clips it was given are kept in ``clips``, so that a test can look at them.
    """

    name = "scripted"

    def __init__(self, texts: Iterable[str | Hearing], *, confidence: float = 0.9) -> None:
        self._texts = iter(texts)
        self._confidence = confidence
        self.clips: list[Clip] = []

    def hear(self, clips: Iterable[Clip]) -> Iterator[Hearing]:
        """One Hearing a clip; sound is not looked at."""
        for clip in clips:
            self.clips.append(clip)
            text = next(self._texts, "")
            yield text if isinstance(text, Hearing) else Hearing(text=text, confidence=self._confidence if text else 0.0, recogniser=self.name)
