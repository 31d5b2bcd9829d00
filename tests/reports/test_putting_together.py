"""What came off last goes on first; how parts sat, what the sheet asks for, and what is back on already is told with each step."""

from dataclasses import replace
from datetime import UTC, datetime, timedelta

import pytest

from gudgeon.domain import Action, Fastener, Mark, Note, Part, SpecRow, SpecSheet
from gudgeon.record import StoredNote
from gudgeon.reports import SessionPart, putting_together

SPAN = (0, 1)


def off(part, place=None, action="remove", status="done"):
    return (Action(action=action, status=status, span=SPAN), Part(name=part, place=place, span=SPAN))


def note(number, text, facts, **more):
    return StoredNote(id=number, session=1, position=number, note=Note(text=text, start=number * 10.0), facts=facts, **more)


@pytest.fixture
def made(view):
    def make(*notes, sheet=None, later=()):
        parts = [SessionPart(session=replace(view.session, id=1), notes=notes, entries=())]
        if later:
            parts.append(SessionPart(session=replace(view.session, id=2, started=view.session.started + timedelta(days=7)), notes=later, entries=()))
        return putting_together("tractor", parts, made=datetime(2026, 6, 9, tzinfo=UTC), maker="gudgeon 9", sheet=sheet, zone=UTC)

    return make


def steps(document):
    (section,) = document.sections
    assert section.numbered
    return [item.text for item in section.items]


def test_last_off_first_on(made):
    bolts = (Fastener(fastener="bolt", count=4, thread="M8", span=SPAN),)
    document = made(
        note(1, "took the hood off", off("hood")),
        note(2, "arrow on the bracket points forward", (Mark(text="arrow points forward", span=SPAN),)),
        note(3, "removed the fan, four M8 bolts", (*off("fan"), *bolts)),
    )
    assert steps(document) == [
        "fan; 4 bolts M8: “removed the fan, four M8 bolts”",
        "“arrow on the bracket points forward”",
        "hood: “took the hood off”",
    ]
    assert document.sections[0].items[0].remark == "said in session 1, 4 May 2026 at 0:30"


@pytest.mark.parametrize("facts", [off("hood", status="todo"), off("hood", status="not done"), off("hood", action="fit"), ()])
def test_what_did_not_come_off_is_no_step(made, facts):
    document = made(note(1, "the hood", facts))
    assert steps(document) == [] and "Nothing was said of taking things apart" in document.sections[0].text[0]


def test_struck_notes_are_left_out(made):
    assert steps(made(note(1, "took the hood off", off("hood"), struck=True))) == []


def test_the_sheets_torque_only_for_the_same_part_and_place(made):
    row = SpecRow(part="Wheel", place="left", fastener="nut", count=5, line=2, torque=90.0, unit="lbf*ft")
    rows = SpecSheet(rows=(row, replace(row, place="right", torque=80.0, line=3), replace(row, part="wheel hub", line=4)))
    item = made(note(1, "left wheel off", off("wheel", "left")), sheet=rows).sections[0].items[0]
    assert item.remark == "sheet: 5 nuts 90 lb·ft; said in session 1, 4 May 2026 at 0:10"
    named = made(note(1, "left front wheel off", off("wheel", "left front")), sheet=SpecSheet(rows=(replace(row, part="front wheel"),)))
    assert named.sections[0].items[0].remark.startswith("sheet: 5 nuts 90 lb·ft")
    bare = made(note(1, "wheel off", off("wheel")), sheet=rows).sections[0].items[0]
    assert "sheet" not in bare.remark, "which wheel was not said"


def test_what_is_back_on_is_told(made):
    document = made(note(1, "hood off", off("hood")), later=(note(9, "hood is back on", off("hood", action="fit")),))
    assert "put back, as said in session 2, 11 May 2026 at 1:30" in document.sections[0].items[0].remark


def test_what_was_fitted_before_it_came_off_is_not(made):
    document = made(note(1, "fitted the hood", off("hood", action="fit")), note(2, "hood off again", off("hood")))
    assert "put back" not in document.sections[0].items[0].remark
