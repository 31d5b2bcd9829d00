"""Plays sound on the computer's loudspeaker."""

from __future__ import annotations

from threading import Lock

import numpy as np
from numpy.typing import NDArray

from gudgeon.domain import SAMPLE_RATE, MissingThing

PORTAUDIO = Lock()
"""Held while sound is played: PortAudio must not be started anew meanwhile."""


def play(samples: NDArray[np.float32]) -> None:
    """Plays float32 samples (n,), 16 kHz, and returns when they have been heard. Raises MissingThing when there is no way to play."""
    try:
        import sounddevice  # noqa: PLC0415 - opens PortAudio, which may be missing and is slow to start
    except OSError as missing:
        raise MissingThing("Sound cannot be played: PortAudio is not installed.", next_step="Type: sudo apt install libportaudio2") from missing
    try:
        with PORTAUDIO:
            sounddevice.play(samples, SAMPLE_RATE, blocking=True)
    except sounddevice.PortAudioError as mute:
        raise MissingThing("Sound cannot be played: no loudspeaker was found.", next_step="Connect one, or look at the text.") from mute
