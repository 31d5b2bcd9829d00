"""A record goes out as JSON Lines and comes back as it was; two records merge without doubles."""

import importlib.util
import json
import tempfile
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from gudgeon.domain import (
    BadInput,
    Entry,
    Finding,
    Judgement,
    Note,
    OpenItem,
    Part,
    SizeMeasured,
    SpecRow,
    SpecSheet,
    ToolUsed,
    Torque,
    TorqueDone,
    Verdict,
)
from gudgeon.record import Record, Search, Sound

_SPEC = importlib.util.spec_from_file_location("pictures", Path(__file__).with_name("pictures.py"))
_made = importlib.util.module_from_spec(_SPEC)
_SPEC.loader.exec_module(_made)
PICTURE = _made.with_place("jpeg")
words = st.text(st.characters(codec="utf-8", exclude_characters="\0"), min_size=1, max_size=10).filter(str.strip)
figures = st.floats(0.1, 500).map(lambda value: round(value, 2))


class Clock:
    def __init__(self):
        self.now = datetime(2026, 5, 4, 7, 30, tzinfo=UTC)

    def __call__(self):
        self.now += timedelta(seconds=1)
        return self.now


@st.composite
def days(draw):
    """What happened in one session: notes with a torque each, which of them were changed, struck, answered."""
    texts = draw(st.lists(st.tuples(words, figures), min_size=1, max_size=4))
    return {"texts": texts, "job": draw(st.sampled_from([None, "tractor", "Sprayer"])), "acts": draw(st.lists(st.sampled_from(ACTS), max_size=4))}


ACTS = ("fix", "strike", "answer", "strike note", "mend", "forget", "sheet", "learn", "picture", "forget pictures", "split", "join", "item")


def live(record, clock, day):
    if day["job"] and day["job"] not in [job.name for job in record.jobs()]:
        record.new_job(day["job"])
    session = record.begin_session(job=day["job"], started=clock(), source="x.flac", source_key="k", recogniser="scripted", by="Ada").id
    record.add_sound(session, Sound(file=f"sound/{session}", start=0.0, seconds=3.5))
    entries, items = [], []
    for at, (text, value) in enumerate(day["texts"]):
        facts = (Part(name=text, span=(0, len(text))), Torque(value=value, unit="N*m", nm=value, span=(0, 1), rule="torque:1"))
        record.add_note(session, Note(text=f"{text} at {value}", start=at, end=at + 0.5, confidence=0.5), facts, reached=at + 0.5)
        done = TorqueDone(value=value, unit="N*m", nm=value, note=at)
        size = SizeMeasured(quantity="gap", value=value, unit="mm", note=at)
        entries.append(Entry(part=text, torques=(done,), measures=(size,), tool=ToolUsed(tool="socket", size=12.0, size_unit="mm"), notes=(at,)))
        items.append(OpenItem(kind="question", text=f"is {text} {value}?", note=at))
    judgement = Judgement(verdicts=(Verdict(code="over", of="it", reason="r", torque=0),), findings=(Finding(code="guessed", reason="g"),))
    record.put_entries(session, [(slot, judgement) for slot in record.place_readings(session, entries)])
    raised = record.raise_items(session, items)
    for act in day["acts"]:
        act_on(record, session, raised, act, day["job"])
    record.mark_session(session, state="finished", seconds=9.0)


