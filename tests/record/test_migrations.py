"""Migrations: named, applied once, each in one transaction, after a copy; a test record of every earlier schema is kept."""

import sqlite3
import subprocess
import sys
from dataclasses import replace
from pathlib import Path

import pytest

from gudgeon.domain import (
    Entry,
    Failure,
    Finding,
    Joint,
    Judgement,
    Note,
    OtherReading,
    Part,
    SizeMeasured,
    SpecRow,
    TorqueDone,
    Verdict,
)
from gudgeon.record import Record, Slot, migrations, schema, store


def moods(tables):
    tables["moods"].create({"id": int, "mood": str}, pk="id")
    tables["moods"].insert({"mood": "good"})


def broken(tables):
    tables["halves"].create({"id": int}, pk="id")
    tables["nowhere"].add_column("x", int)


NEXT, BROKEN = ("moods", moods), ("broken", broken)


@pytest.fixture
def old(tmp_path):
    """A record of this schema with a note in it."""
    with Record.open(tmp_path / "r") as record:
        session = record.begin_session(started=record._now(), source="x").id
        record.add_note(session, Note(text="lid at eighteen"))
    return tmp_path / "r"


def with_migrations(monkeypatch, *more):
    monkeypatch.setattr(migrations, "MIGRATIONS", (*migrations.MIGRATIONS, *more))
    monkeypatch.setattr(store, "VERSION", schema.VERSION + len(more))


def texts(path):
    db = sqlite3.connect(path)
    try:
        return [text for (text,) in db.execute("select text from notes")]
    finally:
        db.close()


def test_a_copy_is_made_first(old, monkeypatch):
    with_migrations(monkeypatch, NEXT)
    with Record.open(old) as record:
        assert record._db.execute("select mood from moods").fetchall() == [("good",)]
        assert [name for (name,) in record._db.execute("select name from migrations order by rowid")][-1] == "moods"
    copy = old / f"before-schema-{schema.VERSION + 1}.db"
    assert texts(copy) == ["lid at eighteen"] and texts(old / "record.db") == ["lid at eighteen"]
    db = sqlite3.connect(copy)
    assert db.execute("pragma user_version").fetchone()[0] == schema.VERSION
    db.close()


def turned(tables):
    tables["notes"].transform(rename={"text": "said"})
    tables["notes"].transform(rename={"said": "text"})


def unlinked(tables):
    tables.execute("delete from sessions")


def test_a_table_may_be_made_anew_under_its_rows(old, monkeypatch):
    with Record.open(old) as record:
        record.add_note(1, Note(text="cover at nine"), [Part(name="cover", span=(0, 5))])
    with_migrations(monkeypatch, ("turned", turned))
    with Record.open(old) as record:
        assert [(note.note.text, len(note.facts)) for note in record.notes(1)] == [("lid at eighteen", 0), ("cover at nine", 1)]
        assert record._db.execute("pragma foreign_keys").fetchone()[0] == 1


def test_one_that_loses_a_link_is_undone(old, monkeypatch):
    with_migrations(monkeypatch, ("unlinked", unlinked))
    with pytest.raises(Failure, match="lost a link"):
        Record.open(old)
    assert texts(old / "record.db") == ["lid at eighteen"]


def test_once(old, monkeypatch):
    with_migrations(monkeypatch, NEXT)
    for _ in range(2):
        with Record.open(old) as record:
            assert record._db.execute("select count(*) from moods").fetchone()[0] == 1


def test_one_that_fails_leaves_all_as_it_was(old, monkeypatch):
    with_migrations(monkeypatch, NEXT, BROKEN)
    with pytest.raises(Failure):
        Record.open(old)
    db = sqlite3.connect(old / "record.db")
    tables = {name for (name,) in db.execute("select name from sqlite_master")}
    assert "moods" in tables and "halves" not in tables
    assert db.execute("pragma user_version").fetchone()[0] == schema.VERSION + 1
    db.close()
    assert texts(old / "record.db") == ["lid at eighteen"]


def test_a_new_record_needs_no_copy(tmp_path):
    Record.open(tmp_path / "r").close()
    assert not list((tmp_path / "r").glob("before-*"))


