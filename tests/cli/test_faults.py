"""A full disk, sound that is gone, a clock set back, two programs at once: a plain sentence, and nothing acknowledged is lost."""

import json
import os
import resource
import shutil
import signal
import subprocess
import sys
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from gudgeon.audio import cut, kept_seconds, write_wav
from gudgeon.record import Record

RUNNER = Path(__file__).with_name("slow_take.py")


@pytest.fixture(scope="module")
def recording(repository, tmp_path_factory):
    path = tmp_path_factory.mktemp("bench") / "bench.wav"
    write_wav(path, cut(repository / "sample_audio" / "orchard_session.flac", 0.0, 26.0))
    return path


def run(*command, record, most=None, pause="0"):
    """Run the command line in a process that may make no file bigger than ``most`` bytes: writing more fails, as on a full disk."""

    def small():
        signal.signal(signal.SIGXFSZ, signal.SIG_IGN)
        resource.setrlimit(resource.RLIMIT_FSIZE, (most, most))

    return subprocess.run(
        [sys.executable, RUNNER, pause, *map(str, command), "--record", record],
        capture_output=True,
        text=True,
        env={**os.environ, "GUDGEON_SETTINGS": "/dev/null", "GUDGEON_LOG": "/dev/null"},
        preexec_fn=small if most else None,
    )


def assert_plain(ran, *words):
    assert ran.returncode == 1, ran.stdout + ran.stderr
    assert "Traceback" not in ran.stderr and "Something went wrong inside" not in ran.stderr, ran.stderr
    for word in words:
        assert word in ran.stderr, ran.stderr


def texts(record):
    """What is kept, in a record that is whole."""
    with Record.open(record) as opened:
        assert not [trouble for trouble in opened.check() if not trouble.harmless]
        return [note.note.text for session in opened.sessions() for note in opened.notes(session.id)]


def size(record):
    return (record / "record.db").stat().st_size


@pytest.mark.slow
class TestNoRoom:
    def test_for_a_note(self, tmp_path):
        record = tmp_path / "r"
        assert run("note", "lid at 18", record=record).returncode == 0
        ran = run("note", "lid at 19", record=record, most=4096)
        assert_plain(ran, "is full or failing", "kept", "Make room")
        assert texts(record) == ["lid at 18"]
        assert run("note", "lid at 20", record=record).returncode == 0
        assert texts(record) == ["lid at 18", "lid at 20"]

    def test_for_a_new_record(self, tmp_path):
        assert_plain(run("note", "lid at 18", record=tmp_path / "r", most=4096), "is full or failing")
        assert run("note", "lid at 18", record=tmp_path / "r").returncode == 0

    def test_for_the_sound_of_a_recording(self, tmp_path, recording):
        record = tmp_path / "r"
        assert run("note", "lid at 18", record=record).returncode == 0
        ran = run("take", recording, record=record, most=size(record) + 50_000)
        assert_plain(ran, "in session 2", "again: it carries on where it stopped")
        kept = texts(record)
        assert "lid at 18" in kept
        done = run("take", recording, "--json", record=record)
        assert done.returncode == 0, done.stderr
        assert [text for text in texts(record) if text in kept] == kept
        assert kept_seconds(record / "sound" / "2") == pytest.approx(26.0, abs=0.01)

    def test_for_a_picture(self, tmp_path, picture):
        record = tmp_path / "r"
        assert run("note", "lid at 18", record=record).returncode == 0
        big = tmp_path / "big.jpg"
        data = picture.read_bytes()
        comment = b"\xff\xfe\xff\xff" + bytes(65_533)
        big.write_bytes(data[:2] + comment * 60 + data[2:])
        assert_plain(run("note", "lid at 19", "--photo", big, record=record, most=1_000_000), "picture could not be kept", "Nothing was stored")
        assert texts(record) == ["lid at 18"] and not list((record / "photos").rglob("*.jpg*"))

    @pytest.mark.parametrize("command", [("backup", "b.zip"), ("export", "--out", "x.jsonl")])
    def test_for_a_file_that_goes_out(self, tmp_path, command):
        record, said = tmp_path / "r", "lid at 18 " * 6_000 + "18"
        assert run("note", said, record=record).returncode == 0
        ran = run(*command[:-1], tmp_path / command[-1], record=record, most=40_000)  # enough for SQLite's own index file, and no more
        assert_plain(ran, "kept" if command[0] == "backup" else "The record is as it was.")
        assert [path.name for path in tmp_path.iterdir()] == ["r"] and not list(record.glob("*.part"))
        assert texts(record) == [said]


