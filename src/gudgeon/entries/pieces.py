"""A very long note, cut where no fact stands, so that the time to understand it grows only with its length."""

from __future__ import annotations

import re
from bisect import bisect_right
from collections.abc import Iterator, Sequence
from dataclasses import replace

from gudgeon.domain import Fact, ReadNote

_LONG = 2000
"""Characters of a note, or of a piece of one, that are understood at once."""
_TWO = 2
_STOP = re.compile(r"[.;] +(?=\S)")
_SAME = re.compile(r"\b(?:same|likewise|ditto|identical)\b", re.IGNORECASE)
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


def parted(note: ReadNote) -> Iterator[ReadNote]:
    """A note cut behind a sentence that says "the same" between sentences with values: "left 140 Nm. Right the same. Rears: 150 Nm"."""
    facts, start = sorted(note.facts, key=lambda f: f.span), 0
    torques = [f.span[0] for f in facts if f.kind in {"torque", "measure"}]
    sizes = [f.span[0] for f in facts if f.kind == "measure"]
    cuts = [m.end() for m in _STOP.finditer(note.text)] if torques and _SAME.search(note.text) else []
    for first, cut in zip((0, *cuts), (*cuts, len(note.text)), strict=True):
        said = _SAME.search(note.text, first, cut)
        own = [t for t in torques if first <= t < cut and said and t < said.start()]  # "Left arm 14 Nm, right ditto. Collar 4 Nm"
        apart = said and own and len(own) == sum(first <= t < cut for t in torques) and any(not first <= t < cut for t in torques)
        sized = said and not any(first <= t < cut for t in torques) and any(t >= cut for t in sizes)  # "rail, right: same. Belt sag 18 mm"
        if not (apart or sized) and (not said or any(first <= t < cut for t in torques) or not any(t < first for t in torques)):
            continue
        alone = len(note.text[first:cut].split()) < _TWO
        for end in (cut,) if alone else (first, cut):
            if start < end < len(note.text) and not any(f.span[0] < end < f.span[1] for f in facts):
                yield _piece(note.text[start:end], [f for f in facts if start <= f.span[0] < end], start)
                start = end
    yield note if start == 0 else _piece(note.text[start:], [f for f in facts if f.span[0] >= start], start)


def _piece(text: str, facts: Sequence[Fact], start: int) -> ReadNote:
    return ReadNote(text, tuple(replace(f, span=(f.span[0] - start, f.span[1] - start)) for f in facts))
