"""Two hundred kills at random instants: what was acknowledged is there, once, with its sound and its picture, and the record is whole.

Typed notes 90, takes 50, live sessions from a file 20, migrations 20, and 20 takes with the real recogniser. How long a run takes on this
computer is measured first, and the instants are spread over that. The seeds are fixed, so that the same instants are tried again.
"""

import json
import os
import random
import sqlite3
import subprocess
import sys
import time
from pathlib import Path

import pytest

from gudgeon.audio import cut, kept_seconds, write_wav
from gudgeon.record import Record
from gudgeon.record.schema import VERSION

pytestmark = [pytest.mark.slow, pytest.mark.timeout(1500)]

RUNNER = Path(__file__).with_name("slow_take.py")
LAST_MOMENT = 0.15
"""Seconds of sound that a kill may cost."""
ENVIRONMENT = {**os.environ, "GUDGEON_SETTINGS": "/dev/null"}


@pytest.fixture(scope="module")
def recording(repository, tmp_path_factory):
    path = tmp_path_factory.mktemp("bench") / "bench.wav"
    write_wav(path, cut(repository / "sample_audio" / "orchard_session.flac", 0.0, 18.0))
    return path


def run(pause, *command, record, for_seconds=None):
    """Run the command line, killed after so many seconds; what it had printed on both streams, and whether it came to its end."""
    process = subprocess.Popen(
        [sys.executable, "-u", RUNNER, pause, *map(str, command), "--record", record, "--json"],
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
        env=ENVIRONMENT,
    )
    try:
        out, err = process.communicate(timeout=for_seconds)
    except subprocess.TimeoutExpired:
        process.kill()
        out, err = process.communicate()
        assert "Traceback" not in err, err
        return out, err, False
    assert process.returncode == 0, err
    return out, err, True


def lasts(pause, *command, record):
    """How many seconds an undisturbed run takes."""
    began = time.monotonic()
    run(pause, *command, record=record)
    return time.monotonic() - began


def assert_nothing_lost(record, acknowledged):
    """Every acknowledged text is there, in order; no note twice; sound, pictures and words together; nothing damaged."""
    with Record.open(record) as opened:
        for session in opened.sessions():
            notes = opened.notes(session.id)
            starts = [note.note.start for note in notes if note.note.start is not None]
            assert starts == sorted(set(starts))
            if starts:
                assert kept_seconds(record / "sound" / str(session.id)) >= max(note.note.end for note in notes) - LAST_MOMENT
        texts = [note.note.text for session in opened.sessions() for note in opened.notes(session.id)]
        assert [text for text in texts if text in acknowledged] == acknowledged
        assert not [trouble for trouble in opened.check() if not trouble.harmless]
    return texts


def sound_killed(luck, recording, folder, *, pause, verb, kills, acks):
    """Kill a take or a live session again and again, each carried on, until it is through; then begin another. How many kills landed."""
    command = [*verb, recording]
    whole = folder / "whole"
    length = lasts(pause, *command, record=whole)
    wanted = assert_nothing_lost(whole, [])
    landed, number, told = 0, 0, []
    while landed < kills:
        record = folder / f"r{number}"
        out, err, done = run(pause, *command, record=record, for_seconds=luck.uniform(0.1, 1.0) * length)
        told += acks(out, err)
        texts = assert_nothing_lost(record, told)
        landed += not done
        if done:
            assert len(texts) == len(wanted)
            number, told = number + 1, []
    out, err, _ = run(pause, *command, record=record)
    assert len(assert_nothing_lost(record, told + acks(out, err))) == len(wanted)


def told_by_take(out, err):
    return [line.removeprefix("ack ") for line in err.splitlines(keepends=False) if line.startswith("ack ")]


def told_by_listen(out, err):
    whole = out[: out.rfind("\n") + 1]
    return [row["text"] for row in map(json.loads, whole.splitlines()) if row.get("note")]


def test_takes(recording, tmp_path):
    sound_killed(random.Random(20261125), recording, tmp_path, pause="0.1", verb=["take"], kills=50, acks=told_by_take)


def test_live_sessions_from_a_file(recording, tmp_path):
    sound_killed(random.Random(20261128), recording, tmp_path, pause="0.1", verb=["listen", "--from"], kills=20, acks=told_by_listen)


