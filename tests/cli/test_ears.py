"""``gudgeon ears``: what is shown, prepared, and read aloud."""

import csv
import subprocess

import numpy as np
import pytest

from gudgeon.audio import write_wav
from gudgeon.cli import ears_read, wiring
from gudgeon.domain import SAMPLE_RATE, Clip
from gudgeon.speech import Prepared, Scripted

LINES = [row["line"] for row in csv.DictReader(wiring.tables("speech")["bench_lines"])]


@pytest.fixture(autouse=True)
def own_folders(monkeypatch, tmp_path):
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path / "data"))
    monkeypatch.setenv("GUDGEON_SETTINGS", "/dev/null")


@pytest.fixture
def run(gudgeon):
    return lambda *arguments: gudgeon("ears", *arguments)


@pytest.fixture
def heard(monkeypatch):
    """Says what the recogniser will hear."""

    def set_to(*texts):
        monkeypatch.setattr(wiring, "recogniser", lambda name=None, **how: Scripted(texts))

    return set_to


@pytest.fixture
def recording(tmp_path, monkeypatch):
    """A recording, in which the gate finds one clip."""
    path, sound = tmp_path / "lines.wav", (np.random.default_rng(1).standard_normal(3 * SAMPLE_RATE) * 0.05).astype(np.float32)
    write_wav(path, sound)
    monkeypatch.setattr(ears_read, "_from_file", lambda file: (sound, [Clip(sound[SAMPLE_RATE:], 1.0, 3.0)]))
    return path


def test_a_reading_is_counted_kept_and_compared(run, heard, recording):
    heard(" ".join(LINES).replace("drain plug", "brain plug").replace("nineteen", "ninety"))
    first = run("--read", "--from", recording)
    assert first.status == 0, first.err
    assert "1 of 97 words and 1 of 20 figures were misheard." in first.out
    assert "digit by digit" in first.out
    heard(" ".join(LINES))
    again = run("--from", recording, "--json")
    row = again.json
    assert (row["word_errors"], row["figure_errors"], row["words"], row["figures"]) == (0, 0, 97, 20)
    assert [(old["word_errors"], old["figure_errors"]) for old in row["earlier"]] == [(1, 1)]
    third = run("--read", "--from", recording)
    assert third.out.count("lines.wav") >= 3


def test_a_damaged_line_among_the_readings_is_passed_over(run, heard, recording):
    heard("x", "x")
    ears_read.readings_file().parent.mkdir(parents=True)
    ears_read.readings_file().write_text('{"at": "2026"\n[1]\n')
    assert run("--read", "--from", recording).status == 0
    assert len(ears_read.kept_readings()) == 1


class FakeCapture:
    """A microphone that gives each line a second of noise, speech for as long as it takes, and silence."""

    def __init__(self, microphone, *, tell):
        self.stopped = False

    def blocks(self, stop):
        for _ in range(1_000):
            if stop.is_set():
                return
            yield np.zeros(1_600, np.float32)

    def close(self):
        self.stopped = True


class FakeGate:
    """Finds a clip from 1 s to 2 s of each line; ``silent`` lines have none."""

    count, silent = 0, ()

    def __init__(self, **how):
        self.at, self.number, self.is_open = 0, FakeGate.count, False
        FakeGate.count += 1

    def feed(self, block):
        self.at += len(block)
        found = self.at == 30 * 1_600 and self.number not in self.silent
        return [Clip(np.full(SAMPLE_RATE, 0.1, np.float32), 1.0, 2.0)] if found else []


def test_line_by_line_at_the_microphone(run, heard, monkeypatch):
    from gudgeon import audio

    monkeypatch.setattr(audio, "Capture", FakeCapture)
    monkeypatch.setattr(audio, "Gate", FakeGate)
    monkeypatch.setattr(audio, "choose", lambda wanted: type("M", (), {"name": "clip-on", "number": 3}))
    monkeypatch.setattr(FakeGate, "count", 0)
    monkeypatch.setattr(FakeGate, "silent", (4,))
    heard(*(line for n, line in enumerate(LINES) if n != 4))
    result = run("--read")
    assert result.status == 0, result.err
    assert all(line in result.err for line in LINES)
    assert "1 line was not heard at all" in result.out
    assert "Nothing was heard." in result.err
    (kept,) = ears_read.kept_readings()
    assert (kept["microphone"], kept["figure_errors"], kept["heard"][4]) == ("clip-on", 1, "")


@pytest.fixture
def rebuilt(monkeypatch, tmp_path):
    def set_to(same):
        folder = tmp_path / "cache" / "model"
        folder.mkdir(parents=True, exist_ok=True)
        (folder / "step.onnx").write_bytes(b"x" * 1_000_000)
        monkeypatch.setattr("gudgeon.speech.prepared", lambda files, cache: None)
        monkeypatch.setattr("gudgeon.speech.prepare", lambda files, cache, notice: Prepared(folder, same))

    return set_to


def test_prepare(run, rebuilt):
    rebuilt(True)
    result = run("--prepare")
    assert result.status == 0 and "is prepared" in result.out and "1 MB" in result.out
    assert run("--prepare", "--json").json["same_words"] is True


def test_prepare_says_when_only_the_plain_form_can_be_used(run, rebuilt):
    rebuilt(False)
    result = run("--prepare")
    assert result.status == 1 and "three times slower" in " ".join(result.out.split())


def test_prepare_without_room(run, monkeypatch):
    def full(files, cache, notice):
        raise OSError(28, "not enough room on the disk")

    monkeypatch.setattr("gudgeon.speech.prepared", lambda files, cache: None)
    monkeypatch.setattr("gudgeon.speech.prepare", full)
    result = run("--prepare")
    assert result.status != 0
    assert "not enough room" in result.err


@pytest.mark.slow
@pytest.mark.needs("flite", "sox")
def test_ten_lines_in_a_synthetic_voice(run, tmp_path):
    waves = []
    for number, line in enumerate(LINES):
        waves.append(tmp_path / f"{number:02}.wav")
        subprocess.run(["flite", "-voice", "rms", "-t", line, "-o", waves[-1]], check=True)
    subprocess.run(["sox", *waves, "-r", "16000", tmp_path / "lines.wav", "pad", "1", "1"], check=True)
    row = run("--read", "--from", tmp_path / "lines.wav", "--json").json
    assert row["word_errors"] <= 10
    assert row["figure_errors"] <= 2
