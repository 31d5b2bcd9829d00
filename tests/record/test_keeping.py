"""Backups come back as they were; sound that is forgotten is gone, and the record says so."""

import importlib.util
import stat
import threading
import zipfile
from pathlib import Path

import pytest

from gudgeon.domain import BadInput, Failure, MissingThing, Note
from gudgeon.record import Record, Sound

_SPEC = importlib.util.spec_from_file_location("pictures", Path(__file__).with_name("pictures.py"))
_made = importlib.util.module_from_spec(_SPEC)
_SPEC.loader.exec_module(_made)
JPEG, OTHER = _made.encoded("jpeg"), _made.encoded("jpeg", shade=9)


@pytest.fixture
def full(record, session):
    record.add_note(session, Note(text="lid at eighteen", start=0.0, end=1.0))
    folder = record.folder / "sound" / str(session)
    folder.mkdir(parents=True)
    (folder / "0000000000.flac").write_bytes(b"fLaC sound")
    record.add_sound(session, Sound(file=f"sound/{session}", start=0.0, seconds=2.0))
    return record


def texts(folder):
    with Record.open(folder) as record:
        return [note.note.text for session in record.sessions() for note in record.notes(session.id)]


@pytest.mark.parametrize("sound", [True, False])
def test_there_and_back(full, tmp_path, sound):
    size = full.backup(tmp_path / "b.zip", sound=sound)
    assert size == (tmp_path / "b.zip").stat().st_size
    assert stat.S_IMODE((tmp_path / "b.zip").stat().st_mode) == 0o600
    Record.restore(tmp_path / "b.zip", tmp_path / "back")
    assert texts(tmp_path / "back") == ["lid at eighteen"]
    assert (tmp_path / "back" / "sound" / "1" / "0000000000.flac").exists() is sound
    assert stat.S_IMODE((tmp_path / "back").stat().st_mode) == 0o700
    assert sorted(path.name for path in full.folder.iterdir() if path.name.endswith(".part")) == []


def test_what_was_left_out_on_purpose_is_not_taken_for_lost(full, session, tmp_path):
    full.add_picture(full.notes(session)[0].id, JPEG, "hub.jpg")
    full.backup(tmp_path / "b.zip", sound=False)
    Record.restore(tmp_path / "b.zip", tmp_path / "back")
    with Record.open(tmp_path / "back") as back:
        (told,) = [trouble for trouble in back.check() if trouble.code == "left-out"]
        assert told.harmless
        assert "the sound of 1 session and 1 picture were left out of it on purpose" in told.text
        assert [trouble for trouble in back.check() if not trouble.harmless] == []
        assert [row["kind"] for row in back.export_lines() if row.get("kind") in ("session", "picture")] == ["session"]
        back.add_picture(back.notes(session)[0].id, OTHER, "lid.jpg")
        for path in (back.folder / "photos").rglob("*.jpg"):
            path.unlink()
        assert [trouble.code for trouble in back.check() if not trouble.harmless] == ["picture-missing"], "what came later and is lost is told"
    assert stat.S_IMODE((tmp_path / "back" / "left_out.txt").stat().st_mode) == 0o600


def test_a_whole_backup_leaves_nothing_out(full, tmp_path):
    full.backup(tmp_path / "b.zip")
    Record.restore(tmp_path / "b.zip", tmp_path / "back")
    assert not (tmp_path / "back" / "left_out.txt").exists()
    (tmp_path / "back" / "sound" / "1" / "0000000000.flac").unlink()
    (tmp_path / "back" / "sound" / "1").rmdir()
    with Record.open(tmp_path / "back") as back:
        assert [trouble.code for trouble in back.check() if not trouble.harmless] == ["sound-missing"]


def test_while_another_writes(full, session, tmp_path):
    """Notes go in all the time; every backup is one instant of them, whole and in order."""
    stop = threading.Event()

    def write():
        with Record.open(full.folder) as other:
            count = 0
            while not stop.is_set():
                other.add_note(session, Note(text=f"note {count}"))
                count += 1

    writer = threading.Thread(target=write)
    writer.start()
    try:
        for round_ in range(5):
            full.backup(tmp_path / f"{round_}.zip")
    finally:
        stop.set()
        writer.join()
    for round_ in range(5):
        Record.restore(tmp_path / f"{round_}.zip", tmp_path / f"back{round_}")
        found = texts(tmp_path / f"back{round_}")[1:]
        assert found == [f"note {at}" for at in range(len(found))]


def test_nothing_is_overwritten(full, tmp_path):
    (tmp_path / "b.zip").write_text("mine")
    with pytest.raises(BadInput, match="there already"):
        full.backup(tmp_path / "b.zip")
    full.backup(tmp_path / "c.zip")
    with pytest.raises(BadInput, match="holds a record already"):
        Record.restore(tmp_path / "c.zip", full.folder)
    assert (tmp_path / "b.zip").read_text() == "mine"


def test_a_place_that_is_not_there(full):
    with pytest.raises(Failure, match="could not be written"):
        full.backup("/proc/none/b.zip")


def damaged(path, how):
    raw = path.read_bytes()
    if how == "cut":
        path.write_bytes(raw[: len(raw) // 2])
    elif how == "a bit":
        path.write_bytes(raw[: len(raw) // 3] + bytes([raw[len(raw) // 3] ^ 255]) + raw[len(raw) // 3 + 1 :])
    elif how == "no zip":
        path.write_text("hello")
    elif how == "another zip":
        path.unlink()
        with zipfile.ZipFile(path, "w") as archive:
            archive.writestr("letter.txt", "Dear Sir")


@pytest.mark.parametrize("how", ["cut", "a bit", "no zip", "another zip"])
def test_a_damaged_backup_leaves_nothing(full, tmp_path, how):
    full.backup(tmp_path / "b.zip")
    damaged(tmp_path / "b.zip", how)
    with pytest.raises(Failure, match="damaged or is none"):
        Record.restore(tmp_path / "b.zip", tmp_path / "back")
    assert not (tmp_path / "back").exists()


def test_paths_cannot_leave_the_folder(full, tmp_path):
    full.backup(tmp_path / "b.zip")
    with zipfile.ZipFile(tmp_path / "b.zip", "a") as archive:
        archive.writestr("sound/../../evil.txt", "x")
        archive.writestr("/tmp/evil-gudgeon.txt", "x")
    Record.restore(tmp_path / "b.zip", tmp_path / "deep" / "back")
    assert not list(tmp_path.rglob("evil*"))


def test_a_backup_that_is_not_there(tmp_path):
    with pytest.raises(MissingThing):
        Record.restore(tmp_path / "none.zip", tmp_path / "back")


def test_forget(full, session):
    assert full.forget_sound(session) == 1
    assert not (full.folder / "sound" / "1").exists()
    assert full.sounds(session)[0].forgotten is not None
    assert full.history("session", session)[0].action == "sound forgotten"
    assert [note.note.text for note in full.notes(session)] == ["lid at eighteen"]
    assert not [trouble for trouble in full.check() if not trouble.harmless]
    assert full.forget_sound() == 0


def test_forgetting_that_was_broken_off_is_finished(full, session):
    """The record said that the sound is gone and then fell: the next `forget` removes the files."""
    full._db.execute("update sounds set forgotten = '2026-05-04T08:00:00.000000Z'")
    full.forget_sound()
    assert not (full.folder / "sound" / "1").exists()
