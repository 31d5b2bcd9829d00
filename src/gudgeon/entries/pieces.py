"""A very long note, cut where no fact stands, so that the time to understand it grows only with its length."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterator, Sequence
from dataclasses import replace

from gudgeon.domain import Fact, ReadNote

_LONG = 2000
"""Characters of a note, or of a piece of one, that are understood at once."""
_STOPS = (". ", "; ", ", ", " ")


def pieces(note: ReadNote) -> Iterator[ReadNote]:
    """The note itself, or its pieces in order; each has the facts that stand in it, with spans counted from its own start."""
    text, start = note.text, 0
    facts = sorted(note.facts, key=lambda f: f.span)
    starts = [f.span[0] for f in facts]
    while len(text) - start > _LONG:
        end = next((at + len(stop) for stop in _STOPS if (at := text.rfind(stop, start + _LONG // 2, start + _LONG)) > 0), start + _LONG)
        first, last = bisect_right(starts, start - 1), bisect_right(starts, end - 1)
        end = max([end, *(f.span[1] for f in facts[first:last])])
        last = bisect_right(starts, end - 1)
        yield _piece(text[start:end], facts[first:last], start)
        start = end
    yield note if start == 0 else _piece(text[start:], facts[bisect_right(starts, start - 1) :], start)


def _piece(text: str, facts: Sequence[Fact], start: int) -> ReadNote:
    return ReadNote(text, tuple(replace(f, span=(f.span[0] - start, f.span[1] - start)) for f in facts))
