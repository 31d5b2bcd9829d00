"""Sessions, notes, entries and open items: stored at once or not at all, and found again."""

import os
import sqlite3
import stat
from concurrent.futures import ThreadPoolExecutor
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from threading import Barrier

import pytest

from gudgeon.domain import (
    BadInput,
    CompoundUsed,
    Entry,
    Failure,
    Finding,
    Judgement,
    MissingThing,
    NewerRecord,
    Note,
    OpenItem,
    Part,
    SpecSheet,
    ToolUsed,
    Torque,
    TorqueDone,
    Verdict,
)
from gudgeon.record import Record, Search, Slot, Sound

LID = Entry(part="gearbox lid", fastener="bolt", count=8, thread="M8", torques=(TorqueDone(value=18.0, unit="N*m", nm=18.0, note=0),), notes=(0,))
WITHIN = Judgement(verdicts=(Verdict(code="within", of="18 N·m", reason="As the sheet has it.", torque=0),))


def put(record, session, *entries, judgement=WITHIN):
    return record.put_entries(session, [(slot, judgement) for slot in record.place_readings(session, entries)])


def say(record, session, *texts):
    return [record.add_note(session, Note(text=text, start=float(at), end=at + 1.0), (), reached=at + 1.0) for at, text in enumerate(texts)]


class TestNotes:
    def test_a_note_comes_back_with_its_facts(self, record, session):
        facts = (Torque(value=18.0, unit="N*m", nm=18.0, span=(0, 5), rule="torque:plain"), Part(name="gearbox lid", span=(6, 9)))
        stored = record.add_note(session, Note(text="18 Nm lid", start=1.5, end=3.0, confidence=0.8), facts, reached=3.0)
        assert record.notes(session) == (stored,)
        assert record.session(session).reached == 3.0

    def test_a_note_and_its_facts_are_one_transaction(self, record, session):
        """A fact that cannot be stored takes its note with it: nothing is half there."""
        broken = replace(Part(name="lid", span=(0, 3)), span=(None, 3))
        with pytest.raises(sqlite3.IntegrityError):
            record.add_note(session, Note(text="half a note"), (broken,), reached=9.0)
        assert record.notes(session) == ()
        assert record.session(session).reached == 0.0

    def test_a_note_of_no_session_is_refused(self, record):
        with pytest.raises(sqlite3.IntegrityError):
            record.add_note(99, Note(text="nowhere"))

    def test_unheard_speech_is_kept(self, record, session):
        record.add_note(session, Note(text="", start=1.0, end=2.0, unheard=True))
        assert record.notes(session)[0].note.unheard

    def test_a_note_survives_a_kill(self, record, session):
        """What was acknowledged is on the disk: a copy of the files, as a kill would leave them, has it."""
        say(record, session, "lid bolts at eighteen")
        other = sqlite3.connect(record.folder / "record.db")
        assert other.execute("select text from notes").fetchall() == [("lid bolts at eighteen",)]
        other.close()