def act_on(record, session, raised, act, job):
    entry, note = record.entries(session)[0], record.notes(session)[0]
    if act == "fix":
        record.set_field(entry.id, "place", "left", reason="seen")
    elif act == "strike" and not entry.struck:
        record.strike_entry(entry.id, reason="twice")
    elif act == "answer" and record.item(raised[0].item.id).item.state == "open":
        record.answer(raised[0].item.id, "yes")
    elif act == "strike note":
        record.strike_note(note.id, reason="no")
    elif act == "forget":
        record.forget_sound(session)
    elif act == "sheet":
        row = SpecRow(part="lid", line=2, torque=18.0, unit="N*m")
        record.put_sheet(name="s.csv", text="part,torque,unit\nlid,18,N*m\n", sheet=SpecSheet(rows=(row,), refused=((3, "bad"),)), job=job)
        record.put_tools(name="t.csv", text="name,low\n")
    elif act == "picture":
        record.add_picture(note.id, PICTURE, "hub.jpg")
    elif act == "forget pictures":
        record.forget_pictures(session)
    elif act == "mend":
        record.mend_note(note.id, "lid", (Part(name="lid", span=(0, 3)),), reason="misheard")
    elif act == "split":
        record.set_field(entry.id, "torques", [{"value": value, "unit": "N*m", "nm": value} for value in (8.0, 9.0)], reason="two")
        record.split_entry(entry.id, 1)
    elif act == "join" and len(record.entries(session)) > 1:
        record.join_entries(entry.id, record.entries(session)[1].id)
    elif act == "item":
        record.add_item(OpenItem(kind="buy", text=f"gasket {session}", count=2), job=job)
    elif act == "learn":
        record.learn_joint(job, "lid | | |", "")


def exported(record):
    """All lines but the header's moment."""
    header, *rows = record.export_lines()
    return [{**header, "exported": None}, *rows]


def lines(record):
    return [json.dumps(row) for row in record.export_lines()]


def everything(record):
    """All that two records can have in common, whatever its order: sessions with all that hangs on them, pictures, open items."""
    return sorted(json.dumps(row, sort_keys=True) for row in record.export_lines() if row.get("kind") in ("session", "picture", "item"))


@pytest.mark.slow
@settings(max_examples=15, deadline=None)
@given(st.lists(days(), max_size=2), st.lists(days(), max_size=2), st.lists(days(), max_size=2))
def test_two_records_that_take_each_other_in_are_one(shared, mine, theirs):
    """Both begin with the same days, each goes on alone, then each takes in the other: nothing is lost, nothing is there twice."""
    with tempfile.TemporaryDirectory() as folder:
        clock = Clock()
        with Record.open(Path(folder) / "one", clock=clock) as one, Record.open(Path(folder) / "two", clock=clock) as two:
            for day in shared:
                live(one, clock, day)
            two.import_lines(lines(one))
            for record, days_alone in ((one, mine), (two, theirs)):
                for day in days_alone:
                    live(record, clock, day)
            two.import_lines(lines(one))
            one.import_lines(lines(two))
            assert len(one.sessions()) == len(shared) + len(mine) + len(theirs)
            assert everything(one) == everything(two)
            for record in (one, two):
                assert not [trouble for trouble in record.check() if trouble.code not in ("not-put-together", "sound-missing", "sound-short")]


@pytest.mark.slow
@settings(max_examples=15, deadline=None)
@given(st.lists(days(), max_size=4))
def test_round_trip(happened):
    with tempfile.TemporaryDirectory() as folder:
        clock = Clock()
        with Record.open(Path(folder) / "one", clock=clock) as one, Record.open(Path(folder) / "two", clock=clock) as two:
            for day in happened:
                live(one, clock, day)
            two.import_lines(lines(one))
            assert exported(two) == exported(one)
            assert not [trouble for trouble in two.check() if not trouble.harmless]
            assert not any(two.import_lines(lines(one)).values())
            assert exported(two) == exported(one)


@pytest.fixture
def full(record, clock):
    live(record, clock, {"texts": [("gearbox lid", 18.0), ("cover", 9.0)], "job": "tractor", "acts": ["fix", "answer", "sheet"]})
    live(record, clock, {"texts": [("hub", 90.0)], "job": None, "acts": []})
    return record


@pytest.fixture
def other(tmp_path, clock):
    with Record.open(tmp_path / "other", clock=clock) as opened:
        yield opened


def test_what_came_in_is_found(full, other):
    assert other.import_lines(lines(full)) == {"job": 1, "sheet": 1, "tools": 1, "learnt": 0, "session": 2, "item": 3, "picture": 0, "corrected": 0}
    assert [hit.entry.entry.part for hit in other.find(Search(words=("gearbx",)))] == ["gearbox lid"]
    assert other.entries(1)[0].entry.place == "left"
    assert other.history("entry", 1)[0].reason == "seen"


