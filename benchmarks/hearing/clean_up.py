"""Whether a filter, an automatic level or noise reduction before the recogniser helps: the notes that hold a torque, in shop noise.

    .venv/bin/python benchmarks/hearing/clean_up.py [--voices slt] [--noise 10] [--notes 27] [--ways as-is,band,…]

Clips are found in the sound as it is; each is then read after every way, the notes with the shortest text first. Prints Markdown. None of these
ways is kept in gudgeon, since none is better beyond chance: see benchmarks/results/noise.md.
"""

from __future__ import annotations

import argparse
import sys
from collections.abc import Callable
from pathlib import Path

import numpy as np
from scipy.signal import butter, istft, sosfiltfilt, stft

sys.path.insert(0, str(Path(__file__).resolve().parent))

from forms import Piece, recogniser
from jobs import with_torque
from scoring import Score, score
from sounds import Floats, notes, speak

from gudgeon.audio import speech_clips
from gudgeon.cli import wiring
from gudgeon.domain import Clip
from gudgeon.domain.sound import SAMPLE_RATE

LEVEL = 0.08
"""The root mean square that the automatic level brings each sound to."""


def band(sound: Floats, low: float = 90.0, high: float = 7_400.0) -> Floats:
    """A mild speech-band filter, 90 Hz to 7.4 kHz."""
    return sosfiltfilt(butter(2, (low, high), "bandpass", fs=SAMPLE_RATE, output="sos"), sound).astype(np.float32)


def high_pass(sound: Floats) -> Floats:
    """Nothing below 120 Hz."""
    return sosfiltfilt(butter(2, 120.0, "highpass", fs=SAMPLE_RATE, output="sos"), sound).astype(np.float32)


def level(sound: Floats) -> Floats:
    """Brought to one loudness, softer when that would clip."""
    louder = sound * (LEVEL / max(float(np.sqrt(np.mean(np.square(sound)))), 1e-6))
    return (louder / max(1.0, float(np.abs(louder).max()))).astype(np.float32)


def reduce_noise(sound: Floats, most_db: float) -> Floats:
    """Spectral subtraction: the quietest fifth of each frequency's power is the noise; nothing is softened by more than ``most_db``."""
    _, _, bins = stft(sound, SAMPLE_RATE, nperseg=512, noverlap=384)
    power = np.square(np.abs(bins))
    noise = np.percentile(power, 20, axis=1, keepdims=True) / -np.log(0.8)  # the mean of an exponential spread from its first fifth
    gain = np.sqrt(np.maximum(1 - 1.5 * noise / np.maximum(power, 1e-12), 0.0))
    for axis in (0, 1):
        gain = np.apply_along_axis(lambda line: np.convolve(line, np.ones(3) / 3, "same"), axis, gain)
    _, quiet = istft(bins * np.maximum(gain, 10 ** (-most_db / 20)), SAMPLE_RATE, nperseg=512, noverlap=384)
    return quiet[: len(sound)].astype(np.float32)


WAYS: dict[str, Callable[[Floats], Floats]] = {
    "as-is": lambda sound: sound,
    "band": band,
    "high-pass": high_pass,
    "level": level,
    "reduced by 6 dB": lambda sound: reduce_noise(sound, 6.0),
    "reduced by 12 dB": lambda sound: reduce_noise(sound, 12.0),
}


def main() -> None:
    """See the module's text."""
    options = argparse.ArgumentParser(description=(__doc__ or "").split("\n\n")[0])
    options.add_argument("--voices", default="slt")
    options.add_argument("--noise", type=float, default=10.0)
    options.add_argument("--notes", type=int, default=len(with_torque()), help="so many, the shortest ones")
    options.add_argument("--ways", default=",".join(WAYS))
    chosen = options.parse_args()
    ear, read = recogniser("phrases", readers=2), wiring.reader().read
    names = with_torque()[: chosen.notes]
    print("| way | word error rate | torque right at first | or in `heard` | wrong, marked | wrong, unmarked |\n| - | -: | -: | -: | -: | -: |")
    for way in chosen.ways.split(","):
        s = Score()
        for said in (said for said in notes() if said.name in names):
            for voice in chosen.voices.split(","):
                sound = speak(said, voice, noise_db=chosen.noise)
                other = WAYS[way](sound)
                clips = (Clip(other[round(c.start * SAMPLE_RATE) : round(c.end * SAMPLE_RATE)], c.start, c.end) for c in speech_clips([sound]))
                s += score(said.text, said.facts, [Piece(heard.text, heard.others) for heard in ear.hear(clips)], read)
        print(f"| {way} | {s.errors / s.words:.3f} | {s.right} of {s.torques} | {s.right + s.in_heard} | {s.marked} | {s.wrong} |", flush=True)


if __name__ == "__main__":
    main()
