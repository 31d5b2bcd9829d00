"""Forced decoding: how well a given text explains the sound."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import numpy as np
from numpy.typing import NDArray

from gudgeon.speech.nets import Ints, Memory, Net
from gudgeon.speech.tokens import END, START

AT_ONCE = 96
"""Word pieces that are scored in one go, of one text or of several: each takes 0.13 MB for the scores of the whole vocabulary, and what the
network once took it keeps. Long texts are scored alone, which takes no longer, short ones together."""


def step_logs(net: Net, heard: Memory, text: Sequence[int]) -> NDArray[np.float32]:
    """The log probabilities of every token at every step of the text, and at its end: shape (tokens + 1, vocabulary)."""
    scores, _ = net.step(np.array([[START, *text]], np.int64), heard)
    return _logs(scores[0])


def log_odds(net: Net, heard: Memory, texts: Sequence[Sequence[int]]) -> list[float]:
    """The log probability of each text, its end included, given the sound; no more at once than ``AT_ONCE`` tells."""
    found: list[float] = []
    for some in _by_size(texts):
        fed = np.full((len(some), max(len(t) for t in some) + 1), END, np.int64)
        for row, text in enumerate(some):
            fed[row, : len(text) + 1] = (START, *text)
        found += _sums(net, heard, fed, some)
    return found


def share(own: float, other: float) -> float:
    """The odds of the other, 0..1, where these are the log probabilities of both."""
    return 1.0 / (1.0 + float(np.exp(min(own - other, 700.0))))


def _by_size(texts: Sequence[Sequence[int]]) -> Iterator[list[Sequence[int]]]:
    """The texts in their order, as many together as ``AT_ONCE`` has room for, and never none."""
    some: list[Sequence[int]] = []
    for text in texts:
        if some and (len(some) + 1) * (max(map(len, (*some, text))) + 1) > AT_ONCE:
            yield some
            some = []
        some.append(text)
    if some:
        yield some


def _sums(net: Net, heard: Memory, fed: Ints, texts: Sequence[Sequence[int]]) -> list[float]:
    """The sums over what was fed; the scores are let go of before the next are made."""
    scores, _ = net.step(fed, heard)
    return [_sum(_logs(scores[row, : len(text) + 1]), [*text, END]) for row, text in enumerate(texts)]


def _logs(scores: NDArray[np.float32]) -> NDArray[np.float32]:
    steps: NDArray[np.float32] = scores - scores.max(axis=1, keepdims=True)
    steps -= np.log(np.exp(steps).sum(axis=1, keepdims=True))
    return steps


def _sum(logs: NDArray[np.float32], wanted: Sequence[int]) -> float:
    return float(logs[np.arange(len(wanted)), list(wanted)].sum(dtype=np.float64))