def test_two_records_merge(full, other, clock):
    live(other, clock, {"texts": [("axle", 40.0)], "job": "tractor", "acts": []})
    counts = other.import_lines(lines(full))
    assert (counts["job"], counts["session"]) == (0, 2)
    assert sorted(session.job or "" for session in other.sessions()) == ["", "tractor", "tractor"]
    assert len(other.sessions("tractor")) == 2


def test_an_answer_given_later_comes_along(full, other):
    other.import_lines(lines(full))
    question = next(item for item in full.items() if item.item.text == "is cover 9.0?")
    full.answer(question.item.id, "nine it is")
    assert other.import_lines(lines(full))["item"] == 1
    assert [item.item.text for item in other.items()] == ["is hub 90.0?"]


def test_said_again_later_comes_along(full, other, clock):
    """The same question in a new session of one record: the item of the other is the same one, with both notes."""
    other.import_lines(lines(full))
    session = full.begin_session(job="tractor", started=clock(), source="y.flac").id
    full.add_note(session, Note(text="is cover 9.0?"))
    full.raise_items(session, [OpenItem(kind="question", text="is cover 9.0?", note=0)])
    assert other.import_lines(lines(full))["item"] == 1
    (item,) = [item for item in other.items() if item.item.text == "is cover 9.0?"]
    assert len(item.notes) == 2 and everything(other) == everything(full)
    assert not any(other.import_lines(lines(full)).values())


def test_one_job_alone(full, other):
    other.import_lines(json.dumps(row) for row in full.export_lines("Tractor"))
    assert [session.job for session in other.sessions()] == ["tractor"]
    assert len(other.items(state=None)) == 2


def broken(full):
    good = lines(full)
    session = next(at for at, line in enumerate(good) if '"kind": "session"' in line)
    row = json.loads(good[session])
    return {
        "no JSON": ["hello"],
        "a list": ["[1]"],
        "no header": good[1:],
        "newer": [json.dumps({**json.loads(good[0]), "schema": 99}), *good[1:]],
        "unknown kind": [good[0], '{"kind": "horse"}'],
        "cut in the middle": [*good[:-1], good[-1][:-20]],
        "a field gone": [*good[:session], json.dumps({key: value for key, value in row.items() if key != "notes"})],
        "a column of the wrong type": [*good[:session], json.dumps({**row, "uid": ["x"]})],
        "an entry that is none": [*good[:session], json.dumps({**row, "entries": [{**row["entries"][0], "body": "{"}]})],
        "a job that is not there": [good[0], *(line for line in good[1:] if '"kind": "job"' not in line)],
    }


@pytest.mark.parametrize(
    "name",
    [
        "no JSON",
        "a list",
        "no header",
        "newer",
        "unknown kind",
        "cut in the middle",
        "a field gone",
        "a column of the wrong type",
        "an entry that is none",
        "a job that is not there",
    ],
)
def test_a_broken_file_takes_nothing_in(full, other, name):
    with pytest.raises(BadInput) as told:
        other.import_lines(broken(full)[name])
    assert told.value.happened
    assert exported(other)[1:] == []


def test_names_of_columns_cannot_carry_sql(full, other):
    header, *rows = lines(full)
    evil = [json.dumps({**json.loads(row), 'x") values (1); drop table jobs; --': 1}) for row in rows]
    other.import_lines([header, *evil])
    assert exported(other) == exported(full)


def both_hold(full, other):
    other.import_lines(lines(full))
    return full.sessions()[0].id, other.sessions()[0].id


def test_a_correction_made_elsewhere_comes_along(full, other):
    """A field set, an entry struck, words mended: all of it, with its history, once."""
    mine, theirs = both_hold(full, other)
    full.set_field(full.entries(mine)[1].id, "place", "rear", reason="seen again")
    full.strike_entry(full.entries(mine)[0].id, reason="another machine")
    full.mend_note(full.notes(mine)[1].id, "cover at ten", (Part(name="cover", span=(0, 5)),), reason="misheard")
    counts = other.import_lines(lines(full))
    assert (counts["session"], counts["corrected"]) == (0, 1)
    assert [(stored.entry.place, stored.struck) for stored in other.entries(theirs)] == [("left", True), ("rear", False)]
    assert other.notes(theirs)[1].note.text == "cover at ten"
    assert [fact.kind for fact in other.notes(theirs)[1].facts] == ["part"]
    assert [change.reason for change in other.history("entry", other.entries(theirs)[0].id)] == ["seen", "another machine"]
    assert theirs in other.unsettled()
    assert not any(other.import_lines(lines(full)).values()), "the second time there is nothing new"


