"""A guess or a question is closed by a later value only after the owner has said so; the guess then stands no more."""

from datetime import UTC, datetime, timedelta

import pytest

from gudgeon.cli import wiring
from gudgeon.record import Record
from gudgeon.session import Tools, add_note, offers, take_offer


@pytest.fixture(scope="module")
def reader():
    return wiring.reader()


@pytest.fixture
def tools(tmp_path, monkeypatch, reader):
    class Clock:
        now = datetime(2026, 5, 4, 8, 0, tzinfo=UTC)

        def __call__(self):
            return self.now

    monkeypatch.setenv("GUDGEON_SETTINGS", "/dev/null")
    clock = Clock()
    with Record.open(tmp_path / "r", clock=clock) as record:
        yield Tools(record=record, read=reader.read, rules=wiring.rules(), clock=clock)


def offered(tools, *texts):
    """What the last of these notes offers."""
    for text in texts:
        stored = add_note(text, tools)
    return offers(tools.record, stored.session, tools.read, since=stored.position)


def torques(tools, entry):
    return [(torque.value, torque.hedged) for torque in tools.record.entry(entry).entry.torques]


def test_the_guess_was_right(tools):
    (offer,) = offered(tools, "flywheel bolts, I'm guessing twenty newton metres", "turns out it's twenty newton metres")
    assert offer.item.item.state == "open" and torques(tools, 1) == [(20.0, True)]
    take_offer(tools, offer, offer.note.note.text)
    assert torques(tools, 1) == [(20.0, False)]
    item = tools.record.item(offer.item.item.id).item
    assert (item.state, item.ended_by) == ("answered", "turns out it's twenty newton metres")
    assert "guessed" not in [finding.code for finding in tools.record.entry(1).judgement.findings]
    assert tools.record.history("entry", 1)[0].reason == "answered item 1: turns out it's twenty newton metres"
    assert tools.record.entry(1).reading.torques[0].hedged


def test_the_guess_was_wrong(tools):
    (offer,) = offered(tools, "hub nuts probably ninety newton metres", "turns out it's a hundred newton metres")
    assert [torque.value for torque in offer.values] == [100.0]
    take_offer(tools, offer, "a hundred")
    assert torques(tools, 1) == [(100.0, False)]
    add_note("it is raining", tools)
    assert torques(tools, 1) == [(100.0, False)]


def test_in_a_later_session(tools):
    add_note("hub nuts probably ninety newton metres", tools)
    tools.clock.now += timedelta(days=2)
    (offer,) = offered(tools, "hub nuts at ninety newton metres")
    take_offer(tools, offer, "yes")
    assert torques(tools, 1) == [(90.0, False)] and torques(tools, 2) == [(90.0, False)]
    assert tools.record.items() == ()


def test_a_later_session_with_another_value(tools):
    """The earlier entry keeps what was done then; the newer one takes its place."""
    add_note("hub nuts probably ninety newton metres", tools)
    tools.clock.now += timedelta(days=2)
    (offer,) = offered(tools, "hub nuts redone at a hundred newton metres")
    take_offer(tools, offer, "a hundred")
    assert torques(tools, 1) == [(90.0, True)] and torques(tools, 2) == [(100.0, False)]
    assert tools.record.doubtful_entries(None) == ()


@pytest.mark.parametrize(
    "text",
    [
        "it is raining",
        "hub nuts maybe a hundred newton metres",
        "gearbox lid bolts at ninety newton metres",
        "hub nuts turns out it's ninety",
        "hub nuts, not ninety newton metres",
    ],
)
def test_nothing_is_offered(tools, text):
    assert offered(tools, "hub nuts probably ninety newton metres", text) == ()


def test_a_question(tools):
    (offer,) = offered(tools, "is it eighteen or twenty newton metres on the sump plug?", "turns out it's twenty newton metres")
    take_offer(tools, offer, "twenty")
    assert tools.record.item(1).item.state == "answered"


def test_a_figure_without_its_unit_right_after_a_guess_is_offered_in_the_unit_of_the_guess(tools):
    (offer,) = offered(tools, "hub nuts, I'm guessing fifty foot pounds", "kettle's on", "turns out it's twenty")
    assert [(value.value, value.unit) for value in offer.values] == [(20.0, "lbf*ft")] and offer.values[0].nm == pytest.approx(27.116, abs=0.001)
    take_offer(tools, offer, "turns out it's twenty")
    assert torques(tools, 1) == [(20.0, False)] and tools.record.items() == ()


def test_of_a_guess_without_a_unit_too(tools):
    (offer,) = offered(tools, "the drain plug on the gearbox, I'm guessing fifty", "turns out it's twenty five")
    assert [(value.value, value.unit, value.nm) for value in offer.values] == [(25.0, None, None)]
    take_offer(tools, offer, "twenty five")
    assert torques(tools, 1) == [(25.0, False)]


def test_a_figure_without_its_unit_after_a_question_about_a_torque(tools):
    (offer,) = offered(tools, "what's the torque on the sump plug?", "turns out it's twenty five")
    assert offer.entry is None and [(value.value, value.unit) for value in offer.values] == [(25.0, None)]
    take_offer(tools, offer, "twenty five")
    assert tools.record.item(1).item.state == "answered"


@pytest.mark.parametrize(
    "notes",
    [
        ("hub nuts probably ninety newton metres", *["the kettle is on"] * 6, "turns out it's twenty"),
        ("which way round does the thrust washer go?", "turns out it's twenty"),
        ("hub nuts probably ninety newton metres", "turns out it's twenty minutes"),
        ("hub nuts probably ninety newton metres", "turns out it's twenty on the gearbox lid bolts"),
        ("hub nuts at ninety newton metres", "turns out it's twenty"),
    ],
)
def test_a_figure_that_may_be_about_something_else_is_not_offered(tools, notes):
    assert offered(tools, *notes) == ()
