"""Anything ever used is found again: slips of spelling, other words, values, and what was only said."""

import csv
from dataclasses import replace
from datetime import UTC, datetime

import pytest

from gudgeon.domain import CompoundUsed, Entry, Finding, Joint, Judgement, Note, SizeMeasured, SpecRow, ToolUsed, TorqueDone, Verdict
from gudgeon.record import Record, Search

NM = TorqueDone(value=18.0, unit="N*m", nm=18.0)
SAID = {
    "the eight gearbox lid bolts at eighteen newton metres": Entry(
        part="gearbox lid", fastener="bolt", thread="M8x1.25", torques=(NM,), tool=ToolUsed(tool="socket", size=13.0, size_unit="mm")
    ),
    "the drain plug at twenty five foot pounds": Entry(part="drain plug", torques=(TorqueDone(value=25.0, unit="lbf*ft", nm=33.9),)),
    "flywheel at about sixty five with blue thread locker": Entry(
        part="flywheel", torques=(replace(NM, value=65.0, nm=65.0, hedged=True),), compound=CompoundUsed(compound="thread locker", strength="medium")
    ),
    "left hub nut one hundred with the spanner": Entry(
        part="wheel hub", place="left", torques=(replace(NM, value=100.0, nm=100.0),), tool=ToolUsed(tool="wrench")
    ),
    "the right hub nut ninety": Entry(part="wheel hub", place="right", torques=(replace(NM, value=90.0, nm=90.0),)),
    "cylinder head at forty": Entry(part="cylinder head", torques=(replace(NM, value=40.0, nm=40.0),)),
    "exhaust stud is stripped and stuck": Entry(part="exhaust stud", conditions=("stripped", "seized")),
    "end float on the crank": Entry(part="crankshaft", measures=(SizeMeasured(quantity="end float", value=0.12, unit="mm"),)),
}
CODES = {"wheel hub": "over", "flywheel": "within"}


@pytest.fixture(scope="module")
def record(tmp_path_factory):
    with Record.open(tmp_path_factory.mktemp("search")) as opened:
        opened.new_job("tractor")
        session = opened.begin_session(job="tractor", started=datetime(2026, 5, 4, tzinfo=UTC), source="bench.flac").id
        for at, text in enumerate(SAID):
            opened.add_note(session, Note(text=text, start=at * 10.0, end=at * 10 + 4.0))
        opened.add_note(session, Note(text="the badger got into the plum jam", start=99.0, end=101.0))
        slots = opened.place_readings(session, [replace(entry, notes=(at,)) for at, entry in enumerate(SAID.values())])
        opened.put_entries(session, [(slot, judged(slot.body)) for slot in slots])
        yield opened


def judged(entry):
    code = "over" if entry.place == "left" else "within"
    findings = (Finding(code="guessed", reason="a guess"),) if any(torque.hedged for torque in entry.torques) else ()
    verdicts = tuple(Verdict(code=code, of="it", reason="r", torque=at) for at in range(len(entry.torques)))
    return Judgement(verdicts=verdicts, findings=findings)


def names(hits):
    return [" ".join(word for word in (hit.entry.entry.place, hit.entry.entry.part) if word) if hit.entry else hit.words for hit in hits]


def searches():
    from pathlib import Path

    with (Path(__file__).parents[1] / "tables" / "searches.csv").open(encoding="utf-8") as file:
        return [pytest.param(row["asked"], row["finds"], id=row["asked"]) for row in csv.DictReader(file)]


@pytest.mark.parametrize(("asked", "finds"), searches())
def test_first_of_all(record, asked, finds):
    assert names(record.find(Search(words=tuple(asked.split()))))[:1] == [finds]


@pytest.mark.parametrize("asked", ["zzyzx", "sprocket", "thirteen hundred", "gudgeon pin", ""])
def test_what_is_not_there(record, asked):
    """Nothing is better than something else."""
    assert asked == "" or record.find(Search(words=tuple(asked.split()))) == ()


def test_a_slip_is_told(record):
    (hit, *_) = record.find(Search(words=("gearbx",)))
    assert hit.read_as == (("gearbx", "gearbox"),)
    assert record.find(Search(words=("gearbox",)))[0].read_as == ()