KILLED = """
import os, sys
from dataclasses import replace
from pathlib import Path
from gudgeon.record import Record, migrations, schema, store
at = int(sys.argv[2])
def steps(tables):
    for n in range(1, 7):
        if n == at:
            os.kill(os.getpid(), 9)
        tables[f"step{n}"].create({"id": int})
        tables[f"step{n}"].insert({"id": n})
migrations.MIGRATIONS = (*migrations.MIGRATIONS, ("steps", steps))
store.VERSION = schema.VERSION + 1
Record.open(Path(sys.argv[1]))
"""


@pytest.mark.parametrize("at", [1, 4, 6])
def test_killed_in_the_middle(old, at):
    ran = subprocess.run([sys.executable, "-c", KILLED, old, str(at)], capture_output=True)
    assert ran.returncode == -9
    with Record.open(old) as record:
        assert not [trouble for trouble in record.check() if not trouble.harmless]
        assert not [name for (name,) in record._db.execute("select name from sqlite_master where name like 'step%'")]
    assert texts(old / "record.db") == ["lid at eighteen"]


KEPT = sorted((Path(__file__).parents[1] / "tables" / "records").glob("schema-*.sql"))


@pytest.mark.parametrize("dump", KEPT, ids=lambda path: path.stem)
def test_every_earlier_schema_opens(dump, tmp_path):
    db = sqlite3.connect(tmp_path / "record.db")
    db.executescript(dump.read_text(encoding="utf-8"))
    db.close()
    with Record.open(tmp_path) as record:
        assert not [trouble for trouble in record.check() if not trouble.harmless]
        assert [note.note.text for note in record.notes(1)] == ["gearbox lid bolts at 24 newton metres"]
        assert record.entries(1)[0].entry.torques[0].nm == 24.0


def test_a_record_of_this_schema_is_kept():
    """Whoever adds a migration first keeps a record of the schema before it."""
    assert {path.stem for path in KEPT} >= {f"schema-{version}" for version in range(1, schema.VERSION + 1)}


def test_the_number_of_the_schema_is_the_number_of_migrations():
    assert len(migrations.MIGRATIONS) == schema.VERSION


def test_judged_columns_are_filled_as_they_would_be_stored(tmp_path):
    """What the migration makes of old rows is what is stored of new ones."""
    plain = TorqueDone(value=18.0, unit="N*m", nm=18.0, note=0)
    torques = {name: replace(plain, hedged=name == "guess") for name in ("over", "within", "no reference", "guess")}
    heard = replace(plain, heard=(OtherReading(value=80.0, unit="N*m", odds=0.4),))
    rows = [(Entry(part=name, torques=(torque,), notes=(0,)), judged(name, torque=0)) for name, torque in torques.items()]
    rows.append((Entry(part="heard", torques=(heard,), notes=(0,)), judged("no reference", "heard-unsurely", torque=0)))
    size = SizeMeasured(quantity="gap", value=0.4, unit="mm")
    rows += [(Entry(part=code, measures=(size,), notes=(0,)), judged(code, measure=0)) for code in ("within", "no reference")]
    rows.append((Entry(part="joint", conditions=("worn",), notes=(0,)), Judgement(joint=Joint(SpecRow(part="joint", line=2), 1.0, "the same"))))
    with Record.open(tmp_path) as record:
        session = record.begin_session(started=record._now(), source="x").id
        record.add_note(session, Note(text="lid"))
        record.put_entries(session, [(Slot(None, entry, entry), judgement) for entry, judgement in rows])
        columns = "select part, on_sheet, doubtful from entries order by id"
        stored = record._db.execute(columns).fetchall()
        record._db.execute("update entries set on_sheet = 0, doubtful = 0")
        for statement in schema.JUDGED:
            if statement.startswith("update"):
                record._db.execute(statement)
        assert record._db.execute(columns).fetchall() == stored
        assert {row[1:] for row in stored} == {(0, 0), (0, 1), (1, 0), (1, 1)}


def judged(code, *findings, **which):
    code = "no reference" if code == "guess" else code
    verdict = Verdict(code=code, of="it", reason="r", **which)
    return Judgement(verdicts=(verdict,), findings=tuple(Finding(code=name, reason="r") for name in findings))
