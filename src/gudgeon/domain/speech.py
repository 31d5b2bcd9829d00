"""What a recogniser heard in a clip."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Word:
    """One heard word; start and end in seconds from the clip's start, confidence 0..1; ``estimated`` when the times were worked out, not heard."""

    text: str
    start: float
    end: float
    confidence: float
    estimated: bool = False


@dataclass(frozen=True, slots=True)
class Reading:
    """Another text the same sound may hold, with its odds 0..1."""

    text: str
    odds: float


@dataclass(frozen=True, slots=True)
class Hearing:
    """What one recogniser heard in one clip; an empty text means that speech was there and could not be read."""

    text: str
    confidence: float
    recogniser: str
    words: tuple[Word, ...] = ()
    others: tuple[Reading, ...] = ()
