"""The sounds that are read: texts spoken by synthetic voices (Debian's flite and espeak-ng), shop noise, and one person's recording."""

from __future__ import annotations

import csv
import json
import shutil
import subprocess
import sys
import wave
from dataclasses import dataclass
from functools import cache
from importlib import metadata
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

from gudgeon.audio import decode
from gudgeon.domain.sound import SAMPLE_RATE

HERE = Path(__file__).resolve().parent
WAVES = HERE.parent / "work" / "hearing" / "wav"
FLITE = ("slt", "rms", "awb", "kal16")
VOICES = (*FLITE, "espeak-ng")
Floats = NDArray[np.float32]

# Charles Dickens, "A Tale of Two Cities", 1859, its opening; public domain.
DICKENS = """It was the best of times, it was the worst of times, it was the age of wisdom, it was the age of foolishness,
it was the epoch of belief, it was the epoch of incredulity, it was the season of Light, it was the season of Darkness,
it was the spring of hope, it was the winter of despair, we had everything before us, we had nothing before us,
we were all going direct to Heaven, we were all going direct the other way--in short, the period was so far like the present period,
that some of its noisiest authorities insisted on its being received, for good or for evil, in the superlative degree of comparison only."""

TEENS = ("thirteen", "fourteen", "fifteen", "sixteen", "seventeen", "eighteen", "nineteen")
TIES = ("thirty", "forty", "fifty", "sixty", "seventy", "eighty", "ninety")
FIGURES = dict(zip(TEENS, range(13, 20), strict=True)) | dict(zip(TIES, range(30, 100, 10), strict=True))


@dataclass(frozen=True)
class Said:
    """One text to be spoken: its name, and the facts that a listener should find in it (of chatter: none are looked for)."""

    name: str
    text: str
    facts: tuple[dict[str, Any], ...] = ()


@cache
def notes() -> tuple[Said, ...]:
    """The spoken notes of the labelled tractor notes."""
    lines = (HERE.parents[1] / "tests" / "tables" / "tractor.jsonl").read_text(encoding="utf-8").splitlines()
    rows = [row for row in map(json.loads, lines) if row["style"] == "spoken"]
    return tuple(Said(row["id"], row["text"], tuple(row["facts"])) for row in rows)


@cache
def chatter() -> tuple[Said, ...]:
    """Sentences that have nothing to do with the trade, some with words that sound like it."""
    with (HERE / "chatter.csv").open(encoding="utf-8") as table:
        return tuple(Said(f"c{n:02}", row["said"]) for n, row in enumerate(csv.DictReader(table)))


@cache
def teens() -> tuple[Said, ...]:
    """Every teen and -ty as a torque."""
    return tuple(
        Said(word, f"The drain plug is torqued to {word} newton metres.", ({"kind": "torque", "value": figure, "unit": "N*m"},))
        for word, figure in FIGURES.items()
    )


def speak(said: Said, voice: str, *, noise_db: float | None = None) -> Floats:
    """The text in this voice at 16 kHz, at a fixed peak with silence around; with shop noise so many decibels softer than the speech."""
    target = WAVES / f"{voice}-{said.name}.wav"
    if not target.exists():
        _make(said.text, voice, target)
    with wave.open(str(target)) as sound:
        samples = (np.frombuffer(sound.readframes(sound.getnframes()), "<i2") / 32768).astype(np.float32)
    return samples if noise_db is None else in_noise(samples, noise_db, start=sum(target.stem.encode()))


def in_noise(samples: Floats, decibels: float, *, start: int) -> Floats:
    """The samples with a stretch of shop noise over all of it, whose mean square lies so far below theirs; softened as a whole if it would clip."""
    long = _shop()
    at = start * 7_919 % (len(long) - len(samples))
    noise = long[at : at + len(samples)]
    share = np.sqrt(np.mean(np.square(samples)) / np.mean(np.square(noise))) * 10 ** (-decibels / 20)
    mixed = samples + share * noise
    return (mixed / max(1.0, float(np.abs(mixed).max()))).astype(np.float32)


def person() -> Floats:
    """The recording of a person in the moonshine-voice package, whole."""
    path = next(f for f in metadata.files("moonshine-voice") or [] if f.name == "two_cities.wav").locate()
    return np.concatenate(list(decode(Path(str(path)))))


@cache
def _shop() -> Floats:
    """Two minutes of hammering and a ratchet over a compressor in a room that rings."""
    sys.path.insert(0, str(HERE.parent / "noise"))
    from make_noise import make

    return make("shop", 120.0)


def _make(text: str, voice: str, target: Path) -> None:
    for program in ("flite", "espeak-ng", "sox"):
        if shutil.which(program) is None:
            raise SystemExit(f"The Debian package {program} is needed: apt-get install flite espeak-ng sox")
    target.parent.mkdir(parents=True, exist_ok=True)
    raw = target.with_suffix(".raw.wav")
    command = ["espeak-ng", "-w", raw, text] if voice == "espeak-ng" else ["flite", "-voice", voice, "-t", text, "-o", raw]
    subprocess.run([str(c) for c in command], check=True, capture_output=True)
    part = target.with_suffix(".part.wav")
    sox = ["sox", "-R", raw, "-r", SAMPLE_RATE, "-c", 1, "-b", 16, part, "norm", "-3", "pad", 0.4, 0.4]
    subprocess.run([str(c) for c in sox], check=True, capture_output=True)
    part.replace(target)
    raw.unlink()
