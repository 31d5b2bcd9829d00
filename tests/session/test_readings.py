"""Another reading of a note becomes another value of the torque that it changes, and of no other."""

import pytest

from gudgeon.cli import wiring
from gudgeon.domain import Hearing, Reading
from gudgeon.record import Record
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


OTHER_KINDS = [
    # text, other text, kind, (figure, other figures with their units) of each fact of the kind
    ("the socket is a 13 mm socket", "the socket is a 30 mm socket", "tool", [(13, [(30, "mm")])]),
    ("a 13 mm spanner and a 17 mm socket", "a 13 mm spanner and a 70 mm socket", "tool", [(13, []), (17, [(70, "mm")])]),
    ("end float is 0.15 mm", "end float is 0.50 mm", "measure", [(0.15, [(0.5, "mm")])]),
    ("end float is 0.15 mm on the 13 nuts", "end float is 0.15 mm on the 30 nuts", "measure", [(0.15, [])]),
    ("14 bolts on the sump", "40 bolts on the sump", "fastener", [(14, [(40, None)])]),
    ("14 bolts on the sump at 20 Nm", "14 bolts on the sump at 12 Nm", "fastener", [(14, [])]),
    ("head bolts another 90 degrees", "head bolts another 19 degrees", "angle", [(90, [(19, "deg")])]),
    ("14 bolts on the sump", "bolts on the sump", "fastener", [(14, [])]),
    ("14 bolts on the sump", "40 bolts and 4 nuts on the sump", "fastener", [(14, [])]),
]


@pytest.mark.parametrize(("text", "other", "kind", "expected"), OTHER_KINDS)
def test_sizes_counts_and_turns_too(read, text, other, kind, expected):
    facts = with_other_readings(text, read(text), [Reading(other, 0.3)], read)
    names = {"tool": "size", "fastener": "count", "angle": "angle_deg", "measure": "value"}
    found = [(getattr(f, names[kind]), [(o.value, o.unit) for o in f.heard]) for f in facts if f.kind == kind]
    assert [row for row in found if row[0] is not None] == expected


def test_the_turn_behind_a_torque(read):
    text, other = "head bolts 40 Nm plus 90 degrees", "head bolts 40 Nm plus 19 degrees"
    (torque,) = [f for f in with_other_readings(text, read(text), [Reading(other, 0.3)], read) if f.kind == "torque"]
    assert (torque.heard, [(o.value, o.unit, o.odds) for o in torque.angle_heard]) == ((), [(19, "deg", 0.3)])


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


def test_every_figure_reaches_its_entry_and_is_found_doubtful(tmp_path, source, sound):
    from datetime import UTC, datetime

    from gudgeon.session import Origin, take_recording

    said = "the 14 bolts on the sump got 25 Nm plus 90 degrees with a 13 mm socket"
    others = [said.replace(a, b) for a, b in (("14", "40"), ("90", "19"), ("13", "30"))]
    size = "sump end float is 0.15 mm"
    hearings = (
        Hearing(said, 0.6, "scripted", others=tuple(Reading(other, 0.25) for other in others)),
        Hearing(size, 0.6, "scripted", others=(Reading(size.replace("15", "50"), 0.04),)),
    )
    with Record.open(tmp_path / "record") as record:
        origin, real = Origin(source, datetime(2026, 5, 4, tzinfo=UTC)), wiring.tools(record)
        taken = take_recording(origin, real, sound(2).tools(*hearings), progress=lambda step: None)
        stored = record.entries(taken.session.id)
        joint = next(one for one in stored if one.entry.torques)
        mended = record.set_field(joint.id, "count", 14)

    (torque,) = joint.entry.torques
    (measure,) = [size for one in stored for size in one.entry.measures]
    assert [(o.value, o.unit) for o in (*torque.angle_heard, *measure.heard)] == [(19, "deg"), (0.5, "mm")]
    assert [(o.value, o.unit) for o in (*joint.entry.tool.heard, *joint.entry.count_heard)] == [(30, "mm"), (40, None)]
    reasons = [f.reason for one in stored for f in one.judgement.findings if f.code == "heard-unsurely"]
    assert sorted(reasons) == [
        "End float 0.15 mm may have been 0.5 mm (4%): play the sound.",
        "The 13 mm socket may have been 30 mm (25%): play the sound.",
        "The count of 14 may have been 40 (25%): play the sound.",
        "The turn of 90 degrees may have been 19 degrees (25%): play the sound.",
    ]
    assert mended.entry.count_heard == () and mended.entry.tool == joint.entry.tool


def test_a_tool_or_a_count_is_found_doubtful_only_when_the_other_is_likely(tmp_path, source, sound):
    from datetime import UTC, datetime

    from gudgeon.session import Origin, take_recording

    said = "the 14 bolts on the sump got 25 Nm with a 13 mm socket"
    hearing = Hearing(said, 0.6, "scripted", others=tuple(Reading(said.replace(a, b), 0.1) for a, b in (("14", "40"), ("13", "30"))))
    with Record.open(tmp_path / "record") as record:
        origin = Origin(source, datetime(2026, 5, 4, tzinfo=UTC))
        taken = take_recording(origin, wiring.tools(record), sound(1).tools(hearing), progress=lambda step: None)
        (stored,) = record.entries(taken.session.id)
    assert [o.value for o in (*stored.entry.tool.heard, *stored.entry.count_heard)] == [30, 40]
    assert not [f for f in stored.judgement.findings if f.code == "heard-unsurely"]


def test_a_thread_a_grade_and_a_length_that_may_be_others_stay_with_the_joint(tmp_path, source, sound):
    from datetime import UTC, datetime

    from gudgeon.session import Origin, take_recording

    said = "sump cover four M16 by 40 bolts grade 8.8 torqued to 25 Nm"
    others = (("M16", "M60", 0.3), ("by 40", "by 14", 0.25), ("8.8", "10.9", 0.04))
    hearing = Hearing(said, 0.6, "scripted", others=tuple(Reading(said.replace(a, b), odds) for a, b, odds in others))
    with Record.open(tmp_path / "record") as record:
        origin = Origin(source, datetime(2026, 5, 4, tzinfo=UTC))
        taken = take_recording(origin, wiring.tools(record), sound(1).tools(hearing), progress=lambda step: None)
        (stored,) = record.entries(taken.session.id)
        mended = record.set_field(stored.id, "thread", "M16")
    entry = stored.entry
    assert (entry.thread, entry.length_mm, entry.grade) == ("M16", 40, "8.8")
    assert [[o.name for o in entry.thread_heard], [o.value for o in entry.length_heard], [o.name for o in entry.grade_heard]] == [
        ["M60"],
        [14],
        ["10.9"],
    ]
    assert sorted(f.reason for f in stored.judgement.findings if f.code == "heard-unsurely") == [
        "The length of 40 mm may have been 14 mm (25%): play the sound.",
        "The thread M16 may have been M60 (30%): play the sound.",
    ]
    assert mended.entry.thread_heard == () and mended.entry.length_heard == entry.length_heard


def test_a_count_to_buy_that_may_be_another(read):
    text = "we need 13 split pins"
    (buy,) = [f for f in with_other_readings(text, read(text), [Reading("we need 30 split pins", 0.4)], read) if f.kind == "buy"]
    assert (buy.count, [(o.value, o.odds) for o in buy.heard]) == (13, [(30.0, 0.4)])
