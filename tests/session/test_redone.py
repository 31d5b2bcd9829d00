"""A joint done anew in a later session takes the place of its earlier value; without such words another value is a clash."""

from datetime import timedelta

import pytest

from gudgeon.cli import wiring
from gudgeon.domain import BadTable
from gudgeon.record import Record
from gudgeon.session import Redone, Tools, add_note, mend_entry, strike_entry

FIRST = "cylinder head nuts at 40 newton metres"


@pytest.fixture(scope="module")
def reader():
    return wiring.reader()


@pytest.fixture
def tools(tmp_path, monkeypatch, reader):
    from datetime import UTC, datetime

    class Clock:
        now = datetime(2026, 5, 4, 8, 0, tzinfo=UTC)

        def __call__(self):
            return self.now

    monkeypatch.setenv("GUDGEON_SETTINGS", "/dev/null")
    clock = Clock()
    with Record.open(tmp_path / "r", clock=clock) as record:
        yield Tools(record=record, read=reader.read, rules=wiring.rules(), clock=clock)


def another_day(tools, *texts):
    """The notes as a session of another day; its entries."""
    tools.clock.now += timedelta(days=3)
    stored = [add_note(text, tools) for text in texts]
    return tools.record.entries(stored[0].session)


def codes(entry):
    return [finding.code for finding in entry.judgement.findings]


@pytest.mark.parametrize(
    "texts",
    [
        ["retorqued the cylinder head nuts to 45 newton metres"],
        ["cylinder head nuts redone at 45 newton metres"],
        ["slackened the cylinder head nuts and did them again at 45 newton metres"],
        ["torqued the cylinder head nuts again 45 Nm"],
        ["went round the cylinder head nuts again at 45 Nm"],
        ["re-torqued the cylinder head nuts", "45 newton metres"],
        ["gearbox lid bolts at 24 Nm and re-torqued the cylinder head nuts to 45 Nm"],
    ],
)
def test_it_supersedes(tools, texts):
    add_note(FIRST, tools)
    (entry,) = [entry for entry in another_day(tools, *texts) if entry.entry.part == "cylinder head"]
    assert entry.entry.torques[-1].value == 45.0 and "clash" not in codes(entry)
    assert entry.entry.how[-1] == "done anew, so it takes the place of 40 N·m of session 1 (2026-05-04)"
    (first,) = tools.record.entries(1)
    assert first.entry.torques[0].value == 40.0 and not first.struck
    (third,) = another_day(tools, "cylinder head nuts at 45 newton metres")
    assert "clash" not in codes(third)
    (fourth,) = another_day(tools, "cylinder head nuts at 40 newton metres")
    assert "clash" in codes(fourth)


@pytest.mark.parametrize(
    "text",
    [
        "cylinder head nuts at 45 newton metres",
        "cylinder head nuts at 45 newton metres, need to retorque the cylinder head nuts after an hour",
        "cylinder head nuts at 45 newton metres, I did not retorque the cylinder head nuts",
        "cylinder head nuts at 45 newton metres and retorqued the gearbox lid bolts to 24 newton metres",
        "cylinder head nuts at 45 newton metres, should I retorque the cylinder head nuts?",
    ],
)
def test_it_clashes(tools, text):
    add_note(FIRST, tools)
    (entry,) = [entry for entry in another_day(tools, text) if entry.entry.part == "cylinder head" and entry.entry.torques]
    assert "clash" in codes(entry)


def test_a_struck_entry_stands_for_nothing(tools):
    add_note(FIRST, tools)
    tools.record.strike_entry(1)
    (entry,) = another_day(tools, "cylinder head nuts at 45 newton metres")
    assert "clash" not in codes(entry)


@pytest.mark.parametrize("lines", [[], ["said,source"], ["words,source", "redone,ours"]])
def test_a_table_without_wordings(lines):
    with pytest.raises(BadTable):
        Redone(lines)


def test_a_clash_follows_what_is_changed_in_the_earlier_session(tools):
    """A struck earlier value clashes no more; restored it does again, and a value set by hand to another one begins to clash."""
    add_note(FIRST, tools)
    first = tools.record.entries(1)[0].id
    (second,) = another_day(tools, "cylinder head nuts at 45 newton metres")
    (third,) = another_day(tools, "gearbox lid bolts at 24 newton metres")
    now = lambda entry: codes(tools.record.entry(entry.id))  # noqa: E731
    assert "clash" in now(second)
    strike_entry(tools, first, struck=True)
    assert "clash" not in now(second)
    strike_entry(tools, first, struck=False)
    assert "clash" in now(second)
    mend_entry(tools, wiring.unit_words(), first, [("torque", "45 Nm", 0)])
    assert "clash" not in now(second) and "clash" not in now(third)
    mend_entry(tools, wiring.unit_words(), first, [("part", "gearbox lid", 0), ("fastener", "bolt", 0)])
    assert "clash" in now(third), "what is named anew is held against sessions of its new name"
