"""A take that is broken off, by Ctrl-C or a kill at any instant: every acknowledged note is there, none twice, with its sound."""

import json
import os
import random
import signal
import sqlite3
import subprocess
import sys
import time
from itertools import pairwise
from pathlib import Path

import pytest

from gudgeon.audio import cut, kept_seconds, write_wav
from gudgeon.record import Record

SLOW_TAKE = Path(__file__).with_name("slow_take.py")
LAST_MOMENT = 0.15
"""Seconds of sound that a kill may cost."""


@pytest.fixture(scope="module")
def recording(repository, tmp_path_factory):
    path = tmp_path_factory.mktemp("bench") / "bench.wav"
    write_wav(path, cut(repository / "sample_audio" / "orchard_session.flac", 0.0, 26.0))
    return path


def start(recording, record, pause):
    command = [sys.executable, SLOW_TAKE, str(pause), "take", recording, "--record", record, "--json"]
    return subprocess.Popen(command, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True, env={**os.environ, "GUDGEON_SETTINGS": "/dev/null"})


def note_count(record):
    try:
        db = sqlite3.connect(f"file:{record}/record.db?mode=ro", uri=True, timeout=5)
        try:
            return db.execute("select count(*) from notes").fetchone()[0]
        finally:
            db.close()
    except sqlite3.OperationalError:
        return 0


def wait_for_notes(record, process, count):
    deadline = time.monotonic() + 60
    while note_count(record) < count and process.poll() is None and time.monotonic() < deadline:
        time.sleep(0.02)


def finished_run(recording, record):
    process = start(recording, record, 0.0)
    out, err = process.communicate(timeout=120)
    assert process.returncode == 0, err
    return json.loads(out)


def assert_no_note_twice(notes):
    assert all(first["end"] <= second["start"] + 1e-3 for first, second in pairwise(notes))


@pytest.mark.parametrize("signal_sent", [signal.SIGINT, pytest.param(signal.SIGTERM, marks=pytest.mark.slow)])
def test_broken_off_politely(recording, tmp_path, signal_sent):
    process = start(recording, tmp_path / "r", 0.4)
    wait_for_notes(tmp_path / "r", process, 2)
    process.send_signal(signal_sent)
    out, err = process.communicate(timeout=60)
    found = json.loads(out)
    assert process.returncode == 1
    assert "Traceback" not in err
    assert f"Stopped. {len(found['notes'])} notes are kept in session 1. Take the same file again to carry on." in err
    assert len(found["notes"]) >= 2 and len(found["entries"]) == len(found["notes"])
    assert found["session"]["state"] == "unfinished"

    whole = finished_run(recording, tmp_path / "r")
    assert whole["session"]["id"] == 1 and whole["session"]["state"] == "finished"
    assert whole["notes"][: len(found["notes"])] == found["notes"]
    assert_no_note_twice(whole["notes"])
    uninterrupted = finished_run(recording, tmp_path / "other")
    assert len(whole["notes"]) == len(uninterrupted["notes"])
    assert kept_seconds(tmp_path / "r" / "sound" / "1") == pytest.approx(26.0, abs=0.01)


def killed_somewhere(recording, record, when):
    """Kill a take ``when`` seconds after its start; the notes that were on the disk then."""
    process = start(recording, record, 0.1)
    time.sleep(when)
    process.kill()
    process.communicate()
    return note_count(record)


def assert_whole(record, count):
    """Nothing acknowledged is gone, the record is whole, and every note has its sound."""
    with Record.open(record) as opened:
        assert not [trouble for trouble in opened.check() if not trouble.harmless]
        for session in opened.sessions():
            notes = opened.notes(session.id)
            assert len(notes) >= count
            if notes:
                assert kept_seconds(record / "sound" / str(session.id)) >= max(note.note.end for note in notes) - LAST_MOMENT


@pytest.mark.slow
def test_killed_at_any_instant(recording, tmp_path):
    """Forty kills at random moments of one take after another, each carried on; the seed is fixed so that a failure comes again."""
    luck = random.Random(20261125)
    record, counts = tmp_path / "r0", [0]
    for round_ in range(40):
        count = killed_somewhere(recording, record, luck.uniform(0.3, 2.2))
        assert count >= counts[-1]
        counts.append(count)
        if count:
            assert_whole(record, count)
        if round_ % 8 == 7:
            whole = finished_run(recording, record)
            assert_no_note_twice(whole["notes"])
            assert whole["session"]["id"] == 1
            record, counts = tmp_path / f"r{round_ + 1}", [0]


def test_killed_once(recording, tmp_path):
    process = start(recording, tmp_path / "r", 0.3)
    wait_for_notes(tmp_path / "r", process, 2)
    process.kill()
    process.communicate()
    count = note_count(tmp_path / "r")
    assert count >= 2
    assert_whole(tmp_path / "r", count)
    whole = finished_run(recording, tmp_path / "r")
    assert len(whole["notes"]) > count
    assert_no_note_twice(whole["notes"])
    assert_whole(tmp_path / "r", len(whole["notes"]))


@pytest.mark.slow
def test_notes_killed_at_any_instant(tmp_path):
    """Sixty typed notes, each killed at a random moment: what was acknowledged is there, once, and the record is whole."""
    luck = random.Random(20261126)
    record, acknowledged = tmp_path / "r", []
    environment = {**os.environ, "GUDGEON_SETTINGS": "/dev/null"}
    for number in range(60):
        command = [sys.executable, "-u", SLOW_TAKE, "0", "note", f"lid at {number}", "--record", record, "--json"]
        process = subprocess.Popen(command, stdout=subprocess.PIPE, stderr=subprocess.DEVNULL, text=True, env=environment)
        try:
            out, _ = process.communicate(timeout=luck.uniform(0.2, 3.0))
        except subprocess.TimeoutExpired:
            process.kill()
            out, _ = process.communicate()
        if out.strip():
            acknowledged.append(json.loads(out)["notes"][0]["text"])
    with Record.open(record) as opened:
        texts = [note.note.text for session in opened.sessions() for note in opened.notes(session.id)]
        assert not [trouble for trouble in opened.check() if not trouble.harmless]
    assert set(acknowledged) <= set(texts) and len(texts) == len(set(texts))
    assert acknowledged


@pytest.mark.slow
def test_the_real_recogniser_killed(recording, tmp_path):
    """The embedded model, killed at random moments and carried on until it is through."""
    luck = random.Random(20261127)
    record, count = tmp_path / "r", 0
    command = [Path(sys.executable).parent / "gudgeon", "take", recording, "--record", record, "--json"]
    environment = {**os.environ, "GUDGEON_SETTINGS": "/dev/null"}
    for _ in range(6):
        process = subprocess.Popen(command, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL, env=environment)
        time.sleep(luck.uniform(2.0, 14.0))
        process.kill()
        process.wait()
        assert note_count(record) >= count
        count = note_count(record)
        if count:
            assert_whole(record, count)
    ran = subprocess.run(command, capture_output=True, text=True, env=environment, timeout=300)
    assert ran.returncode == 0, ran.stderr
    assert_no_note_twice(json.loads(ran.stdout)["notes"])
