"""Kept sound for a page: one note's stretch as a wav file with byte ranges, and the height of a session's sound for its strip."""

from __future__ import annotations

import io
import re
import wave
from collections.abc import Iterable
from dataclasses import dataclass
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from gudgeon.audio import cut
from gudgeon.domain import SAMPLE_RATE, MissingThing

RANGE = re.compile(r"bytes=(\d*)-(\d*)$")
MARGIN_S = 0.15
LONGEST_S = 120.0


@dataclass(frozen=True, slots=True)
class Slice:
    """The part of a file that a byte range asks for: first byte, last byte (inclusive) and the file's size."""

    first: int
    last: int
    size: int


def byte_range(header: str | None, size: int) -> Slice | None:
    """What a Range header asks for of a file of ``size`` bytes; the whole file without one, None when it cannot be (status 416)."""
    if not header or not (found := RANGE.match(header)) or not any(found.groups()):
        return Slice(0, size - 1, size)
    first, last = found.groups()
    if not first:
        return Slice(max(size - int(last), 0), size - 1, size) if int(last) else None
    start, end = int(first), min(int(last), size - 1) if last else size - 1
    return Slice(start, end, size) if start <= end and start < size else None


def clip_wav(folder: Path, start: float, end: float) -> bytes:
    """A stretch of kept sound, a breath wider than asked, as 16 kHz 16-bit wav. Raises MissingThing when the sound is gone."""
    if not folder.exists():
        raise MissingThing("The sound of this session is not there any more.", kept="The words are kept.")
    samples = cut(folder, max(start - MARGIN_S, 0.0), min(end, start + LONGEST_S) + MARGIN_S)
    held = io.BytesIO()
    with wave.open(held, "wb") as out:
        out.setnchannels(1)
        out.setsampwidth(2)
        out.setframerate(SAMPLE_RATE)
        out.writeframes(np.rint(np.clip(samples, -1, 1) * 32767).astype("<i2").tobytes())
    return held.getvalue()


def peaks(blocks: Iterable[NDArray[np.float32]], seconds: float, columns: int = 600) -> list[float]:
    """The greatest height of the sound in each of ``columns`` equal parts of it, 0..1; blocks are float32 at 16 kHz."""
    heights = np.zeros(columns, dtype=np.float32)
    total = max(round(seconds * SAMPLE_RATE), 1)
    at = 0
    for block in blocks:
        places = np.minimum((np.arange(at, at + len(block)) * columns) // total, columns - 1)
        np.maximum.at(heights, places, np.abs(block))
        at += len(block)
    return [round(float(height), 3) for height in heights]
