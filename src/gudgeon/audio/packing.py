"""Sound made small enough to travel inside a document."""

from __future__ import annotations

import io

import av
import numpy as np
from numpy.typing import NDArray

from gudgeon.audio.writing import to_int16
from gudgeon.domain import SAMPLE_RATE

BITS_PER_SECOND = 32_000
"""4 kB a second: speech is clear, and twenty notes are half a megabyte."""


def mp3(samples: NDArray[np.float32]) -> bytes:
    """Float32 samples (n,), -1..1, 16 kHz, as MP3, which every browser plays."""
    held = io.BytesIO()
    with av.open(held, "w", format="mp3") as container:
        stream = container.add_stream("libmp3lame", rate=SAMPLE_RATE, layout="mono", format="s16p")
        stream.bit_rate = BITS_PER_SECOND
        frame = av.AudioFrame.from_ndarray(to_int16(samples)[None, :], format="s16p", layout="mono")
        frame.sample_rate = SAMPLE_RATE
        container.mux(stream.encode(frame))
        container.mux(stream.encode(None))
    return held.getvalue()
