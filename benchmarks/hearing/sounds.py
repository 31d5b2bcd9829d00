"""The sounds that are read: sentences spoken by synthetic voices (Debian's flite and espeak-ng), and one person's recording."""

from __future__ import annotations

import csv
import re
import shutil
import subprocess
import wave
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from importlib import metadata
from pathlib import Path

import numpy as np

from gudgeon.audio import decode, speech_clips
from gudgeon.domain import Clip
from gudgeon.domain.sound import SAMPLE_RATE

HERE = Path(__file__).resolve().parent
FLITE = ("slt", "rms", "awb", "kal16")
VOICES = (*FLITE, "espeak-ng")

# Charles Dickens, "A Tale of Two Cities", 1859, its opening; public domain.
DICKENS = """It was the best of times, it was the worst of times, it was the age of wisdom, it was the age of foolishness,
it was the epoch of belief, it was the epoch of incredulity, it was the season of Light, it was the season of Darkness,
it was the spring of hope, it was the winter of despair, we had everything before us, we had nothing before us,
we were all going direct to Heaven, we were all going direct the other way--in short, the period was so far like the present period,
that some of its noisiest authorities insisted on its being received, for good or for evil, in the superlative degree of comparison only."""


@dataclass(frozen=True)
class Spoken:
    """A sentence of the set: what is said, and what must be in the text, each as its spellings."""

    number: int
    said: str
    must_hold: tuple[tuple[str, ...], ...]


def sentences() -> list[Spoken]:
    """The fixed set."""
    with (HERE / "sentences.csv").open(encoding="utf-8") as table:
        rows = list(csv.DictReader(table))
    return [Spoken(n, r["said"], tuple(tuple(m.split("/")) for m in r["must_hold"].split("|"))) for n, r in enumerate(rows)]


def chatter() -> list[str]:
    """Sentences that have nothing to do with the trade, some with words that sound like it."""
    with (HERE / "chatter.csv").open(encoding="utf-8") as table:
        return [row["said"] for row in csv.DictReader(table)]


def missing(spoken: Spoken, text: str) -> list[str]:
    """What must be in the text and is not."""
    plain = f" {normal(text)} "
    return [spellings[0] for spellings in spoken.must_hold if not any(re.search(rf"\b{re.escape(s)}", plain) for s in spellings)]


def normal(text: str) -> str:
    """Small letters, words and figures alone, one spelling of metre, figures apart from their unit."""
    text = re.sub(r"[^a-z0-9. ]", " ", text.lower().replace("meter", "metre"))
    text = re.sub(r"(?<=\d)(?=(?:nm|mm)\b)", " ", text)
    return " ".join(re.sub(r"\.(?!\d)", " ", text).split())


def speak(text: str, voice: str, target: Path) -> Clip:
    """The text in this voice, as 16 kHz mono at a fixed peak with a little silence around; kept in ``target`` for the next run."""
    if not target.exists():
        for program in ("flite", "espeak-ng", "sox"):
            if shutil.which(program) is None:
                raise SystemExit(f"The Debian package {program} is needed: apt-get install flite espeak-ng sox")
        target.parent.mkdir(parents=True, exist_ok=True)
        raw = target.with_suffix(".raw.wav")
        command = ["espeak-ng", "-w", raw, text] if voice == "espeak-ng" else ["flite", "-voice", voice, "-t", text, "-o", raw]
        subprocess.run([str(c) for c in command], check=True, capture_output=True)
        sox = ["sox", raw, "-r", SAMPLE_RATE, "-c", 1, "-b", 16, target, "norm", "-3", "pad", 0.2, 0.3]
        subprocess.run([str(c) for c in sox], check=True, capture_output=True)
        raw.unlink()
    with wave.open(str(target)) as sound:
        samples = (np.frombuffer(sound.readframes(sound.getnframes()), "<i2") / 32768).astype(np.float32)
    return Clip(samples, 0.0, len(samples) / SAMPLE_RATE)


def real_clips() -> list[Clip]:
    """The recording of a person in the moonshine-voice package, through our own gate."""
    path = next(f for f in metadata.files("moonshine-voice") or [] if f.name == "two_cities.wav").locate()
    return list(speech_clips(decode(Path(str(path)))))


def word_errors(said: str, heard: str) -> tuple[int, int]:
    """How many words differ (put in, left out, exchanged), and how many were said."""
    a, b = (re.findall(r"[a-z0-9']+", t.lower()) for t in (said, heard))
    row = list(range(len(b) + 1))
    for i, word in enumerate(a, 1):
        row = list(_next_row(row, i, word, b))
    return row[-1], len(a)


def _next_row(row: Sequence[int], first: int, word: str, heard: Sequence[str]) -> Iterator[int]:
    last = first
    yield last
    for j, other in enumerate(heard, 1):
        last = min(row[j] + 1, last + 1, row[j - 1] + (word != other))
        yield last
