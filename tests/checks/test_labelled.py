"""The labelled sessions judged: real values are never unlikely, values in the wrong unit nearly always are, and a sheet made of the labels is met."""

from __future__ import annotations

import json
from collections import Counter
from pathlib import Path

import pytest

from gudgeon.checks import judge, read_spec
from gudgeon.domain import Entry, ToolUsed, TorqueDone
from gudgeon.trade import Trade
from gudgeon.units import to_nm

SESSIONS = [json.loads(line) for line in (Path(__file__).parents[1] / "tables" / "tractor_sessions.jsonl").read_text(encoding="utf-8").splitlines()]
LABELLED = [entry for session in SESSIONS for entry in session["entries"] if entry.get("torques")]


def as_entry(label: dict, times: float) -> Entry:
    """A labelled entry, its torques made larger."""
    said = label.get("tool")
    tool = ToolUsed(tool=said["tool"], size=said.get("size"), size_unit=said.get("size_unit")) if said else None
    torques = tuple(
        TorqueDone(value=t["value"] * times, unit=t.get("unit"), nm=to_nm(t["value"] * times, t["unit"]) if t.get("unit") else None)
        for t in label["torques"]
    )
    named = {name: label.get(name) for name in ("part", "place", "fastener", "thread")}
    return Entry(**named, tool=tool, torques=torques)


def verdicts(trade: Trade, times: float) -> Counter[str]:
    """Verdicts without any sheet, on values whose thread or tool size was said."""
    entries = [as_entry(label, times) for label in LABELLED]
    known = [e for e in entries if e.thread or (e.tool and e.tool.size)]
    return Counter(v.code for entry in known for v in judge(entry, sheet=None, trade=trade).verdicts)


def test_no_value_that_was_really_said_is_unlikely(trade: Trade) -> None:
    found = [judge(as_entry(label, 1.0), sheet=None, trade=trade).verdicts for label in LABELLED]
    assert sum(len(each) for each in found) > 60
    assert {v.code for each in found for v in each} == {"no reference", "unit not said"}


@pytest.mark.parametrize(("times", "least"), [(8.85, 0.8), (10, 0.85), (12, 0.9)])
def test_values_in_a_wrong_unit_are_nearly_always_unlikely(times: float, least: float, trade: Trade) -> None:
    """inch pounds said as newton metres (8.85), kilogram metres (about 10), and inch for foot pounds (12)."""
    found = verdicts(trade, times)
    assert found["unlikely"] >= least * sum(found.values()), found


@pytest.mark.slow
def test_sessions_read_and_held_against_their_own_labels_are_within() -> None:
    """Notes → facts → entries → verdicts, against a sheet made of the labels: no value is called over or under, nor tied to another's row."""
    from gudgeon.cli import wiring
    from gudgeon.domain import ReadNote

    reader, rules, found = wiring.reader(), wiring.rules(), Counter()
    for session in SESSIONS:
        lines = ["part,place,fastener,count,thread,torque,unit,angle_deg,stage"]
        for label in session["entries"]:
            torques = label.get("torques") or []
            for at, t in enumerate(torques, start=1):
                stage = t.get("stage") or (at if len(torques) > 1 else None)
                named = [label.get(name) for name in ("part", "place", "fastener", "count", "thread")]
                cells = [*named, t["value"], t.get("unit") or "N*m", t.get("angle_deg"), stage]
                lines.append(",".join("" if cell is None else str(cell) for cell in cells))
        sheet = read_spec(lines)
        assert not sheet.refused, session["id"]
        notes = [ReadNote(text=text, facts=reader.read(text)) for text in session["notes"]]
        for entry in rules.assemble(notes):
            found.update(v.code for v in rules.judge(entry, sheet=sheet, past=()).verdicts if v.torque is not None)
    assert found["over"] + found["under"] + found["unlikely"] <= 1, found
    assert found["within"] >= 0.9 * sum(found.values()), found