def test_talk_without_an_entry(record):
    (hit,) = record.find(Search(words=("badger",)))
    assert (hit.entry, hit.words, hit.start, hit.end) == (None, "the badger got into the plum jam", 99.0, 101.0)


def test_where_it_was_said(record):
    (hit, *_) = record.find(Search(words=("drain", "plug")))
    assert (hit.words, hit.start, hit.end) == ("the drain plug at twenty five foot pounds", 10.0, 14.0)


@pytest.mark.parametrize(
    ("search", "finds"),
    [
        (Search(low_nm=30, high_nm=50), ["cylinder head", "drain plug"]),
        (Search(low_nm=33.9, high_nm=33.9), ["drain plug"]),
        (Search(low_nm=95), ["left wheel hub"]),
        (Search(high_nm=20), ["gearbox lid"]),
        (Search(words=("hub",), high_nm=95), ["right wheel hub"]),
        (Search(part="hub", verdict="over"), ["left wheel hub"]),
        (Search(tool="socket"), ["gearbox lid"]),
        (Search(tool="13 mm socket"), ["gearbox lid"]),
        (Search(tool="spanner"), ["left wheel hub"]),
        (Search(thread="M8"), ["gearbox lid"]),
        (Search(thread="M10"), []),
        (Search(thread="M8x1.0"), []),
        (Search(thread="M8x1.25"), ["gearbox lid"]),
        (Search(part="lid", low_nm=30), []),
        (Search(job="TRACTOR", words=("lid",)), ["gearbox lid"]),
        (Search(since=datetime(2026, 5, 5, tzinfo=UTC), words=("lid",)), []),
        (Search(session=1, words=("lid",)), ["gearbox lid"]),
        (Search(session=2, words=("lid",)), []),
        (Search(limit=2), ["crankshaft", "exhaust stud"]),
    ],
)
def test_filters(record, search, finds):
    assert names(record.find(search)) == finds


@pytest.mark.parametrize("asked", ['"', "' or 1=1 --", "lid* OR", "NEAR(", "a" * 5000, "😀", "-lid", "words:lid", "^"])
def test_signs_are_only_signs(record, asked):
    record.find(Search(words=(asked,)))


def test_words_of_another_session_do_not_mix(record, tmp_path):
    with Record.open(tmp_path / "r") as other:
        assert other.find(Search(words=("lid",))) == ()


def test_terms_written_by_another_program_are_known(tmp_path):
    with Record.open(tmp_path / "r") as one, Record.open(tmp_path / "r") as two:
        session = two.begin_session(started=datetime(2026, 5, 4, tzinfo=UTC), source="x").id
        two.add_note(session, Note(text="the crankcase"))
        assert one.find(Search(words=("crankcsae",)))[0].words == "the crankcase"
        two.add_note(session, Note(text="the tappet"))
        assert one.find(Search(words=("tapet",)))[0].words == "the tappet"


def test_a_thread_that_only_the_sheet_names(tmp_path):
    """Nobody says the thread of a joint that the sheet knows: it is found by it all the same."""
    row = SpecRow(part="hub", line=2, thread="M12x1.5")
    with Record.open(tmp_path) as record:
        session = record.begin_session(started=datetime(2026, 5, 4, tzinfo=UTC), source="x").id
        for text in ("hub at ninety", "lid at eighteen"):
            record.add_note(session, Note(text=text))
        found = [Entry(part="hub", torques=(NM,), notes=(0,)), Entry(part="lid", thread="M8", torques=(NM,), notes=(1,))]
        judgements = [Judgement(joint=Joint(row, 1.0, "the same")), Judgement(joint=Joint(row, 1.0, "the same"))]
        record.put_entries(session, list(zip(record.place_readings(session, found), judgements, strict=True)))
        for thread in ("M12x1.5", "M12", "m12"):
            assert names(record.find(Search(thread=thread))) == ["hub"], thread
        assert names(record.find(Search(thread="M8"))) == ["lid"]
        assert names(record.find(Search(words=("hub",), thread="M8"))) == []