def test_of_two_corrections_of_one_thing_the_later_stands_and_both_are_kept(full, other):
    mine, theirs = both_hold(full, other)
    other.set_field(other.entries(theirs)[1].id, "place", "rear", reason="first")
    full.set_field(full.entries(mine)[1].id, "place", "front", reason="second")  # the clock goes on
    full.set_field(full.entries(mine)[0].id, "count", 8, reason="counted early")
    other.set_field(other.entries(theirs)[0].id, "count", 6, reason="counted late")
    assert other.import_lines(lines(full))["corrected"] == 1
    assert full.import_lines(lines(other))["corrected"] == 1
    for record, session in ((full, mine), (other, theirs)):
        assert record.entries(session)[1].entry.place == "front"
        assert record.entries(session)[0].entry.count == 6
        assert [change.reason for change in record.history("entry", record.entries(session)[1].id)] == ["first", "second"]
    assert not any(other.import_lines(lines(full)).values())
    assert not any(full.import_lines(lines(other)).values())


def test_notes_that_a_session_got_later_come_along(full, other):
    mine, theirs = both_hold(full, other)
    full.add_note(mine, Note(text="and the axle at forty"))
    assert other.import_lines(lines(full))["corrected"] == 1
    assert [note.note.text for note in other.notes(theirs)] == [note.note.text for note in full.notes(mine)]


def test_where_both_went_on_alone_nothing_is_written_over(full, other):
    """Both got a third note of their own in the same session, and one was mended: it is another note, so it stays as it is here."""
    mine, theirs = both_hold(full, other)
    full.add_note(mine, Note(text="the axle at forty"))
    other.add_note(theirs, Note(text="the hub at ninety"))
    full.mend_note(full.notes(mine)[2].id, "the axle at forty five", ())
    other.import_lines(lines(full))
    assert [note.note.text for note in other.notes(theirs)][2] == "the hub at ninety"


def test_an_entry_split_off_elsewhere_comes_along_once(full, other):
    mine, theirs = both_hold(full, other)
    entry = full.entries(mine)[0].id
    full.set_field(entry, "torques", [{"value": value, "unit": "N*m", "nm": value} for value in (18.0, 22.0)], reason="two")
    full.split_entry(entry, 1)
    assert other.import_lines(lines(full))["corrected"] == 1
    assert sorted(torque.value for stored in other.entries(theirs) for torque in stored.entry.torques) == [9.0, 18.0, 22.0]
    assert not any(other.import_lines(lines(full)).values())


def test_a_correction_survives_that_the_session_is_put_together_anew(tmp_path):
    """With the real rules: what was mended in one record is in the verdicts of the other after it was settled."""
    from gudgeon.cli import wiring
    from gudgeon.session import Tools, add_note, mend_entry, settle_changed

    read, rules = wiring.reader().read, wiring.rules()
    with Record.open(tmp_path / "a") as one, Record.open(tmp_path / "b") as two:
        tools = Tools(record=one, read=read, rules=rules, clock=lambda: datetime(2026, 5, 4, tzinfo=UTC))
        add_note("gearbox lid bolts at 24 newton metres", tools)
        two.import_lines(lines(one))
        mend_entry(tools, wiring.unit_words(), 1, [("torque", "26", 0), ("count", "8", 0)])
        assert two.import_lines(lines(one))["corrected"] == 1
        for number in two.unsettled():
            settle_changed(two, number, rules)
        (stored,) = two.entries(1)
        assert (stored.entry.torques[0].value, stored.entry.count, stored.fixed) == (26.0, 8, True)
        assert stored.judgement.verdicts[0].of == "26 N·m"
        assert not any(two.import_lines(lines(one)).values())
