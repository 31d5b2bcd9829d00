"""Files and folders as they should not be: a plain sentence, the right exit status, and nothing lost."""

import os
import shutil
import sqlite3
import subprocess

import numpy as np
import pytest

from gudgeon.audio import cut, write_wav
from gudgeon.cli import wiring
from gudgeon.domain import SAMPLE_RATE
from gudgeon.speech import Scripted


@pytest.fixture
def ear(monkeypatch):
    """A recogniser that says what it was told to; the sound is real."""
    said = Scripted(["lid at 18", "cover at 9", "lid at 20", "is it twenty?"])
    monkeypatch.setattr(wiring, "recogniser", lambda name=None, **how: said)
    return said


@pytest.fixture(scope="module")
def speech(repository):
    """The first eighteen seconds of the sample session: three sentences."""
    return cut(repository / "sample_audio" / "orchard_session.flac", 0.0, 18.0)


def plain(ran, status):
    """Sentences on standard error, no traceback, the status that was promised."""
    assert ran.status == status
    assert ran.err.strip() and "Traceback" not in ran.err and "Something went wrong inside" not in ran.err
    assert all(line.rstrip().endswith((".", "?", "…", '"')) or line.startswith("New job") for line in ran.err.strip().splitlines()), ran.err
    return ran.err


def sessions(gudgeon):
    return gudgeon("check", "--json").json["whole"], [job["name"] for job in gudgeon("job", "list", "--json").lines]


class TestRecordings:
    def test_a_good_one(self, gudgeon, home, ear, speech):
        write_wav(home / "good.wav", speech)
        found = gudgeon("take", home / "good.wav", "--json").json
        assert [note["text"] for note in found["notes"]] == ["lid at 18", "cover at 9", "lid at 20"]
        assert gudgeon("check", "--json").json["troubles"] == []

    def test_empty(self, gudgeon, home, ear):
        (home / "empty.wav").touch()
        assert "empty" in plain(gudgeon("take", home / "empty.wav"), 1)

    @pytest.mark.parametrize("name", ["letter.wav", "letter.mp3", "letter.mkv"])
    def test_no_sound_at_all(self, gudgeon, home, ear, name):
        (home / name).write_text("Dear Sir, this is a letter and no recording.\n" * 200)
        plain(gudgeon("take", home / name), 1)

    def test_missing_and_folder(self, gudgeon, home, ear):
        assert "There is no file" in plain(gudgeon("take", home / "none.wav"), 1)
        assert "is a folder" in plain(gudgeon("take", home), 2)

    def test_nothing_is_stored_of_them(self, gudgeon, home, ear):
        (home / "empty.wav").touch()
        for name in ("empty.wav", "none.wav"):
            gudgeon("take", home / name)
        assert plain(gudgeon("summary"), 1) == "There is no session yet.\nMake one with `gudgeon take FILE` or `gudgeon note TEXT`.\n"

    def test_cut_off(self, gudgeon, home, ear, speech):
        """What is there is read, and it is said that the file breaks off."""
        write_wav(home / "whole.wav", speech)
        whole = (home / "whole.wav").read_bytes()
        (home / "cut.wav").write_bytes(whole[: len(whole) * 2 // 3])
        ran = gudgeon("take", home / "cut.wav", "--json")
        assert ran.status == 0
        assert len(ran.json["notes"]) >= 1
        assert ran.json["session"]["seconds"] == pytest.approx(12.0, abs=0.5)
        assert ran.err.strip()

    def test_silence(self, gudgeon, home, ear):
        write_wav(home / "silent.wav", np.zeros(SAMPLE_RATE * 5, dtype=np.float32))
        ran = gudgeon("take", home / "silent.wav")
        assert ran.status == 0
        assert "No speech was found in it." in ran.out
        assert ear.clips == []

    def test_unheard_speech_is_kept_with_its_sound(self, gudgeon, home, monkeypatch, speech):
        monkeypatch.setattr(wiring, "recogniser", lambda name=None, **how: Scripted([]))
        write_wav(home / "mumble.wav", speech)
        ran = gudgeon("take", home / "mumble.wav", "--json")
        notes = ran.json["notes"]
        assert notes and all(note["unheard"] for note in notes)
        kept = cut(wiring.record_folder(None) / "sound" / "1", notes[0]["start"], notes[0]["end"])
        assert np.abs(kept).max() > 0.01
        assert "could not be read; its sound is kept" in gudgeon("summary").out

    def test_a_name_with_odd_letters(self, gudgeon, home, ear, speech):
        path = home / "größe 'n\" %s {x}\n.wav"
        write_wav(path, speech)
        assert gudgeon("take", path, "--json").json["session"]["source"] == str(path)


class TestSheets:
    def load(self, gudgeon, home, raw):
        (home / "s.csv").write_bytes(raw)
        return gudgeon("spec", "load", home / "s.csv", "--json")

    def test_bad_rows_are_refused_by_line_and_the_rest_loads(self, gudgeon, home):
        found = self.load(gudgeon, home, b"part,torque,unit\nlid,18,N*m\nlid,much,N*m\n,9,N*m\ncover,9,furlong\nhead,40,N*m\n").json
        assert found["rows"] == 2
        assert [row["line"] for row in found["refused"]] == [3, 4, 5]
        assert all(row["reason"] for row in found["refused"])

    @pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "cp1252", "utf-16", "utf-16-le"])
    def test_encodings(self, gudgeon, home, encoding):
        found = self.load(gudgeon, home, "part,torque,unit,note\r\nlid,18,N·m,über\r\n".encode(encoding)).json
        assert (found["rows"], found["refused"]) == (1, [])
        assert gudgeon("spec", "show", "--json").lines[0]["note"] == "über"

    def test_no_sheet_at_all(self, gudgeon, home):
        (home / "s.csv").write_bytes(bytes(range(256)) * 20)
        plain(gudgeon("spec", "load", home / "s.csv"), 2)
        (home / "s.csv").write_text("")
        plain(gudgeon("spec", "load", home / "s.csv"), 2)
        plain(gudgeon("spec", "load", home / "none.csv"), 1)

    @pytest.mark.slow
    def test_a_hundred_thousand_rows(self, gudgeon, home):
        rows = "".join(f"part {number},bolt,{number % 90 + 5},N*m\n" for number in range(100_000))
        found = self.load(gudgeon, home, f"part,fastener,torque,unit\n{rows}".encode()).json
        assert (found["rows"], found["refused"]) == (100_000, [])
        assert gudgeon("spec", "show", "--json").out.count("\n") == 100_000

    def test_what_the_sheet_held_is_kept_word_for_word(self, gudgeon, home):
        raw = "part,torque,unit,page\nlid,18,N*m,12\nlid,much,N*m,13\n"
        self.load(gudgeon, home, raw.encode())
        with wiring.open_record(None) as record:
            assert record.sheet(None).text == raw


