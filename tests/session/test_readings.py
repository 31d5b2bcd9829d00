"""Another reading of a note becomes another value of the torque that it changes, and of no other."""

import pytest

from gudgeon.cli import wiring
from gudgeon.domain import Hearing, Reading
from gudgeon.session import with_other_readings
from gudgeon.session.readings import changed


@pytest.fixture(scope="module")
def read():
    return wiring.reader().read


CASES = [
    # text, other text, (value, other values) of each torque
    ("drain plug torqued to 13 Nm", "drain plug torqued to 30 Nm", [(13, [30])]),
    ("torqued to fifty newton metres", "torqued to fifteen newton metres", [(50, [15])]),
    ("stage one 20 Nm stage two 40 newton metres", "stage one 20 Nm stage two 14 newton metres", [(20, []), (40, [14])]),
    ("at 115 foot pounds", "at 150 foot pounds", [(115, [150])]),
    ("hub nut torqued to 40 Nm, and 13 bolts are missing", "hub nut torqued to 40 Nm, and 30 bolts are missing", [(40, [])]),
    ("stage 1, 20 newton metres", "stage 120 newton metres", [(20, [120])]),
    ("torqued to 40 Nm", "for forty nothing", [(40, [])]),
    ("Stage 1 20 Nm, stage 2 40 Nm.", "stage one twenty five newton metres stage two forty newton metres", [(20, [25]), (40, [])]),
    ("manifold nuts I'm guessing pretty to 35 newton metres", "manifold nuts I'm guessing thirty to 35 newton metres", [(35, [32.5])]),
    ("bolts done to pretty eight foot pounds", "bolts done to thirty eight foot pounds", [(8, [38])]),
    ("torqued to 40 Nm", "torqued to 14 Nm then to 40 Nm", [(40, [14])]),
]


@pytest.mark.parametrize(("text", "other", "expected"), CASES)
def test_the_value_that_the_other_text_holds_in_that_place(read, text, other, expected):
    facts = with_other_readings(text, read(text), [Reading(other, 0.3)], read)
    assert [(f.value, [o.value for o in f.heard]) for f in facts if f.kind == "torque"] == expected
    assert all(o.odds == 0.3 for f in facts if f.kind == "torque" for o in f.heard)


def test_the_likeliest_comes_first_and_each_value_once(read):
    others = [Reading("at 30 Nm", 0.1), Reading("at 50 Nm", 0.4), Reading("at thirty Nm", 0.2)]
    (torque,) = [f for f in with_other_readings("at 13 Nm", read("at 13 Nm"), others, read) if f.kind == "torque"]
    assert [(o.value, o.odds) for o in torque.heard] == [(50, 0.4), (30, 0.2)]


def test_a_change_begins_and_ends_with_a_word():
    assert changed("at 13 Nm", "at 30 Nm") == (3, 3)
    assert changed("at 115 Nm", "at 150 Nm") == (3, 3)
    assert changed("same", "same") == (0, 0)


def test_it_reaches_the_record(tools, source, sound):
    from datetime import UTC, datetime

    from gudgeon.session import Origin, take_recording

    hearing = Hearing("lid at 13", 0.6, "scripted", others=(Reading("lid at 30", 0.4),))
    taken = take_recording(Origin(source, datetime(2026, 5, 4, tzinfo=UTC)), tools, sound(1).tools(hearing), progress=lambda step: None)
    (note,) = tools.record.notes(taken.session.id)
    (torque,) = [fact for fact in note.facts if fact.kind == "torque"]
    assert [(other.value, other.odds) for other in torque.heard] == [(30.0, 0.4)]
