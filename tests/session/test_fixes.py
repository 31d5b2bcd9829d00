"""Any field of an entry is set by hand; the first reading and every change stay, and verdicts, progress and open items follow at once."""

import json
from datetime import UTC, datetime

import pytest

from gudgeon.checks import progress, read_spec
from gudgeon.cli import wiring
from gudgeon.domain import BadInput
from gudgeon.record import Record
from gudgeon.session import Tools, add_note, mend_entry, settle, undo_entry

SHEET = ["part,fastener,count,torque,unit", "gearbox lid,bolt,8,24,N*m"]


@pytest.fixture(scope="module")
def reader():
    return wiring.reader()


@pytest.fixture
def tools(tmp_path, monkeypatch, reader):
    monkeypatch.setenv("GUDGEON_SETTINGS", "/dev/null")

    def clock():
        return datetime(2026, 5, 4, 8, 0, tzinfo=UTC)

    with Record.open(tmp_path / "r", clock=clock) as record:
        made = Tools(record=record, read=reader.read, rules=wiring.rules(), clock=clock)
        add_note("gearbox lid bolts at 24 newton metres", made)
        yield made


def fixed(tools, *changes):
    """The entry after these changes, each as (field, text) or (field, text, which)."""
    wanted = [(change[0], change[1], change[2] if len(change) > 2 else 0) for change in changes]
    return mend_entry(tools, wiring.unit_words(), 1, wanted, reason="seen").entry


@pytest.mark.parametrize(
    ("field", "text", "name", "value"),
    [
        ("part", "gearbox cover", "part", "gearbox cover"),
        ("place", "left", "place", "left"),
        ("fastener", "nut", "fastener", "nut"),
        ("count", "8", "count", 8),
        ("thread", "M8x1.25", "thread", "M8x1.25"),
        ("length", "40", "length_mm", 40.0),
        ("length", "40 mm", "length_mm", 40.0),
        ("grade", "8.8", "grade", "8.8"),
        ("state", "reused", "state", "reused"),
        ("all-done", "yes", "complete", True),
        ("torque", "25", "torques", [{"value": 25.0, "unit": "N*m", "nm": 25.0, "note": 0}]),
        ("stage", "2", "torques", [{"value": 24.0, "unit": "N*m", "nm": 24.0, "stage": 2, "note": 0}]),
        ("angle", "90", "angles", [{"angle_deg": 90.0}]),
        ("angle", "90 degrees", "angles", [{"angle_deg": 90.0}]),
        ("angle", "a quarter turn", "angles", [{"angle_deg": 90.0}]),
        ("measure", "end float 0.12 mm", "measures", [{"quantity": "end float", "value": 0.12, "unit": "mm"}]),
        ("tool", "13 mm socket", "tool", {"tool": "socket", "size": 13.0, "size_unit": "mm"}),
        ("compound", "blue thread locker", "compound", {"compound": "thread locker", "strength": "medium"}),
        ("condition", "stripped, bent", "conditions", ["stripped", "bent"]),
    ],
)
def test_each_field(tools, field, text, name, value):
    from gudgeon.record.pack import slim

    before = tools.record.entry(1).entry
    entry = fixed(tools, (field, text))
    assert slim(entry)[name] == value
    assert {key: kept for key, kept in slim(entry).items() if key != name} == {key: kept for key, kept in slim(before).items() if key != name}
    (change,) = tools.record.history("entry", 1)
    assert (change.field, change.reason) == (name, "seen") and json.loads(change.after) == value
    assert json.loads(change.before or "null") == slim(before).get(name)
    assert tools.record.entry(1).reading == before
    add_note("it is raining", tools)
    assert slim(tools.record.entry(1).entry)[name] == value
    assert slim(undo_entry(tools, 1).entry).get(name) == slim(before).get(name)


def test_taken_away(tools):
    fixed(tools, ("measure", "end float 0.12 mm"), ("angle", "90"), ("tool", "13 mm socket"), ("condition", "bent"), ("all-done", "yes"))
    entry = fixed(tools, ("measure", ""), ("angle", ""), ("tool", ""), ("condition", ""), ("all-done", "no"), ("torque", ""), ("part", ""))
    assert (entry.measures, entry.angles, entry.tool, entry.conditions, entry.complete, entry.torques, entry.part) == (
        (),
        (),
        None,
        (),
        False,
        (),
        None,
    )


def test_which(tools):
    entry = fixed(tools, ("measure", "end float 0.12 mm"), ("measure", "gap 0.4 mm", 1), ("measure", "0.5 mm", 1))
    assert [(size.quantity, size.value) for size in entry.measures] == [("end float", 0.12), ("gap", 0.5)]
    assert [turn.angle_deg for turn in fixed(tools, ("angle", "90"), ("angle", "60", 1)).angles] == [90.0, 60.0]


@pytest.mark.parametrize(
    ("field", "text", "which"),
    [
        ("angle", "soon", 0),
        ("angle", "90", 1),
        ("measure", "big", 0),
        ("measure", "end float 0.1 mm and gap 0.2 mm", 0),
        ("length", "long", 0),
        ("state", "old", 0),
        ("all-done", "perhaps", 0),
        ("condition", "purple", 0),
        ("stage", "2", 1),
        ("stage", "two", 0),
        ("count", "²", 0),
        ("tool", "thing", 0),
        ("torque", "12 furlongs", 0),
        ("torque", "", 3),
        ("horse", "1", 0),
        ("part", "x" * 501, 0),
    ],
)
def test_what_cannot_be_is_refused(tools, field, text, which):
    before = tools.record.entry(1)
    with pytest.raises(BadInput) as told:
        fixed(tools, ("part", "hub"), (field, text, which))
    assert told.value.kept and told.value.next_step
    assert tools.record.entry(1) == before and tools.record.history("entry", 1) == ()


def test_verdict_and_progress_follow(tools):
    sheet = read_spec(SHEET)
    tools.record.put_sheet(name="s.csv", text="\n".join(SHEET), sheet=sheet)
    settle(tools.record, 1, tools.rules)

    def state():
        stored = tools.record.entry(1)
        return stored.judgement.verdicts[0].code, progress([stored.entry], sheet, trade=wiring.trade()).joints[0].state

    assert state() == ("within", "part done")
    fixed(tools, ("all-done", "yes"))
    assert state() == ("within", "done")
    fixed(tools, ("torque", "40"))
    assert state() == ("over", "outside")
    undo_entry(tools, 1)
    assert state() == ("within", "done")
