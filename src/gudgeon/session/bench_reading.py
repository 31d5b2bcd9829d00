"""Known lines read aloud at the bench: what was heard is compared with them, the noise is measured, and there is advice."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from gudgeon.domain import SAMPLE_RATE, Clip
from gudgeon.notes import Token, read_tokens
from gudgeon.units import UnitWords

Samples = NDArray[np.float32]

FRAME = SAMPLE_RATE // 20
SOFT_DB, LOUD_PEAK, NEAR_NOISE_DB = -38.0, 0.99, 15.0
MANY_WORD_ERRORS = 0.15


@dataclass(frozen=True, slots=True)
class Compared:
    """Words and figures that were to be said, and how many of either are not as said (put in, left out, exchanged)."""

    words: int
    word_errors: int
    figures: int
    figure_errors: int

    def __add__(self, other: Compared) -> Compared:
        return Compared(
            self.words + other.words,
            self.word_errors + other.word_errors,
            self.figures + other.figures,
            self.figure_errors + other.figure_errors,
        )


@dataclass(frozen=True, slots=True)
class Levels:
    """Decibels below full scale of what lies between the speech and of the speech, and the highest sample, 0..1."""

    noise_db: float
    speech_db: float
    peak: float

    @property
    def above_noise_db(self) -> float:
        """How far the speech stands above the noise."""
        return self.speech_db - self.noise_db


def compare(said: str, heard: str, units: UnitWords) -> Compared:
    """One line beside what was heard of it; "25 Nm" and "twenty five newton metres" are the same."""
    a, b = list(_parts(said, units)), list(_parts(heard, units))
    errors = [part[0] == "#" for part in _differing(a, b)]
    figures = sum(part[0] == "#" for part in a)
    return Compared(len(a) - figures, errors.count(False), figures, errors.count(True))


def levels(sound: Samples, clips: Sequence[Clip]) -> Levels:
    """How loud the noise and the speech are: medians of 50 ms stretches outside and inside of the clips."""
    inside = np.zeros(len(sound), bool)
    for clip in clips:
        inside[round(clip.start * SAMPLE_RATE) : round(clip.end * SAMPLE_RATE)] = True
    whole = len(sound) // FRAME * FRAME
    power = np.square(sound[:whole].reshape(-1, FRAME)).mean(axis=1)
    speech = inside[:whole].reshape(-1, FRAME).mean(axis=1) > 0.5
    return Levels(_decibels(power[~speech]), _decibels(power[speech]), float(np.abs(sound).max(initial=0.0)))


def advice(compared: Compared, measured: Levels, unheard: int) -> list[str]:
    """What to try, the weightiest first; one kind word when nothing is wrong."""
    found = []
    if unheard:
        found.append(f"{unheard} line{'s were' if unheard > 1 else ' was'} not heard at all: is it the right microphone, and is it switched on?")
    if measured.peak >= LOUD_PEAK:
        found.append("The sound is cut off at its loudest: turn the microphone down, or hold it a hand's width further away.")
    if measured.speech_db < SOFT_DB:
        found.append("Your voice is faint: bring the microphone nearer to your mouth, or turn it up.")
    if measured.above_noise_db < NEAR_NOISE_DB:
        found.append("The noise is nearly as loud as your voice: a microphone on a headset or collar helps most, or wait until the noise is over.")
    if compared.figure_errors:
        found.append('Say figures digit by digit where they matter ("one three", "three zero"), and pause before and after them.')
    if compared.word_errors > MANY_WORD_ERRORS * max(1, compared.words):
        found.append("Many words were misheard: speak a little slower, and load your spec sheet, whose names are then heard better.")
    return found or ["This microphone does well here."]


def _parts(text: str, units: UnitWords) -> Iterator[str]:
    """Words as they are, figures and threads with a # before them, units by their one name."""
    for token in read_tokens(text, units):
        if token.kind != "punct":
            yield _part(token)


def _part(token: Token) -> str:
    if token.thread:
        return f"#{token.thread.name}"
    if token.figure:
        return f"#{token.figure.value:g}"
    return token.unit.unit or token.norm if token.unit else token.norm


def _differing(a: Sequence[str], b: Sequence[str]) -> list[str]:
    """The parts of ``a`` that are not in ``b`` in their place, and those of ``b`` that were put in, over the shortest way from one to the other."""
    rows = [list(range(len(b) + 1))]
    for i, part in enumerate(a, 1):
        rows.append([i])
        for j, other in enumerate(b, 1):
            rows[i].append(min(rows[i - 1][j] + 1, rows[i][j - 1] + 1, rows[i - 1][j - 1] + (part != other)))
    return [x for x in _way_back(a, b, rows) if x]


def _way_back(a: Sequence[str], b: Sequence[str], rows: Sequence[Sequence[int]]) -> Iterator[str]:
    i, j = len(a), len(b)
    while i or j:
        if i and j and rows[i][j] == rows[i - 1][j - 1] + (a[i - 1] != b[j - 1]):
            yield a[i - 1] if a[i - 1] != b[j - 1] else ""
            i, j = i - 1, j - 1
        elif i and rows[i][j] == rows[i - 1][j] + 1:
            yield a[i - 1]
            i -= 1
        else:
            yield b[j - 1]
            j -= 1


def _decibels(power: NDArray[np.float32]) -> float:
    return float(10 * np.log10(max(float(np.median(power)) if len(power) else 0.0, 1e-10)))
