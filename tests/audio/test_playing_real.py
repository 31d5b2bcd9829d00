"""What ``gudgeon find --play`` plays is really heard: recorded from PulseAudio's null sink and held against the sound that was kept."""

import subprocess
import sys
from datetime import UTC, datetime
from pathlib import Path

import numpy as np
import pytest

from gudgeon.audio import Keeper
from gudgeon.cli import wiring
from gudgeon.domain import SAMPLE_RATE, Note
from gudgeon.record import Record, Sound
from gudgeon.session import settle

pytestmark = [pytest.mark.slow, pytest.mark.needs("pulseaudio", "pactl", "parec"), pytest.mark.timeout(300)]
NOTES = ("eight hub bolts to eighty newton metres", "the sump drain plug at thirty four newton metres")
LONG_S = 3.0

sys.path.insert(0, str(Path(__file__).resolve().parents[2] / "benchmarks" / "voice"))
from bench_sink import bench_sink, wait_for  # noqa: E402

sys.path.pop(0)


def sweep(first, last):
    """A tone that rises or falls through these frequencies (Hz): like itself at one moment only, and unlike any other."""
    at = np.arange(round(LONG_S * SAMPLE_RATE)) / SAMPLE_RATE
    return (0.4 * np.sin(2 * np.pi * (first * at + (last - first) * at**2 / (2 * LONG_S)))).astype(np.float32)


@pytest.fixture
def record(tmp_path):
    """Two notes, each with a sound of its own."""
    sounds = [sweep(300, 2500), sweep(3000, 500)]
    reader, rules = wiring.reader(), wiring.rules()
    with Record.open(tmp_path / "record") as opened:
        session = opened.begin_session(started=datetime(2026, 5, 2, 9, 0, tzinfo=UTC), source="bench.flac").id
        with Keeper(opened.folder / "sound" / str(session)) as keeper:
            for sound in sounds:
                keeper.add(sound)
        opened.add_sound(session, Sound(file=f"sound/{session}", start=0, seconds=2 * LONG_S))
        for at, text in enumerate(NOTES):
            opened.add_note(session, Note(text=text, start=at * LONG_S, end=(at + 1) * LONG_S), reader.read(text))
        opened.mark_session(session, state="finished", seconds=2 * LONG_S)
        settle(opened, session, rules)
    return tmp_path / "record", sounds


def likeness(heard, sound):
    """How like a sound the best stretch of what was heard is: 1 when it is the same but for its loudness."""
    size = 1 << (len(heard) + len(sound)).bit_length()
    across = np.fft.irfft(np.fft.rfft(heard, size) * np.conj(np.fft.rfft(sound, size)), size)[: len(heard) - len(sound) + 1]
    total = np.concatenate([[0.0], np.cumsum(heard**2)])
    power = total[len(sound) :] - total[: -len(sound)]
    return float(np.max(np.abs(across) / np.sqrt(np.maximum(power, 1e-9) * np.sum(sound**2))))


def test_the_note_that_was_found_is_heard_and_no_other(record, tmp_path):
    folder, sounds = record
    with bench_sink(tmp_path / "home") as env, (tmp_path / "heard.raw").open("wb") as out:
        listen = ["parec", "--device=bench.monitor", "--raw", "--format=s16le", "--channels=1", f"--rate={SAMPLE_RATE}"]
        listening = subprocess.Popen(listen, env=env, stdout=out)
        try:
            wait_for(lambda: (tmp_path / "heard.raw").stat().st_size > 0, "nothing is recorded")
            command = [sys.executable, "-m", "gudgeon", "find", "drain", "plug", "--play", "--record", str(folder)]
            done = subprocess.run(command, env=env, capture_output=True, text=True, timeout=120)
            until = (tmp_path / "heard.raw").stat().st_size + SAMPLE_RATE  # half a second more: what the sound server still holds
            wait_for(lambda: (tmp_path / "heard.raw").stat().st_size > until, "the recording stopped")
        finally:
            listening.terminate()
            listening.wait(20)
    assert done.returncode == 0, done.stderr
    assert "34 N·m" in done.stdout
    heard = np.frombuffer((tmp_path / "heard.raw").read_bytes()[: -((tmp_path / "heard.raw").stat().st_size % 2) or None], "<i2") / 32768
    assert likeness(heard, sounds[1]) > 0.9
    assert likeness(heard, sounds[0]) < 0.3
    loud = np.flatnonzero(np.abs(heard) > 0.02)
    assert (loud[-1] - loud[0]) / SAMPLE_RATE == pytest.approx(LONG_S, abs=0.3)
