"""Writes sound to disk: FLAC frame by frame, so that what was written can be read at any moment, and whole clips as wav or flac."""

from __future__ import annotations

import os
import wave
from pathlib import Path
from types import TracebackType

import av
import numpy as np
from numpy.typing import NDArray

from gudgeon.domain import SAMPLE_RATE, Failure

Samples = NDArray[np.float32]


class FlacWriter:
    """One FLAC file, 16 kHz, mono, 16 bit; each frame (72 ms) reaches the file system as soon as it is full.

    The file can be read by its owner alone. Raises Failure when it cannot be made or written (folder not writable, disk full).
    """

    def __init__(self, path: Path) -> None:
        self._path = path
        self._written = 0
        self._failed = False
        try:
            path.touch(mode=0o600)
            self._container = av.open(f"file:{path}", "w", format="flac", options={"flush_packets": "1"})
        except OSError as refused:
            raise _not_written(path, refused) from refused
        self._stream = self._container.add_stream("flac", rate=SAMPLE_RATE, layout="mono", format="s16")

    def add(self, samples: Samples) -> None:
        """Appends float32 samples of shape (n,), -1..1."""
        if len(samples) == 0:
            return
        frame = av.AudioFrame.from_ndarray(to_int16(samples)[None, :], format="s16", layout="mono")
        frame.sample_rate = SAMPLE_RATE
        frame.pts = self._written
        self._written += len(samples)
        self._mux(frame)

    def close(self) -> None:
        """Writes what is left and completes the header; after a failure it only lets go of the file."""
        if self._written and not self._failed:
            self._mux(None)
        try:
            self._container.close()
        except OSError as full:
            if not self._failed:
                raise _not_written(self._path, full) from full

    def force_to_disk(self) -> None:
        """Waits until what was written is on the disk itself, safe from a power cut."""
        handle = os.open(self._path, os.O_RDONLY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)

    def _mux(self, frame: av.AudioFrame | None) -> None:
        try:
            for packet in self._stream.encode(frame):
                self._container.mux(packet)
        except OSError as full:
            self._failed = True
            raise _not_written(self._path, full) from full

    def __enter__(self) -> FlacWriter:
        return self

    def __exit__(self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None) -> None:
        self.close()


def to_int16(samples: Samples) -> NDArray[np.int16]:
    """Float samples -1..1 as 16-bit ones; beyond that they are clipped."""
    return np.rint(np.clip(samples, -1.0, 1.0) * 32767).astype(np.int16)


def write_flac(path: str | Path, samples: Samples) -> None:
    """Writes float32 samples (n,), -1..1, 16 kHz, as a FLAC file. Raises Failure when it cannot be written."""
    with FlacWriter(Path(path)) as writer:
        writer.add(samples)


def write_wav(path: str | Path, samples: Samples) -> None:
    """Writes float32 samples (n,), -1..1, 16 kHz, as a 16-bit wav file. Raises Failure when it cannot be written."""
    try:
        with wave.open(str(path), "wb") as out:
            out.setnchannels(1)
            out.setsampwidth(2)
            out.setframerate(SAMPLE_RATE)
            out.writeframes(to_int16(samples).tobytes())
    except OSError as refused:
        raise _not_written(Path(path), refused) from refused


def _not_written(path: Path, why: OSError) -> Failure:
    return Failure(
        f"The sound could not be written to {path}: {why.strerror or why}.",
        kept="What was written before is kept.",
        next_step="Make room on the disk, or choose another folder with --record.",
    )
