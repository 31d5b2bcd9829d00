"""Makes the sample session from its script: synthetic voices, a pause between notes, workshop noise underneath.

    python sample_audio/make_sample.py
    python sample_audio/make_sample.py bicycle_second.txt second.flac     (any other script, a note a line, said by one voice)

Needs Debian's flite and espeak-ng. The same script gives the same file. The noise lies 20 dB below the speech (mean square over
the spoken stretches against mean square of the noise): a low motor hum with its overtones, a soft rumble, and a tap of a
hammer every few seconds.
"""

import subprocess
import sys
import tempfile
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from gudgeon.audio import decode, write_flac

HERE = Path(__file__).resolve().parent
SCRIPT = HERE / "orchard_session.txt"
SOUND = HERE / "orchard_session.flac"
RATE = 16_000
PAUSE_S = 1.3
STRETCH = 1.08  # the voices as they come speak faster than someone with a wrench in hand
SPEECH_LEVEL = 0.042
NOISE_BELOW_DB = 20.0
# who says which line; the rest is said by the first
VOICES = {"rms": (4, 5, 6, 8, 11, 12, 13, 17), "awb": (3, 19), "espeak-ng": (15,)}

Samples = NDArray[np.float32]


def main(script: Path = SCRIPT, file: Path = SOUND) -> None:
    """Writes the sound and prints where each note lies."""
    lines = script.read_text(encoding="utf-8").splitlines()
    with tempfile.TemporaryDirectory() as folder:
        spoken = [level(say(line, voice_of(number) if script == SCRIPT else "slt", Path(folder))) for number, line in enumerate(lines, 1)]
    sound, where = with_pauses(spoken)
    noise = workshop(len(sound))
    loudness = np.sqrt(np.mean(np.square(np.concatenate(spoken))))
    noise *= loudness * 10 ** (-NOISE_BELOW_DB / 20) / np.sqrt(np.mean(np.square(noise)))
    write_flac(file, sound + noise)
    for (start, end), line in zip(where, lines, strict=True):
        print(f"{start:6.1f} {end:6.1f}  {line}")
    print(f"{file.name}: {len(sound) / RATE:.1f} s, {file.stat().st_size / 1e6:.2f} MB")


def voice_of(line: int) -> str:
    """The voice that says a line of the script, counted from 1."""
    return next((voice for voice, lines in VOICES.items() if line in lines), "slt")


def say(text: str, voice: str, folder: Path) -> Samples:
    """The text as spoken by a synthetic voice, 16 kHz."""
    wav = folder / "said.wav"
    if voice == "espeak-ng":
        command = ["espeak-ng", "-v", "en-gb", "-s", "140", "-w", str(wav), text]
    else:
        command = ["flite", "-voice", voice, "--setf", f"duration_stretch={STRETCH}", "-t", text, "-o", str(wav)]
    subprocess.run(command, check=True)
    return np.concatenate(list(decode(wav)))


def level(speech: Samples) -> Samples:
    """Brought to one loudness, whoever speaks, and without the silence at both ends."""
    loud = np.flatnonzero(np.abs(speech) > 0.01 * np.abs(speech).max())
    speech = speech[loud[0] : loud[-1] + 1]
    return speech * np.float32(SPEECH_LEVEL / np.sqrt(np.mean(np.square(speech))))


def with_pauses(spoken: list[Samples]) -> tuple[Samples, list[tuple[float, float]]]:
    """All notes one after another with pauses around them, and where each starts and ends, in seconds."""
    pause = np.zeros(round(PAUSE_S * RATE), np.float32)
    parts, where, at = [pause], [], PAUSE_S
    for speech in spoken:
        where.append((at, at + len(speech) / RATE))
        parts += [speech, pause]
        at = where[-1][1] + PAUSE_S
    return np.concatenate(parts), where


def workshop(length: int) -> Samples:
    """Noise of a shop with a motor running and someone tapping far away; any loudness."""
    rng = np.random.default_rng(1953)
    t = np.arange(length) / RATE
    motor = sum(np.sin(2 * np.pi * 48.5 * k * t + 0.3 * np.sin(2 * np.pi * 0.7 * t)) / k for k in range(1, 9))
    rumble = np.convolve(rng.standard_normal(length), np.hanning(160), mode="same")
    rumble /= rumble.std()
    taps = np.zeros(length)
    ring = np.exp(-np.arange(4_800) / 700) * np.sin(2 * np.pi * 1_150 * np.arange(4_800) / RATE)
    at = 0
    while (at := at + int(rng.uniform(1.5, 6.0) * RATE)) < length - len(ring):
        taps[at : at + len(ring)] += ring * rng.uniform(2.0, 5.0)
    return (motor + rumble + taps).astype(np.float32)


if __name__ == "__main__":
    sys.exit(main(*map(Path, sys.argv[1:3])))
