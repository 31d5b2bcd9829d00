"""Forced decoding: how well a given text explains the sound."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from gudgeon.speech.nets import Memory, Net
from gudgeon.speech.tokens import END, START

TOGETHER = 6
"""Texts that are scored in one go: a clip with several teens and -ties took 68 MB more when all its texts were scored at once."""


def step_logs(net: Net, heard: Memory, text: Sequence[int]) -> NDArray[np.float32]:
    """The log probabilities of every token at every step of the text, and at its end: shape (tokens + 1, vocabulary)."""
    scores, _ = net.step(np.array([[START, *text]], np.int64), heard)
    return _logs(scores[0])


def log_odds(net: Net, heard: Memory, texts: Sequence[Sequence[int]]) -> list[float]:
    """The log probability of each text, its end included, given the sound; ``TOGETHER`` at a time, so that many take no more memory than a few."""
    found: list[float] = []
    for first in range(0, len(texts), TOGETHER):
        some = texts[first : first + TOGETHER]
        fed = np.full((len(some), max(len(t) for t in some) + 1), END, np.int64)
        for row, text in enumerate(some):
            fed[row, : len(text) + 1] = (START, *text)
        scores, _ = net.step(fed, heard)
        found += [_sum(_logs(scores[row, : len(text) + 1]), [*text, END]) for row, text in enumerate(some)]
    return found


def share(own: float, other: float) -> float:
    """The odds of the other, 0..1, where these are the log probabilities of both."""
    return 1.0 / (1.0 + float(np.exp(min(own - other, 700.0))))


def _logs(scores: NDArray[np.float32]) -> NDArray[np.float32]:
    steps: NDArray[np.float32] = scores - scores.max(axis=1, keepdims=True)
    steps -= np.log(np.exp(steps).sum(axis=1, keepdims=True))
    return steps


def _sum(logs: NDArray[np.float32], wanted: Sequence[int]) -> float:
    return float(logs[np.arange(len(wanted)), list(wanted)].sum(dtype=np.float64))
