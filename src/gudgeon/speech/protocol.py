"""What every recogniser offers, whatever stands behind it."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import Protocol, runtime_checkable

from gudgeon.domain import Clip, Hearing


@runtime_checkable
class Recogniser(Protocol):
    """Something that turns clips into heard text."""

    @property
    def name(self) -> str:
        """A short name that is kept with each session, such as ``embedded``."""
        ...

    def hear(self, clips: Iterable[Clip]) -> Iterator[Hearing]:
        """One Hearing a clip, in the order of the clips. Each clip is taken only when its Hearing is asked for, unless the recogniser was made
        to read several at once.

        An empty text means that the clip could not be read. Raises RecogniserFailed when the recogniser gives up.
        """
        ...
