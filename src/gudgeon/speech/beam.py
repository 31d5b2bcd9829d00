"""Several readings side by side, so that a likely phrase can win over a word that sounds alike."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from gudgeon.speech.bias import Bias, Place
from gudgeon.speech.greedy import Decoded
from gudgeon.speech.nets import Floats, Memory, Net
from gudgeon.speech.tokens import END, START

WIDTH = 4
BEST_OF_EACH = 8
WORTH_A_LOOK = 6.0
"""A phrase's token is looked at when its log probability is no more than this below the best one's."""
OUT_OF_THE_RUNNING = 16.0
"""So far below the best one no token comes among the eight best that matter; this only saves sorting the whole vocabulary."""
SEEN_EARLY, UNSURE_EARLY = 4, 0.65
"""A narrow reading whose best has, from so many tokens on, a mean probability below this seldom ends as a sure one: 1 of 7 did, and 30 of 33 of the
unsure ones were seen so, most of them before a quarter of their tokens (40 notes at 5 dB)."""


@dataclass(frozen=True, slots=True)
class Open:
    """A reading on its way: its tokens with their log probabilities, their sum, and its place among the phrases."""

    tokens: tuple[int, ...]
    logs: tuple[float, ...]
    total: float
    place: Place

    @property
    def score(self) -> float:
        return self.total + self.place.bonus

    def decoded(self, *, cut: bool = False) -> Decoded:
        """As a finished reading; the end token is left out."""
        said = [(t, log) for t, log in zip(self.tokens, self.logs, strict=True) if t != END]
        return Decoded(tuple(t for t, _ in said), tuple(float(np.exp(log)) for _, log in said), cut)


def beam(net: Net, heard: Memory, most: int, bias: Bias, *, width: int = WIDTH, give_up: bool = False) -> Decoded:
    """The reading with the best sum of log probabilities and phrase bonuses, among ``width`` kept at every step.

    It ends when the best of all readings has come to its end, or is cut after ``most`` tokens; with ``give_up`` it is cut as soon as it is unsure.
    """
    scores, memory = net.step(np.array([[START]], np.int64), heard)
    open_readings = [Open((), (), 0.0, bias.start())]
    ended: list[Open] = []
    for _ in range(most):
        ranked = _continued(open_readings, scores[:, -1], bias)[: width + len(ended) + 1]
        if ranked[0][1].tokens[-1] == END:
            ended.append(ranked[0][1])
            break
        ended += [r for _, r in ranked[:width] if r.tokens[-1] == END]
        going = [(row, r) for row, r in ranked if r.tokens[-1] != END][:width]
        open_readings = [r for _, r in going]
        if give_up and len(open_readings[0].tokens) >= SEEN_EARLY and open_readings[0].decoded().confidence < UNSURE_EARLY:
            return open_readings[0].decoded(cut=True)
        scores, memory = net.step(np.array([[r.tokens[-1]] for r in open_readings], np.int64), memory.rows([row for row, _ in going]))
    else:
        if not ended:
            return open_readings[0].decoded(cut=True)
    return max(ended, key=lambda r: r.score).decoded()


def _continued(readings: Sequence[Open], scores: Floats, bias: Bias) -> list[tuple[int, Open]]:
    """Every reading with every next token worth a look, best first, each with the row it came from."""
    logs = scores - scores.max(axis=1, keepdims=True)
    logs -= np.log(np.exp(logs).sum(axis=1, keepdims=True))
    found = [
        (row, Open((*r.tokens, token), (*r.logs, log), r.total + log, bias.after(r.place, token)))
        for row, r in enumerate(readings)
        for token, log in _worth_a_look(logs[row], bias, r.place)
    ]
    return sorted(found, key=lambda f: f[1].score, reverse=True)


def _worth_a_look(logs: Floats, bias: Bias, place: Place) -> Iterator[tuple[int, float]]:
    most = logs.max()
    running = np.flatnonzero(logs > most - OUT_OF_THE_RUNNING)
    best = running[np.argpartition(logs[running], -BEST_OF_EACH)[-BEST_OF_EACH:]] if len(running) > BEST_OF_EACH else running
    picked = {int(t) for t in best}
    ahead = bias.ahead(place)
    if len(ahead):
        picked |= {int(t) for t in ahead[logs[ahead] > most - WORTH_A_LOOK]}
    for token in sorted(picked):
        yield token, float(logs[token])
