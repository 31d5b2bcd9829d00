"""The simplest way to read a clip: the best word piece at every step."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from gudgeon.domain.sound import SAMPLE_RATE
from gudgeon.speech.nets import Floats, Memory, Net
from gudgeon.speech.tokens import END, START

TOKENS_A_SECOND = 6.5
SPARE_TOKENS = 4
SHORTEST = SAMPLE_RATE // 2


@dataclass(frozen=True, slots=True)
class Decoded:
    """The tokens of one reading with their probabilities; ``cut`` when the reading did not end within its allowance."""

    tokens: tuple[int, ...]
    odds: tuple[float, ...]
    cut: bool = False

    @property
    def confidence(self) -> float:
        """The mean probability of the tokens, 0 when there are none."""
        return sum(self.odds) / len(self.odds) if self.odds else 0.0


def allowance(samples: int) -> int:
    """How many tokens so much sound may hold."""
    return math.ceil(TOKENS_A_SECOND * samples / SAMPLE_RATE) + SPARE_TOKENS


def ready(samples: Floats) -> Floats:
    """The samples as the encoder takes them: float32, in one piece, silence added to what is shorter than half a second."""
    lacking = SHORTEST - len(samples)
    return np.ascontiguousarray(np.pad(samples, (0, lacking)) if lacking > 0 else samples, dtype=np.float32)


def best_of(scores: Floats) -> tuple[int, float]:
    """The token with the best score, and its probability; scores of shape (vocabulary,)."""
    token = int(scores.argmax())
    return token, 1.0 / float(np.exp(scores - scores[token]).sum())


def greedy(net: Net, heard: Memory, most: int) -> Decoded:
    """The best token at every step until the end token; cut after ``most`` tokens."""
    scores, memory = net.step(np.array([[START]], np.int64), heard)
    tokens: list[int] = []
    odds: list[float] = []
    for _ in range(most):
        token, odd = best_of(scores[0, -1])
        if token == END:
            return Decoded(tuple(tokens), tuple(odds))
        tokens.append(token)
        odds.append(odd)
        scores, memory = net.step(np.array([[token]], np.int64), memory)
    return Decoded(tuple(tokens), tuple(odds), cut=True)
