"""A take that is broken off, by Ctrl-C, a polite kill or a real one: it is carried on where it stopped. (See also test_nothing_lost.)"""

import json
import os
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


@pytest.mark.slow
@pytest.mark.parametrize("signal_sent", [signal.SIGINT, signal.SIGTERM])
def test_broken_off_politely(recording, tmp_path, signal_sent):
    process = start(recording, tmp_path / "r", 1.5)  # so slow that a busy computer still breaks it off in the middle
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
def test_killed_once(recording, tmp_path):
    process = start(recording, tmp_path / "r", 1.5)
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
