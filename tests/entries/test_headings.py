"""What heads the joints told after it, and what its twin makes of them."""

from __future__ import annotations

from typing import Any

import pytest

from gudgeon.cli.wiring import assembler, reader
from gudgeon.domain import ReadNote


@pytest.fixture(scope="module")
def read() -> Any:
    return reader().read


def told(read: Any, *notes: str) -> list[tuple[str | None, str | None, list[float]]]:
    """Part, place and torques of every entry with a torque."""
    entries = assembler().assemble([ReadNote(note, read(note)) for note in notes])
    return [(e.part, e.place, [t.value for t in e.torques]) for e in entries if e.torques]


def test_a_twin_gets_all_that_was_told_under_the_heading(read: Any) -> None:
    notes = ("Loom 1.", "Breast beam: 4 bolts, 45 Nm.", "Cloth roller bracket: 2 bolts, 30 Nm.", "Loom 2 exactly the same.")
    parts = ("breast beam", 45.0), ("cloth roller bracket", 30.0)
    assert told(read, *notes) == [(part, f"number {n}", [value]) for n in (1, 2) for part, value in parts]


def test_without_a_twin_the_heading_s_number_is_not_passed_on(read: Any) -> None:
    assert told(read, "Loom 1.", "Breast beam: 4 bolts, 45 Nm.") == [("breast beam", None, [45.0])]


def test_under_the_twin_the_same_name_means_another_joint(read: Any) -> None:
    notes = ("front body next", "share two bolts 75 Nm", "rear body", "share 80 Nm")
    assert told(read, *notes) == [("share", "front", [75.0]), ("share", "rear", [80.0])]


def test_a_joint_with_values_gets_none_of_an_unrelated_one(read: Any) -> None:
    notes = ("Hanger pin nut, 160 Nm.", "Floor plate: 8 screws, 6 Nm.", "Hanger pin nut, same.")
    assert ("floor plate", None, [6.0]) in told(read, *notes)
    assert all(values == [160.0] for part, _, values in told(read, *notes) if part != "floor plate")


@pytest.mark.parametrize("note", ["I had those crossed.", "Those unions, I had them swapped: inlet was 45, outlet was 60."])
def test_values_that_were_crossed_change_places(read: Any, note: str) -> None:
    entries = told(read, "Inlet union 60 Nm, outlet union 45 Nm.", note)
    assert entries == [("inlet", None, [45.0]), ("outlet", None, [60.0])]


def test_nobody_knows_which(read: Any) -> None:
    entries = told(read, "cleat screws two of them five newton metres", "and something had twelve newton metres on it")
    assert entries[0] == ("cleat", None, [5.0])
    assert entries[1:] == [(None, None, [12.0])]


def test_both_retainers_get_the_value_said_of_both(read: Any) -> None:
    notes = ("left viewport retainer has eight screws", "and so does the right one", "six newton metres on both of the retainers")
    assert sorted(told(read, *notes)) == [("viewport retainer", "left", [6.0]), ("viewport retainer", "right", [6.0])]