class TestFile:
    def test_the_folder_is_the_owners_alone(self, record):
        assert stat.S_IMODE(os.stat(record.folder).st_mode) == 0o700
        record.new_job("tractor")
        assert {path.name: stat.S_IMODE(path.stat().st_mode) for path in record.folder.glob("record.db*")} == dict.fromkeys(
            ("record.db", "record.db-wal", "record.db-shm"), 0o600
        )

    def test_foreign_keys_and_write_ahead_log_are_on(self, record):
        assert record._db.execute("pragma foreign_keys").fetchone()[0] == 1
        assert record._db.execute("pragma journal_mode").fetchone()[0] == "wal"

    def test_a_newer_record_is_refused_untouched(self, tmp_path):
        Record.open(tmp_path / "r").close()
        db = sqlite3.connect(tmp_path / "r" / "record.db")
        db.execute("pragma user_version = 99")
        db.close()
        with pytest.raises(NewerRecord, match="newer gudgeon"):
            Record.open(tmp_path / "r")

    def test_a_file_that_is_no_record(self, tmp_path):
        (tmp_path / "record.db").write_bytes(b"not a database, just text " * 100)
        with pytest.raises(Failure, match="damaged or is no record"):
            Record.open(tmp_path)

    def test_a_folder_that_is_a_file(self, tmp_path):
        (tmp_path / "file").write_text("x")
        with pytest.raises(BadInput, match="is a file"):
            Record.open(tmp_path / "file")

    def test_a_locked_record_says_so(self, tmp_path, monkeypatch):
        monkeypatch.setattr("gudgeon.record.store.BUSY_SECONDS", 0.05)
        Record.open(tmp_path).close()
        other = sqlite3.connect(tmp_path / "record.db", isolation_level=None)
        other.execute("begin immediate")
        with pytest.raises(Failure, match="Another program"), Record.open(tmp_path) as record:
            record.new_job("tractor")
        other.close()

    def test_many_make_it_at_once(self, tmp_path):
        """The folder, the tables and the write-ahead log are made by whoever comes first; the others wait."""
        together = Barrier(4)

        def opened(number):
            together.wait(timeout=20)
            with Record.open(tmp_path / str(number)) as record:
                return record.count_sessions()

        with ThreadPoolExecutor(4) as pool:
            assert list(pool.map(opened, [number for number in range(25) for _ in range(4)])) == [0] * 100

    def test_the_default_clock_is_now(self, tmp_path):
        from datetime import UTC, datetime

        with Record.open(tmp_path) as record:
            assert abs((record.new_job("tractor").created - datetime.now(UTC)).total_seconds()) < 5


class TestJobs:
    def test_jobs(self, record):
        record.new_job(" orchard  tractor ")
        record.new_job("sprayer")
        record.close_job("SPRAYER")
        assert [job.name for job in record.jobs()] == ["orchard tractor", "sprayer"]
        assert record.job("sprayer").closed is not None

    def test_a_name_is_taken_once(self, record):
        record.new_job("tractor")
        with pytest.raises(BadInput, match="already"):
            record.new_job("Tractor")

    def test_an_unknown_job_names_those_known(self, record):
        record.new_job("tractor")
        with pytest.raises(MissingThing, match="'tractor'"):
            record.sessions("tracker")


class TestEntries:
    def test_an_entry_comes_back(self, record, session):
        say(record, session, "lid bolts eighteen newton metres")
        (stored,) = put(record, session, LID)
        assert (stored.entry, stored.reading, stored.judgement) == (LID, LID, WITHIN)
        assert record.entry(stored.id) == stored
        assert record.unsettled() == ()

    def test_a_new_reading_keeps_the_number(self, record, session):
        say(record, session, "lid bolts eighteen", "all eight")
        (first,) = put(record, session, LID)
        (second,) = put(record, session, replace(LID, notes=(0, 1), complete=True))
        assert second.id == first.id
        assert second.entry.complete

    def test_a_part_named_later_keeps_the_number(self, record, session):
        say(record, session, "eighteen newton metres", "that was the lid")
        (first,) = put(record, session, replace(LID, part=None))
        (second,) = put(record, session, replace(LID, notes=(0, 1)))
        assert second.id == first.id

    def test_what_is_read_no_more_goes_unless_a_hand_touched_it(self, record, session):
        say(record, session, "lid", "cover")
        lid, cover = put(record, session, LID, replace(LID, part="cover", notes=(1,)))
        record.set_field(cover.id, "count", 4, reason="counted again")
        assert [entry.id for entry in put(record, session)] == [cover.id]
        with pytest.raises(MissingThing):
            record.entry(lid.id)

    def test_a_change_by_hand_outlives_a_new_reading(self, record, session):
        say(record, session, "lid bolts eighteen", "with blue thread locker")
        (stored,) = put(record, session, LID)
        record.set_field(stored.id, "torques", [{"value": 16.0, "unit": "N*m", "nm": 16.0}], reason="misheard")
        (again,) = put(record, session, replace(LID, notes=(0, 1), compound=CompoundUsed(compound="thread locker", strength="medium")))
        assert again.entry.torques[0].value == 16.0
        assert again.entry.compound.strength == "medium"
        assert again.reading.torques[0].value == 18.0
        (change,) = record.history("entry", stored.id)
        assert (change.field, change.reason) == ("torques", "misheard")
        assert "18" in change.before and "16" in change.after

    def test_struck_and_restored(self, record, session):
        say(record, session, "lid bolts eighteen")
        (stored,) = put(record, session, LID)
        record.strike_entry(stored.id, reason="said by mistake")
        assert record.entry(stored.id).struck
        assert record.find(Search(words=("lid",))) == ()
        record.strike_entry(stored.id, struck=False)
        assert not record.entry(stored.id).struck
        assert [change.action for change in record.history("entry", stored.id)] == ["strike", "restore"]

    def test_plain_sql_reads_it(self, record, session):
        say(record, session, "lid bolts eighteen")
        put(record, session, LID, judgement=replace(WITHIN, findings=(Finding(code="guessed", reason="It was a guess."),)))
        sql = """select e.part, t.value, t.unit, t.verdict, f.code from entries e
            join torques t on t.entry = e.id join findings f on f.entry = e.id"""
        assert record._db.execute(sql).fetchall() == [("gearbox lid", 18.0, "N*m", "within", "guessed")]

    def test_past_values_are_of_earlier_sessions_of_the_same_job_and_part(self, record, clock):
        record.new_job("tractor")
        ids = [
            record.begin_session(job=job, started=clock(), source=f"{at}.flac").id for at, job in enumerate(("tractor", None, "tractor", "tractor"))
        ]
        for session in ids:
            say(record, session, "lid bolts eighteen")
            put(record, session, LID)
        past = record.past_values("tractor", "gearbox lid", before=ids[2])
        assert [(value.session, value.nm, value.date) for value in past] == [(ids[0], 18.0, "2026-05-04")]
        assert record.past_values("tractor", None, before=ids[3]) == ()


