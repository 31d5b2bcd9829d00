"""A stretch of sound on its way to a recogniser."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

SAMPLE_RATE = 16_000
"""Samples a second of every Clip: 16 kHz, one channel."""


@dataclass(frozen=True, eq=False)
class Clip:
    """One stretch of speech: float32 samples of shape (n,), -1..1, at SAMPLE_RATE; start and end in seconds from the recording's start."""

    samples: NDArray[np.float32]
    start: float
    end: float

    @property
    def seconds(self) -> float:
        return len(self.samples) / SAMPLE_RATE