@pytest.mark.slow
class TestSoundGone:
    @pytest.fixture
    def taken(self, tmp_path, recording):
        ran = run("take", recording, "--json", record=tmp_path / "r")
        assert ran.returncode == 0, ran.stderr
        return tmp_path / "r"

    def test_it_is_told(self, taken):
        shutil.rmtree(taken / "sound" / "1")
        ran = run("check", record=taken)
        assert ran.returncode == 1 and "is not in the record's folder; its words are there" in ran.stdout
        assert run("summary", record=taken).returncode == 0
        assert_plain(run("find", "lid", "--play", record=taken))

    def test_a_segment_that_is_damaged(self, taken):
        (segment,) = (taken / "sound" / "1").iterdir()
        segment.write_bytes(b"fLaC" + bytes(40))
        assert run("summary", record=taken).returncode == 0
        assert_plain(run("find", "lid", "--play", record=taken))


class TestClockSetBack:
    def test_notes_stay_in_their_order(self, gudgeon, home, monkeypatch):
        from gudgeon.cli import wiring

        now = datetime(2026, 5, 4, 9, 0, tzinfo=UTC)
        for moved in (timedelta(0), timedelta(hours=-3), timedelta(days=-400), timedelta(days=30)):
            monkeypatch.setattr(wiring, "clock", lambda moved=moved: now + moved)
            assert gudgeon("note", f"lid at {20 + moved.days % 9}").status == 0
            assert gudgeon("note", "is it done?").status == 0
            for command in ("brief", "open", "summary", "check"):
                assert gudgeon(command).status == 0
        with Record.open(home / "record") as record:
            ids = [note.id for session in sorted(record.sessions(), key=lambda session: session.id) for note in record.notes(session.id)]
        assert ids == sorted(ids) and len(ids) == 8


@pytest.mark.slow
class TestTwoAtOnce:
    def test_the_same_recording(self, tmp_path, recording):
        """Both take it: one fills the session, the other says so or finds it done; each note is there once."""
        command = [sys.executable, RUNNER, "0.3", "take", recording, "--record", tmp_path / "r", "--json"]
        both = [subprocess.Popen(command, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True) for _ in range(2)]
        ends = [process.communicate(timeout=120) for process in both]
        codes = sorted(process.returncode for process in both)
        assert codes in ([0, 0], [0, 1]), ends
        for process, (_, err) in zip(both, ends, strict=True):
            assert "Traceback" not in err
            if process.returncode:
                assert "Another gudgeon is filling session 1" in err
        found = texts(tmp_path / "r")
        assert len(found) == len(set(found)) > 3
        whole = json.loads(next(out for process, (out, _) in zip(both, ends, strict=True) if process.returncode == 0))
        assert [note["text"] for note in whole["notes"]] == found

    def test_notes_from_many(self, tmp_path):
        command = [sys.executable, RUNNER, "0", "note", "--record", tmp_path / "r"]
        many = [subprocess.Popen([*command, f"lid at {number}"], stdout=subprocess.DEVNULL, stderr=subprocess.PIPE, text=True) for number in range(5)]
        ends = [process.communicate(timeout=120)[1] for process in many]
        assert [process.returncode for process in many] == [0] * 5, ends
        assert sorted(texts(tmp_path / "r")) == [f"lid at {number}" for number in range(5)]
