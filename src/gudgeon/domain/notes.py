"""A note: one stretch of speech, or one typed line."""

from __future__ import annotations

from dataclasses import dataclass

from gudgeon.domain.speech import Reading


@dataclass(frozen=True, slots=True)
class Note:
    """``start`` and ``end`` are seconds from the start of the recording (None for a typed note).

    ``unheard`` marks speech that no try could read: its text is empty and its sound is kept.
    """

    text: str
    start: float | None = None
    end: float | None = None
    confidence: float | None = None
    unheard: bool = False
    by: str | None = None
    others: tuple[Reading, ...] = ()