class TestItems:
    def test_said_twice_is_one_item(self, record, clock, session):
        say(record, session, "need a new sump gasket")
        (first,) = record.raise_items(session, [OpenItem(kind="buy", text="sump gasket", note=0)])
        later = record.begin_session(started=clock(), source="later.flac").id
        say(record, later, "still need that sump gasket")
        (again,) = record.raise_items(later, [OpenItem(kind="buy", text="a sump gasket", note=0, count=2)])
        assert again.item.id == first.item.id
        assert (again.item.count, len(again.notes)) == (2, 2)

    @pytest.mark.parametrize(
        ("one", "other"),
        [("left wheel cylinder leaks", "right wheel cylinder leaks"), ("two M8 studs", "two M10 studs"), ("sump gasket", "head gasket")],
    )
    def test_alike_but_not_the_same(self, record, session, one, other):
        say(record, session, one, other)
        items = record.raise_items(session, [OpenItem(kind="buy", text=one, note=0), OpenItem(kind="buy", text=other, note=1)])
        assert len(items) == 2

    def test_settling_again_changes_nothing(self, record, session):
        say(record, session, "is it twenty", "the stud is stripped")
        found = [OpenItem(kind="question", text="is it twenty", note=0), OpenItem(kind="fault", text="stud stripped", note=1, part="stud")]
        assert record.raise_items(session, found) == record.raise_items(session, found)

    def test_read_no_more(self, record, session):
        say(record, session, "is it twenty", "is it thirty")
        found = [OpenItem(kind="question", text=text, note=at) for at, text in enumerate(("is it twenty", "is it thirty"))]
        record.raise_items(session, found)
        assert [item.item.text for item in record.raise_items(session, found[1:])] == ["is it thirty"]

    def test_answer_drop_reopen(self, record, session):
        say(record, session, "is it twenty")
        (item,) = record.raise_items(session, [OpenItem(kind="question", text="is it twenty", note=0)])
        number = item.item.id
        assert record.answer(number, "twenty, says the manual").item.ended_by == "twenty, says the manual"
        assert record.items() == ()
        with pytest.raises(BadInput, match="answered already"):
            record.answer(number, "again")
        assert record.reopen(number, "other gearbox").item.state == "open"
        record.drop(number, "not ours")
        assert [change.action for change in record.history("item", number)] == ["answered", "reopened", "dropped"]

    def test_an_answer_by_hand_outlives_settling(self, record, session):
        say(record, session, "is it twenty")
        found = [OpenItem(kind="question", text="is it twenty", note=0)]
        (item,) = record.raise_items(session, found)
        record.answer(item.item.id, "yes")
        assert record.raise_items(session, found)[0].item.state == "answered"
        record.raise_items(session, [])
        assert record.item(item.item.id).item.state == "answered"

    def test_answered_in_the_talk(self, record, session):
        say(record, session, "is it twenty", "yes twenty")
        (item,) = record.raise_items(session, [OpenItem(kind="question", text="is it twenty", note=0, state="answered", ended_by="yes twenty")])
        assert (item.item.state, item.item.ended_by) == ("answered", "yes twenty")

    def test_by_hand(self, record):
        assert record.add_item(OpenItem(kind="todo", text="bleed the brakes")).item.id == 1
        with pytest.raises(BadInput, match="no kind"):
            record.add_item(OpenItem(kind="wish", text="a lift"))