class TestRecords:
    def test_an_unwritable_folder(self, gudgeon, home):
        if os.geteuid() == 0 and shutil.which("chattr") is None:
            pytest.skip("root may write everywhere, and there is no chattr")
        place = home / "closed"
        place.mkdir()
        if os.geteuid() == 0:
            made = subprocess.run(["chattr", "+i", place], capture_output=True)
            if made.returncode:
                pytest.skip("this file system knows no immutable folders")
        else:
            place.chmod(0o500)
        try:
            plain(gudgeon("note", "lid at 18", "--record", place / "record"), 1)
        finally:
            if os.geteuid() == 0:
                subprocess.run(["chattr", "-i", place], check=True)
            else:
                place.chmod(0o700)

    def test_a_folder_that_cannot_be_made(self, gudgeon):
        """/proc takes no folders, not even from root."""
        assert "could not be made" in plain(gudgeon("note", "lid at 18", "--record", "/proc/gudgeon/record"), 1)

    def test_a_file_in_its_place(self, gudgeon, home):
        (home / "file").write_text("x")
        assert "is a file" in plain(gudgeon("note", "lid at 18", "--record", home / "file"), 2)

    def test_a_newer_one(self, gudgeon, home):
        gudgeon("note", "lid at 18")
        file = home / "record" / "record.db"
        db = sqlite3.connect(file)
        db.execute("pragma user_version = 99")
        db.close()
        before = file.read_bytes()
        assert "newer gudgeon" in plain(gudgeon("summary"), 1)
        assert file.read_bytes() == before

    def test_a_damaged_one(self, gudgeon, home):
        (home / "record").mkdir()
        (home / "record" / "record.db").write_bytes(b"\x00rubbish" * 999)
        assert "damaged or is no record" in plain(gudgeon("summary"), 1)

    def test_a_locked_one(self, gudgeon, home, monkeypatch):
        gudgeon("note", "lid at 18")
        monkeypatch.setattr("gudgeon.record.store.BUSY_SECONDS", 0.05)
        other = sqlite3.connect(home / "record" / "record.db", isolation_level=None)
        other.execute("begin immediate")
        assert "Another program is writing" in plain(gudgeon("note", "cover at 9"), 1)
        other.close()
        assert gudgeon("note", "cover at 9").status == 0

    def test_no_room_on_the_disk(self, gudgeon, home):
        """A database that may not grow behaves as on a full disk."""
        gudgeon("note", "lid at 18")
        with wiring.open_record(None) as record:
            pages = record._db.execute("pragma page_count").fetchone()[0]
        from gudgeon.record import store

        real = store.connect

        def small(path):
            db = real(path)
            db.execute(f"pragma max_page_count = {pages}")
            return db

        store.connect, kept = small, store.connect
        try:
            ran = gudgeon("note", "lid at 18 " * 9_000)
        finally:
            store.connect = kept
        assert "full" in plain(ran, 1)
        assert [note["text"] for note in gudgeon("summary", "--json").json["notes"]] == ["lid at 18"]


class TestNotes:
    def test_a_hundred_kilobytes(self, gudgeon):
        text = "lid at 18 " + "while the kettle sings and the radio plays " * 2_330
        ran = gudgeon("note", text, "--json")
        assert ran.status == 0
        assert ran.json["notes"][0]["text"] == text.strip()
        assert len(text) > 100_000

    @pytest.mark.parametrize("text", ["", "   ", "\n"])
    def test_nothing(self, gudgeon, text):
        assert "empty" in plain(gudgeon("note", text), 2)

    def test_odd_letters(self, gudgeon):
        text = "lid \U0001f527 at 18 \x07 \u202e ﷽ e\u0301"
        assert gudgeon("note", text, "--json").json["notes"][0]["text"] == text
