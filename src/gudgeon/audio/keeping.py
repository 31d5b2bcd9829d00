"""Keeps the sound while it streams through: short FLAC segments, each named by the sample at which it starts."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from pathlib import Path
from types import TracebackType

import numpy as np
from numpy.typing import NDArray

from gudgeon.audio.decoding import decode
from gudgeon.audio.writing import FlacWriter
from gudgeon.domain import SAMPLE_RATE, Failure, SoundUnreadable

Samples = NDArray[np.float32]

SEGMENT_S = 30.0


class Keeper:
    """Writes sound into ``folder`` as ``<first sample, ten digits>.flac`` segments of ``segment_s`` seconds.

    A kill at any moment leaves all but the last tenth of a second readable. On a folder that already holds sound it carries on
    at its end, ``seconds``, where a kill may have left it. With ``durable`` each second of sound is forced to the disk, so that a
    power cut loses no more than a second either: for a microphone, whose sound is nowhere else. Raises Failure when the folder or a
    segment cannot be written.
    """

    def __init__(self, folder: str | Path, *, segment_s: float = SEGMENT_S, durable: bool = False) -> None:
        self._folder = Path(folder)
        self._size = round(segment_s * SAMPLE_RATE)
        self._writer: FlacWriter | None = None
        self._in_segment = 0
        self._durable = durable
        self._not_forced = 0
        try:
            self._folder.mkdir(parents=True, exist_ok=True, mode=0o700)
        except OSError as refused:
            raise Failure(
                f"The folder for the sound, {self._folder}, cannot be made: {refused.strerror}.",
                next_step="Choose another folder with --record.",
            ) from refused
        self._at = kept_samples(self._folder)

    @property
    def seconds(self) -> float:
        """How much sound is kept, in seconds."""
        return self._at / SAMPLE_RATE

    def through(self, blocks: Iterable[Samples]) -> Iterator[Samples]:
        """Each block is kept, then passed on."""
        for block in blocks:
            self.add(block)
            yield block

    def add(self, block: Samples) -> None:
        """Appends float32 samples (n,), -1..1, 16 kHz."""
        while len(block):
            if self._writer is None:
                self._writer = self._next_segment()
            part, block = block[: self._size - self._in_segment], block[self._size - self._in_segment :]
            self._writer.add(part)
            self._at += len(part)
            self._in_segment += len(part)
            self._not_forced += len(part)
            if self._durable and self._not_forced >= SAMPLE_RATE:
                self._writer.force_to_disk()
                self._not_forced = 0
            if self._in_segment == self._size:
                self.close()

    def close(self) -> None:
        """Completes the open segment; more sound may follow in a new one."""
        writer, self._writer, self._in_segment = self._writer, None, 0
        if writer is not None:
            writer.close()

    def _next_segment(self) -> FlacWriter:
        return FlacWriter(self._folder / f"{self._at:010d}.flac")

    def __enter__(self) -> Keeper:
        return self

    def __exit__(self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None) -> None:
        self.close()


def segments(folder: Path) -> list[tuple[int, Path]]:
    """The segments kept in a folder, as (first sample, path), in order."""
    return sorted((int(p.stem), p) for p in folder.glob("*.flac") if p.stem.isdigit())


def kept_samples(folder: Path) -> int:
    """How many samples can be read back from the folder, up to the end of its last readable segment."""
    for start, path in reversed(segments(folder)):
        try:
            return start + sum(map(len, decode(path)))
        except SoundUnreadable:
            continue
    return 0


def kept_seconds(folder: str | Path) -> float:
    """How much sound can be read back from the folder, in seconds."""
    return kept_samples(Path(folder)) / SAMPLE_RATE
