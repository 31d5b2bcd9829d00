"""Sound that never came: a stream that stood still goes in, one whose times are right comes out, with silence where sound is missing.

A computer that slept, a program that was stopped, a microphone that was away: sound comes again, and the seconds between may be nowhere. Put
together as if nothing had happened, words from before would run into words from after, and every later time would be too early.
"""

from __future__ import annotations

import time
from collections.abc import Iterable, Iterator, Sequence
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from gudgeon.domain import SAMPLE_RATE

Samples = NDArray[np.float32]

HOLE_S = 1.0
"""How much later than due a block must come for sound to be looked for that never came."""
SETTLE_S, CATCHES_UP_S, HELD_S = 1.0, 0.1, 10.0
"""How long it is waited for what was only late: until lateness has not shrunk by a tenth of a second for one second, and ten at most. A sound
server that stood still gives all of it in one go; a busy computer makes it up bit by bit."""
LEAST_S = 1.0
"""What is missing and shorter is passed over: blocks are late by so much on a busy computer."""
FILLED_S = 300.0
"""The most silence that stands for what is missing."""
BORDER_S = 1.0
"""How much of the silence stands before sound that came late in one go, so that neither end of it touches other sound; the rest stands after it."""
BURST_S, UNEVEN_S = 0.5, 0.25
"""How much sound must have come in one go to be set apart, and by how much blocks that come as they are made are early or late."""
STOOD_S = 3.0
"""Sound that came later than this, and whole, is told."""
SLEPT_S = 2.0
"""How much more time must have passed than the computer was awake, to call it sleep."""
GAPS = "gaps.txt"
"""Beside the sound of a session: a line for each gap, with its second in the sound, how long it lasted, and how much silence stands for it."""


@dataclass(frozen=True, slots=True)
class Moment:
    """When something was, in seconds: ``clock`` goes on while the computer sleeps, ``awake`` stands still."""

    clock: float
    awake: float


@dataclass(frozen=True, slots=True)
class Block:
    """Sound as it came: float32 samples (n,), 16 kHz, and when their last was there."""

    came: Moment
    samples: Samples


@dataclass(frozen=True, slots=True)
class Gap:
    """``lasted`` seconds of sound never came; ``filled`` seconds of silence stand for them. ``slept``: the computer did."""

    lasted: float
    filled: float
    slept: bool = False


@dataclass(frozen=True, slots=True)
class Late:
    """Sound came so many seconds late, and all of it."""

    seconds: float


@dataclass(frozen=True, slots=True)
class KeptGap:
    """A gap of a session: where its silence begins, in seconds of the sound, how long it lasted, and how long the silence is."""

    at: float
    lasted: float
    filled: float


def now() -> Moment:
    """This moment."""
    return Moment(_clock(), time.monotonic())


def _clock() -> float:
    """A running clock that counts sleep where the system has one, and that nobody sets."""
    if hasattr(time, "CLOCK_BOOTTIME"):
        return time.clock_gettime(time.CLOCK_BOOTTIME)
    if hasattr(time, "clock_gettime"):
        return time.clock_gettime(time.CLOCK_MONOTONIC)
    return time.monotonic()


