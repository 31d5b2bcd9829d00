"""Notes in any order: nothing breaks, and no torque appears that nobody said."""

from __future__ import annotations

import importlib.util
from pathlib import Path

from hypothesis import given, settings
from hypothesis import strategies as st

from gudgeon.cli.wiring import assembler
from gudgeon.domain import ReadNote, Torque

_SPEC = importlib.util.spec_from_file_location("notes_by_hand", Path(__file__).with_name("notes_by_hand.py"))
assert _SPEC and _SPEC.loader
hand = importlib.util.module_from_spec(_SPEC)
_SPEC.loader.exec_module(hand)
note, part, fastener, torque, fact = hand.note, hand.part, hand.fastener, hand.torque, hand.fact

POOL = [
    note("lid bolts next all eight of them", part("lid"), fastener("bolts", "bolt")),
    note("left caliper two bolts", part("left caliper", "caliper", place="left"), fastener("two bolts", "bolt", count=2)),
    note("eighteen newton metres", torque("eighteen newton metres", 18)),
    note("forty newton metres on this next lot", torque("forty newton metres", 40)),
    note("same on the right"),
    note("ditto on the other side"),
    note("same again"),
    note("that's all eight done"),
    note("that's what the plate nuts had", part("plate"), fastener("nuts", "nut")),
    note("sorry those were sixteen not eighteen"),
    note("no hang on the lid was twenty", part("lid")),
    note("turns out it's twenty newton metres", torque("twenty newton metres", 20)),
    note("is it eighteen or twenty", fact("is it eighteen or twenty", "question", "is it eighteen or twenty")),
    note("thirteen mil socket and it stays on for both", fact("thirteen mil socket", "tool", "socket", size=13, size_unit="mm")),
    note("the plate is cracked", part("plate"), fact("cracked", "condition", "cracked", part="plate")),
    note("then ninety degrees on each", fact("ninety degrees", "angle", 90)),
    note("the big ones at fifty newton metres", torque("fifty newton metres", 50)),
    note("back to the left caliper", part("left caliper", "caliper", place="left")),
    note("number two identical"),
    note("first four at eighteen newton metres other four likewise", torque("eighteen newton metres", 18)),
    note("end float point one millimetres", fact("point one millimetres", "measure", 0.1, quantity="end float", unit="mm")),
    note("rust on the pins"),
]
CORRECTED = {16, 20}


@settings(max_examples=200, deadline=None)
@given(st.lists(st.sampled_from(POOL), max_size=25))
def test_no_torque_that_nobody_said(notes: list[ReadNote]) -> None:
    said = {f.value for n in notes for f in n.facts if isinstance(f, Torque)} | CORRECTED
    entries = assembler().assemble(notes)
    assert {t.value for e in entries for t in e.torques} <= said
    assert sum(len(e.torques) for e in entries) == 0 or any(isinstance(f, Torque) for n in notes for f in n.facts)
    assert all(0 <= index < len(notes) for e in entries for index in e.notes)
    assert all(e.torques or e.angles or e.conditions or e.measures for e in entries)


@settings(max_examples=100, deadline=None)
@given(st.lists(st.text(max_size=60), max_size=8))
def test_any_text(texts: list[str]) -> None:
    assert assembler().assemble([ReadNote(text, ()) for text in texts]) == ()