class TestSheetsAndCheck:
    def test_the_newest_sheet_of_a_job_is_in_use(self, record):
        record.new_job("tractor")
        record.put_sheet(name="any.csv", text="part\n", sheet=SpecSheet())
        assert record.sheet("tractor").name == "any.csv"
        record.put_sheet(name="one.csv", text="part\n", sheet=SpecSheet(), job="tractor")
        record.put_sheet(name="two.csv", text="part,torque\n", sheet=SpecSheet(), job="tractor")
        assert (record.sheet("tractor").name, record.sheet("tractor").text) == ("two.csv", "part,torque\n")
        assert record.sheet(None).name == "any.csv"

    def test_a_whole_record(self, record, session):
        say(record, session, "lid bolts eighteen")
        put(record, session, LID)
        record.mark_session(session, state="finished")
        assert record.check() == ()

    def test_what_check_finds(self, record, session):
        say(record, session, "lid bolts eighteen")
        record.add_sound(session, Sound(file="sound/1", start=0.0, seconds=4.0))
        record._db.execute("pragma foreign_keys = off")
        record._db.execute("insert into facts (note, position, kind, start, end, rule, body) values (77, 0, 'part', 0, 1, '', '{}')")
        record._db.execute("insert into notes_fts (rowid, text) values (55, 'ghost')")
        assert {trouble.code for trouble in record.check()} == {"lost-link", "not-put-together", "sound-missing", "search-index", "broken-off"}

    def test_what_is_harmless(self, record, session):
        say(record, session, "lid bolts eighteen")
        assert {trouble.code: trouble.harmless for trouble in record.check()} == {"not-put-together": True, "broken-off": True}

    def test_words_without_their_sound(self, record, session):
        say(record, session, "lid bolts eighteen", "cover nine", "hub ninety")
        (record.folder / "sound" / "1").mkdir(parents=True)
        record.add_sound(session, Sound(file="sound/1", start=0.0, seconds=0.5))
        put(record, session, LID)
        record.mark_session(session, state="finished")
        assert [trouble.code for trouble in record.check()] == ["sound-short"]


class TestSlots:
    def test_nothing_alike_is_a_new_row(self, record, session):
        say(record, session, "lid", "cover")
        put(record, session, LID)
        tool = ToolUsed(tool="socket", size=12.0, size_unit="mm")
        lid, cover = record.place_readings(session, [LID, replace(LID, part="cover", notes=(1,), tool=tool)])
        assert lid.row is not None
        assert cover == Slot(None, cover.reading, cover.reading)


def test_an_item_is_as_old_as_its_words(record):
    """Raised when it was said: in a recording of last week, at the keyboard now."""
    last_week = datetime(2026, 4, 27, 9, 0, tzinfo=UTC)
    old = record.begin_session(started=last_week, source="/home/ada/monday.flac", recogniser="scripted").id
    record.add_note(old, Note(text="is it twenty?", start=90.0, end=92.0))
    typed = record.begin_session(started=last_week, source="typed").id
    stored = record.add_note(typed, Note(text="is it thirty?"))
    (first,) = record.raise_items(old, [OpenItem(kind="question", text="is it twenty?", note=0)])
    (second,) = record.raise_items(typed, [OpenItem(kind="question", text="is it thirty?", note=0)])
    assert first.raised == last_week + timedelta(seconds=90)
    assert second.raised > datetime(2026, 5, 4, tzinfo=UTC) and stored.id