class Watch:
    """Feed it blocks as they come; it gives back the sound, with silence where it is missing, and says so before it: ``Gap`` or ``Late``.

    The first block is the beginning, however long the stream took to start. Sound is held back only after a stall, until it
    is clear whether what is missing comes yet.
    """

    def __init__(self) -> None:
        self._last: Moment | None = None
        self._held: list[Block] = []
        self._behind = self._calm_since = 0.0

    def feed(self, block: Block) -> list[Samples | Gap | Late]:
        """The sound that is sure of its time by now."""
        late = block.came.clock - self._last.clock - _seconds([block]) if self._last else 0.0
        if not self._held and late <= HOLE_S:
            self._last = block.came
            return [block.samples]
        self._held.append(block)
        clock, first = block.came.clock, self._held[0].came.clock
        behind = clock - first - _seconds(self._held)
        if len(self._held) == 1 or behind < self._behind - CATCHES_UP_S:
            self._behind, self._calm_since = behind, clock
        return self.flush() if clock - self._calm_since >= SETTLE_S or clock - first >= HELD_S else []

    def flush(self) -> list[Samples | Gap | Late]:
        """What is held back, with silence for what never came."""
        held, self._held = self._held, []
        if not held or self._last is None:
            return []
        before, self._last = self._last, held[-1].came
        missing = self._last.clock - before.clock - _seconds(held)
        waited = held[0].came.clock - before.clock
        if missing < LEAST_S:
            return [*([Late(waited)] if waited > STOOD_S else []), *(block.samples for block in held)]
        slept = self._last.clock - before.clock - (self._last.awake - before.awake) > SLEPT_S
        filled, border, burst = round(min(missing, FILLED_S) * SAMPLE_RATE), 0, _burst(held)
        if burst:
            border = min(round(BORDER_S * SAMPLE_RATE), filled // 2)
        first, rest = ([block.samples for block in part] for part in (held[:burst], held[burst:]))
        return [Gap(missing, filled / SAMPLE_RATE, slept), *_silence(border), *first, *_silence(filled - border), *rest]


def _burst(held: Sequence[Block]) -> int:
    """How many of the blocks had waited somewhere and came in one go, so that lateness was made up; 0 when that is next to nothing."""
    behind, came = [], 0.0
    for block in held:
        came += _seconds([block])
        behind.append(block.came.clock - came)
    count = 1 + next(n for n, late in enumerate(behind) if late <= min(behind) + UNEVEN_S)
    while count < len(held) and held[count].came.clock - held[count - 1].came.clock < _seconds([held[count]]) / 2:
        count += 1
    return count if _seconds(held[:count]) >= BURST_S else 0


def gap_words(gap: Gap) -> str:
    """A gap as it is told."""
    why = f"The computer slept, so no sound came for {_length(gap.lasted)}." if gap.slept else f"No sound came for {_length(gap.lasted)}."
    early = gap.lasted - gap.filled
    return why + (f" Times after it are {_length(early)} too early." if early >= 1 else " Silence stands for it.")


def late_words(late: Late) -> str:
    """Late sound as it is told."""
    return f"For {_length(late.seconds)} nothing was read, because the program or the sound stood still. That sound came late, and none is lost."


def _length(seconds: float) -> str:
    minutes, rest = divmod(round(seconds), 60)
    hours, minutes = divmod(minutes, 60)
    parts = ((hours, "hour"), (minutes, "minute"), (rest if not hours else 0, "second"))
    return " ".join(f"{count} {name}{'' if count == 1 else 's'}" for count, name in parts if count) or "no time"


def _seconds(blocks: Iterable[Block]) -> float:
    return sum(len(block.samples) for block in blocks) / SAMPLE_RATE


def _silence(samples: int) -> Iterator[Samples]:
    """Silence, a second at a time."""
    for at in range(0, samples, SAMPLE_RATE):
        yield np.zeros(min(SAMPLE_RATE, samples - at), dtype=np.float32)


def keep_gap(folder: Path, gap: KeptGap) -> None:
    """Writes a gap down beside the sound; that the disk is full is said by the sound's own keeper."""
    with suppress(OSError), (folder / GAPS).open("a", encoding="utf-8") as file:
        file.write(f"{gap.at:.3f} {gap.lasted:.3f} {gap.filled:.3f}\n")


def kept_gaps(folder: Path) -> tuple[KeptGap, ...]:
    """The gaps of a session, in order; lines that a power cut spoilt are left out."""
    try:
        lines = (folder / GAPS).read_text(encoding="utf-8", errors="replace").splitlines()
    except OSError:
        return ()
    found = []
    for line in lines:
        with suppress(ValueError):
            at, lasted, filled = map(float, line.split())
            found.append(KeptGap(at, lasted, filled))
    return tuple(found)
