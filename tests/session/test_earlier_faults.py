"""A fault said of an earlier session's work: left open with where work had ended, tied to no joint by guess; a named one is at its joint."""

from datetime import timedelta

import pytest
from tests.session.test_redone import another_day, reader, tools  # noqa: F401

FIRST = "gearbox lid bolts, eight of them, at 24 newton metres"


def faults(tools):  # noqa: F811
    return [item.item.text for item in tools.record.items(kind="fault")]


@pytest.mark.parametrize("said", ["that last one was stripped", "the last one I did last week was stripped", "It was stripped."])
def test_one_that_names_no_joint_is_left_open(tools, said):  # noqa: F811
    another_day(tools, FIRST)
    made = another_day(tools, said)
    assert [entry.entry.part for entry in made if entry.entry.part] == []
    (text,) = faults(tools)
    assert text == f"stripped, at which fastener is not said: “{said.rstrip('.')}”. Work had ended at gearbox lid bolt, session 1"


def test_it_is_raised_once_and_goes_when_its_words_are_struck(tools):  # noqa: F811
    from gudgeon.session import settle

    another_day(tools, FIRST)
    another_day(tools, "that last one was stripped")
    settle(tools.record, 2, tools.rules)
    assert len(faults(tools)) == 1
    tools.record.strike_note(tools.record.notes(2)[0].id)
    settle(tools.record, 2, tools.rules)
    assert faults(tools) == []


def test_it_names_the_last_joint_of_the_session_before_not_a_struck_or_later_one(tools):  # noqa: F811
    from gudgeon.session import strike_entry

    another_day(tools, "sump drain plug at 34 newton metres", FIRST)
    strike_entry(tools, tools.record.entries(1)[-1].id, struck=True)
    another_day(tools, "that last one was stripped")
    another_day(tools, "water pump bolts at 20 newton metres")
    assert faults(tools)[0].endswith("Work had ended at sump plug, session 1")


@pytest.mark.parametrize(
    "said",
    [
        "the gearbox lid bolt number three was stripped",  # named: it is at its joint
        "the last one was good",
        "we are carrying on where we left off",
    ],
)
def test_a_named_one_and_what_is_no_fault_raise_no_such_item(tools, said):  # noqa: F811
    another_day(tools, FIRST)
    another_day(tools, said)
    assert not [text for text in faults(tools) if "not said" in text]


def test_one_said_after_a_joint_of_the_day_is_of_that_joint(tools):  # noqa: F811
    another_day(tools, FIRST)
    made = another_day(tools, "water pump bolts at 20 newton metres", "that last one was stripped")
    assert made[0].entry.conditions == ("stripped",)
    assert faults(tools) == ["water pump bolt: stripped"]


def test_the_first_session_of_a_job_speaks_of_nothing_earlier(tools):  # noqa: F811
    another_day(tools, "that last one was stripped")
    assert faults(tools) == []


def test_another_jobs_work_is_not_meant(tools):  # noqa: F811
    from gudgeon.session import add_note

    tools.record.new_job("orchard tractor")
    another_day(tools, FIRST)
    tools.clock.now += timedelta(days=3)
    add_note("that last one was stripped", tools, job="orchard tractor")
    assert faults(tools) == []
