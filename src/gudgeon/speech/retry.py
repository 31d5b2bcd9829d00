"""Speech that reads as nothing, or as something that cannot be right, is tried again with its bounds moved a little."""

from __future__ import annotations

from collections.abc import Callable, Iterator

import numpy as np

from gudgeon.domain.sound import SAMPLE_RATE
from gudgeon.speech.greedy import Decoded
from gudgeon.speech.nets import Floats

Read = Callable[[Floats], Decoded]

FEWEST_TOKENS_A_SECOND = 0.8
LONG_ENOUGH_TO_COUNT = 3.0
LONGEST_PATTERN = 10
PHRASE = 4
MOST_REPEATS, MOST_REPEATS_OF_A_PHRASE = 4, 2
HALVED_FROM = 4.0
QUIET = 0.05
MOVES = ((0.3, 0.3), (-0.2, 0.2), (0.25, 0.0), (0.0, 0.25), (-0.1, 0.0), (0.5, 0.5), (-0.3, -0.1))
"""Seconds of silence to add before and after; negative: to cut away."""


def doubtful(decoded: Decoded, seconds: float) -> bool:
    """True when the reading cannot be right: nothing, never-ending, going round in circles, or far too little for so much sound."""
    if not decoded.tokens or decoded.cut or circling(decoded.tokens):
        return True
    return seconds >= LONG_ENOUGH_TO_COUNT and len(decoded.tokens) < FEWEST_TOKENS_A_SECOND * seconds


def circling(tokens: tuple[int, ...]) -> bool:
    """True when some pattern of tokens comes again more often, in a row, than people say things again."""
    for size in range(1, LONGEST_PATTERN + 1):
        most = MOST_REPEATS if size < PHRASE else MOST_REPEATS_OF_A_PHRASE
        run = 0
        for at in range(size, len(tokens)):
            run = run + 1 if tokens[at] == tokens[at - size] else 0
            if run >= size * most:
                return True
    return False


def read_with_patience(samples: Floats, read: Read) -> Decoded | None:
    """The first reading that is not doubtful, over the clip as it is, then with moved bounds; None when all are."""
    for moved in _moved(samples):
        decoded = read(moved)
        if not doubtful(decoded, len(samples) / SAMPLE_RATE):
            return decoded
    return None


def halves(samples: Floats) -> tuple[Floats, Floats] | None:
    """The two parts of a clip on either side of the quietest moment in its middle third; None when it is too short for that."""
    if len(samples) < HALVED_FROM * SAMPLE_RATE:
        return None
    step = round(QUIET * SAMPLE_RATE)
    steps = range(len(samples) // 3, 2 * len(samples) // 3, step)
    quietest = min(steps, key=lambda at: float(np.square(samples[at : at + step]).mean())) + step // 2
    return samples[:quietest], samples[quietest:]


def _moved(samples: Floats) -> Iterator[Floats]:
    yield samples
    for before, after in MOVES:
        moved = _bounds(samples, before, after)
        if len(moved) >= SAMPLE_RATE // 4:
            yield moved


def _bounds(samples: Floats, before: float, after: float) -> Floats:
    """Silence added at either end, or sound cut away where the seconds are negative."""
    first, last = round(before * SAMPLE_RATE), round(after * SAMPLE_RATE)
    kept = samples[max(0, -first) : len(samples) - max(0, -last)]
    return np.pad(kept, (max(0, first), max(0, last)))
