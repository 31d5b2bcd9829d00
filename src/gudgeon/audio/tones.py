"""Four short tones, each made by a sum, that can be told apart by their rhythm and by their pitch: an ear bad at one still has the other."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from gudgeon.domain import SAMPLE_RATE, BadInput

Samples = NDArray[np.float32]

VOLUMES = {"off": 0.0, "quiet": 0.05, "normal": 0.2, "loud": 0.6}
"""Peak of full scale, 0..1."""
EDGE_S = 0.008
"""How long a beep swells and fades, so that it does not click."""


@dataclass(frozen=True, slots=True)
class Beep:
    """One part of a tone: its pitch in hertz at start and end (0: silence), and seconds; ``rough`` adds odd overtones."""

    start_hz: float
    end_hz: float
    seconds: float
    rough: bool = False


TONES: dict[str, tuple[Beep, ...]] = {
    "heard": (Beep(660, 660, 0.09),),
    "unsure": (Beep(440, 440, 0.12), Beep(0, 0, 0.06), Beep(587, 880, 0.26)),
    "out of range": tuple(beep for _ in range(3) for beep in (Beep(247, 247, 0.16, rough=True), Beep(0, 0, 0.08))),
    "taken": (Beep(1175, 1175, 0.1), Beep(0, 0, 0.05), Beep(784, 784, 0.18)),
}
"""Heard: one short beep. Not sure: two, the second rising like a question. Out of range: three low rough ones. Command taken: high, then lower."""


def tone(name: str, *, volume: float = VOLUMES["normal"]) -> Samples:
    """A tone as float32 samples (n,), 16 kHz, whose peak is ``volume`` (0..1). Raises BadInput for an unknown name or volume."""
    if name not in TONES:
        raise BadInput(f"There is no tone {name!r}.", next_step=f"Choose one of: {', '.join(TONES)}.")
    if not 0.0 <= volume <= 1.0:
        raise BadInput(f"A volume of {volume:g} cannot be.", next_step="Choose one from 0 to 1.")
    sound = np.concatenate([_beep(beep) for beep in TONES[name]])
    return np.asarray(sound * volume / np.abs(sound).max(), dtype=np.float32)


def _beep(beep: Beep) -> NDArray[np.float64]:
    count = round(beep.seconds * SAMPLE_RATE)
    if beep.start_hz == 0:
        return np.zeros(count)
    phase = 2 * np.pi * np.cumsum(np.linspace(beep.start_hz, beep.end_hz, count)) / SAMPLE_RATE
    sound = sum(np.sin(odd * phase) / odd for odd in (1, 3, 5)) if beep.rough else np.sin(phase)
    edge = np.minimum(1.0, np.minimum(np.arange(count), np.arange(count)[::-1]) / (EDGE_S * SAMPLE_RATE))
    return np.asarray(sound * edge)
