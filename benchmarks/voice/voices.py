"""Texts spoken by synthetic voices (Debian's flite and espeak-ng), made once and kept in ``benchmarks/work/voice``."""

from __future__ import annotations

import csv
import hashlib
import shutil
import subprocess
import wave
from pathlib import Path

import numpy as np

HERE = Path(__file__).resolve().parent
WORK = HERE.parent / "work" / "voice"
FLITE = ("slt", "rms", "awb", "kal16")
VOICES = (*FLITE, "espeak-ng")
RADIO = ("espeak-ng:en-us+m3", "espeak-ng:en-gb+f4", "kal16", "rms")
"""The voices of other people and of the radio: two of them speak nothing else."""
RATE = 16_000


def rows(name: str) -> list[dict[str, str]]:
    """A table beside this file."""
    with (HERE / name).open(encoding="utf-8") as table:
        return list(csv.DictReader(table))


def speak(text: str, voice: str, *, peak_db: float = -3.0) -> np.ndarray:
    """The text in a voice (``espeak-ng:NAME`` for another of its own) as float32 (n,), 16 kHz, with a little silence around."""
    target = WORK / f"{hashlib.sha256(f'{voice} {text}'.encode()).hexdigest()[:16]}.wav"
    if not target.exists():
        _make(text, voice, target)
    with wave.open(str(target)) as sound:
        samples = np.frombuffer(sound.readframes(sound.getnframes()), "<i2").astype(np.float32) / 32768
    return samples * np.float32(10 ** ((peak_db + 3.0) / 20))


def _make(text: str, voice: str, target: Path) -> None:
    for program in ("flite", "espeak-ng", "sox"):
        if shutil.which(program) is None:
            raise SystemExit(f"The Debian package {program} is needed: apt-get install flite espeak-ng sox")
    target.parent.mkdir(parents=True, exist_ok=True)
    raw, made = target.with_suffix(".raw.wav"), target.with_suffix(".made.wav")
    espeak, _, name = voice.partition(":")
    command = ["espeak-ng", "-v", name or "en", "-w", raw, "--stdin"] if espeak == "espeak-ng" else ["flite", "-voice", voice, "-t", text, "-o", raw]
    subprocess.run([str(part) for part in command], input=text.encode(), check=True, capture_output=True)
    sox = ["sox", raw, "-r", RATE, "-c", 1, "-b", 16, made, "norm", "-3", "pad", 0.2, 0.3]
    subprocess.run([str(part) for part in sox], check=True, capture_output=True)
    raw.unlink()
    made.replace(target)
