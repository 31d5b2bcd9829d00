"""``gudgeon listen`` as a person uses it, from a recording: typed lines beside it, who speaks, the plain mode, its settings."""

import json
import os
import subprocess
import sys
from pathlib import Path

import pytest

from gudgeon.audio import cut, write_wav
from gudgeon.record import Record

RUNNER = Path(__file__).with_name("slow_take.py")


@pytest.fixture(scope="module")
def recording(repository, tmp_path_factory):
    path = tmp_path_factory.mktemp("bench") / "bench.wav"
    write_wav(path, cut(repository / "sample_audio" / "orchard_session.flac", 0.0, 12.0))
    return path


@pytest.fixture
def listen(recording, tmp_path):
    def run(*options, typed="", settings=""):
        (tmp_path / "settings.toml").write_text(settings)
        command = [sys.executable, RUNNER, "0.05", "listen", "--from", recording, "--record", tmp_path / "record", *options]
        env = os.environ | {"GUDGEON_SETTINGS": str(tmp_path / "settings.toml")}
        return subprocess.run(list(map(str, command)), input=typed, capture_output=True, text=True, env=env, timeout=100)

    return run


def kept(tmp_path):
    with Record.open(tmp_path / "record") as record:
        session = record.latest_session()
        return session, [note.note for note in record.notes(session.id)]


def test_a_typed_line_stands_beside_what_is_said_and_both_say_who(listen, tmp_path):
    ran = listen("--by", "Ann", typed="lid at 20\n\nlid at 21")
    assert ran.returncode == 0, ran.stderr
    assert "typed  lid at 20" in ran.stdout
    session, notes = kept(tmp_path)
    assert [note.text for note in notes if note.start is None] == ["lid at 20", "lid at 21"]
    assert len([note for note in notes if note.start is not None]) >= 2 and {note.by for note in notes} == {"Ann"}
    assert session.state == "finished"


def test_json_says_what_was_typed_and_asked(listen):
    rows = [json.loads(line) for line in listen("--json", typed="Hello workshop, pause\n").stdout.splitlines()]
    assert rows[0]["typed"] and rows[0]["answer"].startswith("Paused.") and rows[0]["note"] is None
    assert all(set(row) >= {"text", "answer", "question", "typed", "entries", "open_items"} for row in rows)


def test_a_setting_that_cannot_be_is_refused_before_anything_is_stored(listen, tmp_path):
    ran = listen("--aloud", settings='tones = "deafening"\n')
    assert ran.returncode == 2 and "tones cannot be 'deafening'" in ran.stderr
    assert not (tmp_path / "record").exists()


def test_another_wake_phrase_is_taken_from_the_settings(listen):
    rows = [json.loads(line) for line in listen("--json", typed="Okay bench, pause\n", settings='wake = "okay bench"\n').stdout.splitlines()]
    assert rows[0]["answer"].startswith("Paused.")
