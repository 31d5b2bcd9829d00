"""Shop noise without a word in it: every kind made by a sum, the same each time, at a stated level.

    python benchmarks/noise/make_noise.py FOLDER [--seconds 600] [--level -26]

writes one FLAC file a kind. ``make(kind, seconds, level)`` gives the samples: float32 (n,), 16 kHz, whose mean square lies at ``level``
decibels below full scale (``silence`` stays silent but for its last bit).
"""

import argparse
from pathlib import Path

import numpy as np
from numpy.typing import NDArray
from scipy.signal import butter, fftconvolve, lfilter, sosfilt

RATE = 16_000
Samples = NDArray[np.float64]


def make(kind: str, seconds: float, level: float = -26.0, *, seed: int = 1) -> NDArray[np.float32]:
    """The noise of that kind; another ``seed`` gives another take."""
    rng = np.random.default_rng([seed, *kind.encode()])
    sound = KINDS[kind](round(seconds * RATE), rng)
    if kind == "silence":
        return sound.astype(np.float32)
    sound = sound * 10 ** (level / 20) / np.sqrt(np.mean(np.square(sound)))
    return sound.clip(-1, 1).astype(np.float32)


def silence(n: int, rng: np.random.Generator) -> Samples:
    """Nothing but the last bit of a 16-bit converter."""
    return rng.integers(-1, 2, n) / 32768