def test_takes_with_the_real_recogniser(recording, tmp_path):
    sound_killed(random.Random(20261127), recording, tmp_path, pause="real", verb=["take"], kills=20, acks=told_by_take)


def test_typed_notes(tmp_path, picture):
    """Every other one with a picture; a note that was not acknowledged may be there too, once and with its picture."""
    luck, record, acknowledged, landed, number = random.Random(20261126), tmp_path / "r", [], 0, 0
    length = max(lasts("0", "note", "lid at 9", record=tmp_path / "other") for _ in range(2))
    while landed < 90:
        photo = ["--photo", picture] if number % 2 else []
        out, _, done = run("0", "note", f"lid at {number}", *photo, record=record, for_seconds=luck.uniform(0.3, 1.2) * length)
        acknowledged += [json.loads(out)["notes"][0]["text"]] if out.endswith("\n") else []
        landed, number = landed + (not done), number + 1
    texts = assert_nothing_lost(record, acknowledged)
    assert len(texts) == len(set(texts)) and acknowledged
    with Record.open(record) as opened:
        for note in opened.notes(1):
            assert len(note.pictures) == int(note.note.text.split()[-1]) % 2
            assert all((record / shown.file).read_bytes() == picture.read_bytes() for shown in note.pictures)


MIGRATION = """
import sys
from pathlib import Path
from gudgeon.record import Record, migrations, schema, store
def turned(tables):
    for step in range(1, 5):
        tables["notes"].transform(rename={"text": "said"})
        tables["notes"].transform(rename={"said": "text"})
        tables[f"step{step}"].insert_all({"id": at} for at in range(5000))
migrations.MIGRATIONS = (*migrations.MIGRATIONS, ("turned", turned))
store.VERSION = schema.VERSION + 1
print("begun", flush=True)
Record.open(Path(sys.argv[1]))
"""


def test_migrations(repository, tmp_path):
    """From the first schema to one more than the newest: each is there whole or not at all, and so is the copy made before."""
    luck, newest = random.Random(20261129), VERSION + 1
    script = (repository / "tests" / "tables" / "records" / "schema-1.sql").read_text(encoding="utf-8")
    landed, length, number, versions = 0, migrated(old_record(tmp_path / "whole", script))[1], 0, set()
    while landed < 20:
        record = old_record(tmp_path / f"r{number}", script)
        done, _ = migrated(record, luck.uniform(0.0, 1.1) * length)
        version, notes, steps = state_of(record / "record.db")
        assert (notes, steps) == (2001, 4 if version == newest else 0), version
        for copy in record.glob("before-schema-*.db"):
            assert state_of(copy)[0] < version + 1 and state_of(copy)[1] == 2001
        migrated(record)
        assert state_of(record / "record.db") == (newest, 2001, 4)
        landed, number = landed + (not done), number + 1
        versions.add(version)
    assert len(versions) > 1


def old_record(folder, script):
    """A record of the first schema with two thousand more notes."""
    folder.mkdir()
    db = sqlite3.connect(folder / "record.db")
    db.executescript(script)
    rows = ((1, at, f"note {at}", "2026-05-04T07:30:00.000000Z") for at in range(1, 2001))
    db.executemany("insert into notes (session, position, text, added) values (?, ?, ?, ?)", rows)
    db.commit()
    db.close()
    return folder


def migrated(record, for_seconds=None):
    """Open it with one more migration, killed so many seconds after the start of the work; whether it came to its end, and how long it took."""
    process = subprocess.Popen([sys.executable, "-c", MIGRATION, record], stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True)
    process.stdout.readline()
    began = time.monotonic()
    try:
        _, err = process.communicate(timeout=for_seconds)
    except subprocess.TimeoutExpired:
        process.kill()
        process.communicate()
        return False, time.monotonic() - began
    assert process.returncode == 0, err
    return True, time.monotonic() - began


def state_of(path):
    """(schema, notes, tables of the last migration), after SQLite's own check."""
    db = sqlite3.connect(path)
    try:
        assert db.execute("pragma integrity_check").fetchone()[0] == "ok"
        steps = db.execute("select count(*) from sqlite_master where type = 'table' and name like 'step%'").fetchone()[0]
        return db.execute("pragma user_version").fetchone()[0], db.execute("select count(*) from notes").fetchone()[0], steps
    finally:
        db.close()
