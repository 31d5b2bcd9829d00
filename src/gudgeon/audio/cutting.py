"""Reads one stretch of sound back, from kept segments or from any recording."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from gudgeon.audio.decoding import decode
from gudgeon.audio.keeping import segments
from gudgeon.domain import SAMPLE_RATE, BadInput, MissingThing, SoundUnreadable

Samples = NDArray[np.float32]


def cut(kept: str | Path, start: float, end: float) -> Samples:
    """The stretch from ``start`` to ``end`` (seconds) as float32 samples (n,), 16 kHz; shorter when the sound ends before.

    ``kept`` is a folder written by ``Keeper`` or any recording; of a folder only the segments that are touched are opened, and a
    segment that is gone or damaged reads as silence. Raises BadInput when the stretch is none, MissingThing when the sound is not there
    (removed, or the stretch lies behind its end), SoundUnreadable when the recording cannot be read.
    """
    first, last = round(start * SAMPLE_RATE), round(end * SAMPLE_RATE)
    if not 0 <= first < last:
        raise BadInput(f"From {start:g} s to {end:g} s is no stretch of sound.")
    path = Path(kept)
    parts = list(_kept_parts(path, first, last) if path.is_dir() else _parts(path, 0, first, last))
    if not parts:
        raise MissingThing(f"The sound from {start:.1f} s to {end:.1f} s is not in {path}.", kept="The words are kept in the record.")
    stretch = np.zeros(max(at + len(part) for at, part in parts) - first, dtype=np.float32)
    for at, part in parts:
        stretch[at - first : at - first + len(part)] = part
    return stretch


def _kept_parts(folder: Path, first: int, last: int) -> Iterator[tuple[int, Samples]]:
    known = segments(folder)
    following = [start for start, _ in known[1:]] + [last]
    for (start, path), until in zip(known, following, strict=True):
        if start < last and until > first:
            try:
                yield from _parts(path, start, first, min(last, until))
            except SoundUnreadable:
                continue


def _parts(path: Path, at: int, first: int, last: int) -> Iterator[tuple[int, Samples]]:
    """(first sample, samples) of the blocks of a file that fall in the stretch; the file's own first sample is ``at``."""
    for block in decode(path):
        if at >= last:
            return
        low, high = max(first - at, 0), min(last - at, len(block))
        if low < high:
            yield at + low, block[low:high]
        at += len(block)