def broadband(n: int, rng: np.random.Generator) -> Samples:
    """White, then pink, then brown noise, ten seconds each, swelling and falling."""
    white = rng.standard_normal(n)
    pink = lfilter([0.05, -0.096, 0.05, -0.004], [1, -2.495, 2.017, -0.522], white)
    brown = lfilter([1], [1, -0.995], white)
    parts = np.stack([part / part.std() for part in (white, pink, brown)])
    turn = (np.arange(n) // (10 * RATE)) % 3
    return parts[turn, np.arange(n)] * wander(n, rng, seconds=3.0, low=0.4, high=1.0)


def compressor(n: int, rng: np.random.Generator) -> Samples:
    """A piston thumping twelve times a second with hum and valve hiss, on and off by turns, ending in a sigh of air."""
    t = np.arange(n) / RATE
    phase = np.cumsum(12 + 0.4 * smooth(n, rng, seconds=2.0)) / RATE
    thump = np.maximum(0, np.sin(2 * np.pi * phase)) ** 6 * np.sin(2 * np.pi * 75 * t)
    hum = sum(np.sin(2 * np.pi * 49.5 * k * t) / k for k in range(1, 7))
    valve = rng.standard_normal(n) * (0.2 + np.maximum(0, np.sin(2 * np.pi * phase + 1)) ** 4)
    on = (t % 40) < 28
    sigh = rng.standard_normal(n) * np.exp(-np.clip((t % 40) - 28, 0, None) / 0.8) * ~on
    return (2 * thump + 0.6 * hum + 0.7 * band(valve, 300, 5_000)) * on + band(sigh, 1_500, 7_500)


def hammering(n: int, rng: np.random.Generator) -> Samples:
    """Blows on steel, two or three a second, in a bare room that rings for most of a second."""
    blows = np.zeros(n)
    at = 0.0
    while True:
        at += rng.uniform(0.25, 0.6) if rng.random() < 0.92 else rng.uniform(2, 6)
        if (start := round(at * RATE)) >= n:
            break
        ring = struck(rng, modes=6, low=400, high=6_500, decay=rng.uniform(0.03, 0.25))[: n - start]
        blows[start : start + len(ring)] += ring * rng.uniform(0.4, 1.0)
    return in_room(blows, rng, seconds=0.8) + 0.002 * rng.standard_normal(n)


def ratchet(n: int, rng: np.random.Generator) -> Samples:
    """A ratchet's clicks in bursts, spanners set down, a socket dropped now and then."""
    clicks = np.zeros(n)
    at = 0.0
    while (start := round(at * RATE)) < n:
        if rng.random() < 0.1:
            sound = struck(rng, modes=5, low=1_500, high=7_000, decay=0.12)
            pause = rng.uniform(0.4, 2.0)
        else:
            sound = 0.5 * struck(rng, modes=3, low=2_000, high=6_000, decay=0.006)
            pause = 0.045 if rng.random() < 0.85 else rng.uniform(0.2, 1.0)
        sound = sound[: n - start]
        clicks[start : start + len(sound)] += sound
        at += pause
    return in_room(clicks, rng, seconds=0.4) + 0.001 * rng.standard_normal(n)


def engine(n: int, rng: np.random.Generator) -> Samples:
    """Two cylinders firing unevenly between idle and a good deal more, through a silencer, with gear whine."""
    speed = wander(n, rng, seconds=4.0, low=7.0, high=28.0)
    phase = np.cumsum(speed) / RATE
    firing = np.exp(-12 * (phase % 1.0)) + 0.8 * np.exp(-12 * ((phase + 0.46) % 1.0))
    whine = np.sin(2 * np.pi * 23 * phase) * 0.05
    body = sum(band(firing - firing.mean(), f / 1.3, f * 1.3) * g for f, g in ((60, 1.0), (130, 0.8), (310, 0.5), (900, 0.15)))
    return body / body.std() + whine + 0.05 * rng.standard_normal(n)


def grinder(n: int, rng: np.random.Generator) -> Samples:
    """An angle grinder: a whine with overtones that sags as it bites, and sparks."""
    bite = wander(n, rng, seconds=1.0, low=0.0, high=1.0)
    phase = np.cumsum(450 - 120 * bite) / RATE
    whine = sum(np.sin(2 * np.pi * k * phase) / k**0.7 for k in range(1, 12))
    return whine + 2.5 * (0.3 + bite) * band(rng.standard_normal(n), 1_000, 7_500)


def tones(n: int, rng: np.random.Generator) -> Samples:
    """Single tones, beeps and sirens with gaps, as of chargers, phones and reversing lorries."""
    sound = np.zeros(n)
    at = 0
    while at < n:
        length = min(round(rng.choice([0.1, 0.3, 0.8, 2.5]) * RATE), n - at)
        pitch = np.full(length, rng.uniform(180, 3_000)) if rng.random() < 0.7 else np.linspace(*rng.uniform(250, 1_500, 2), length)
        shape = np.minimum(1, np.minimum(np.arange(length), np.arange(length)[::-1]) / 200)
        sound[at : at + length] = shape * np.sin(2 * np.pi * np.cumsum(pitch) / RATE)
        at += length + round(rng.uniform(0.05, 1.0) * RATE)
    return sound + 0.003 * rng.standard_normal(n)


def music(n: int, rng: np.random.Generator) -> Samples:
    """Chords, a bass, a wandering tune with vibrato and a drum: like a radio that plays without singing."""
    beat = round(0.43 * RATE)
    sound = np.zeros(n)
    scale = 220 * 2 ** (np.array([0, 2, 4, 5, 7, 9, 11, 12, 14, 16]) / 12)
    for number, at in enumerate(range(0, n, beat)):
        length = min(beat, n - at)
        if number % 4 == 0:
            root = rng.choice(scale[:6])
        chord = sum(plucked(root * r, length, 0.9) for r in (0.5, 1.0, 1.26, 1.5))
        tune = bowed(rng.choice(scale) * 2, length) if rng.random() < 0.8 else 0.0
        drum = 0.6 * rng.standard_normal(length) * np.exp(-np.arange(length) / (300 if number % 2 else 1_200))
        sound[at : at + length] = 0.5 * chord + tune + drum
    return sound


def shop(n: int, rng: np.random.Generator) -> Samples:
    """Hammering and a ratchet over a compressor, all in a room that rings."""
    parts = [part(n, rng) for part in (compressor, hammering, ratchet)]
    return in_room(sum(part / part.std() * share for part, share in zip(parts, (0.5, 1.0, 0.7), strict=True)), rng, seconds=0.6)


def yard(n: int, rng: np.random.Generator) -> Samples:
    """Music and reversing beeps over a running engine."""
    parts = [part(n, rng) for part in (engine, music, tones)]
    return sum(part / part.std() * share for part, share in zip(parts, (0.7, 1.0, 0.7), strict=True))


def babble(n: int, rng: np.random.Generator) -> Samples:
    """A crowd without words: twelve voices of glottal pulses through wandering formants, in the rhythm of syllables."""
    return in_room(sum(mumble(n, rng) for _ in range(12)), rng, seconds=0.5)


def mumble(n: int, rng: np.random.Generator) -> Samples:
    """One of the voices of the crowd."""
    pitch = rng.uniform(90, 230) * (1 + 0.15 * smooth(n, rng, seconds=0.6))
    phase = np.cumsum(pitch) / RATE % 1.0
    pulses = np.exp(-8 * phase) - 0.125
    syllables = np.clip(smooth(n, rng, seconds=0.11) + 0.2, 0, None)
    phrases = smooth(n, rng, seconds=2.0) > -0.3
    voice = np.zeros(n)
    step = round(0.12 * RATE)
    for low, high in ((300, 800), (900, 2_200), (2_300, 3_000)):
        for at in range(0, n, step):  # formants jump with every syllable; the cut is hidden in the crowd
            f = rng.uniform(low, high)
            r = np.exp(-np.pi * 90 / RATE)
            voice[at : at + step] += lfilter([1 - r], [1, -2 * r * np.cos(2 * np.pi * f / RATE), r * r], pulses[at : at + step])
    return voice * syllables * phrases


def struck(rng: np.random.Generator, *, modes: int, low: float, high: float, decay: float) -> Samples:
    """One blow on metal that rings in some modes."""
    t = np.arange(round(min(1.5, 8 * decay) * RATE)) / RATE
    ring = sum(rng.uniform(0.3, 1) * np.sin(2 * np.pi * f * t) * np.exp(-t / (decay * rng.uniform(0.5, 1))) for f in rng.uniform(low, high, modes))
    return ring + rng.standard_normal(len(t)) * np.exp(-t / 0.003)


def in_room(dry: Samples, rng: np.random.Generator, *, seconds: float) -> Samples:
    """With the echo of a bare room, ``seconds`` until it has fallen by 60 dB."""
    t = np.arange(round(seconds * RATE)) / RATE
    echo = rng.standard_normal(len(t)) * np.exp(-6.9 * t / seconds) * 0.06
    echo[0] = 1.0
    return fftconvolve(dry, echo)[: len(dry)]


def plucked(hertz: float, length: int, decay: float) -> Samples:
    """A string that is plucked."""
    t = np.arange(length) / RATE
    return sum(np.sin(2 * np.pi * hertz * k * t) / k**1.3 * np.exp(-t * k / decay) for k in range(1, 8))


def bowed(hertz: float, length: int) -> Samples:
    """A string that is bowed, with vibrato."""
    t = np.arange(length) / RATE
    phase = 2 * np.pi * np.cumsum(hertz * (1 + 0.01 * np.sin(2 * np.pi * 5.5 * t))) / RATE
    return sum(np.sin(k * phase) / k for k in range(1, 10)) * np.minimum(1, t / 0.05)


def band(sound: Samples, low: float, high: float) -> Samples:
    """Only what lies between two frequencies."""
    return sosfilt(butter(2, (low, high), "bandpass", fs=RATE, output="sos"), sound)


def smooth(n: int, rng: np.random.Generator, *, seconds: float) -> Samples:
    """A slow random wander with mean 0 and spread about 1, turning every ``seconds``."""
    knots = rng.standard_normal(round(n / RATE / seconds) + 3)
    return np.interp(np.arange(n) / RATE / seconds, np.arange(len(knots)), knots)


def wander(n: int, rng: np.random.Generator, *, seconds: float, low: float, high: float) -> Samples:
    """A slow random wander between two bounds."""
    return low + (high - low) * (0.5 + 0.5 * np.tanh(smooth(n, rng, seconds=seconds)))


KINDS = {f.__name__: f for f in (silence, broadband, compressor, hammering, ratchet, engine, grinder, tones, music, shop, yard, babble)}


def main() -> None:
    """Writes the files."""
    from gudgeon.audio import write_flac

    asked = argparse.ArgumentParser(description="Writes shop noise, one FLAC file a kind.")
    asked.add_argument("folder", type=Path)
    asked.add_argument("--seconds", type=float, default=600.0)
    asked.add_argument("--level", type=float, default=-26.0, help="decibels below full scale")
    given = asked.parse_args()
    given.folder.mkdir(parents=True, exist_ok=True)
    for kind in KINDS:
        write_flac(given.folder / f"{kind}.flac", make(kind, given.seconds, given.level))
        print(given.folder / f"{kind}.flac")


if __name__ == "__main__":
    main()
