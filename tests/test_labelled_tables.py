"""The labelled notes and sessions are sound: kinds, fields and values are known, a torque's part is named, and no text is empty."""

import importlib.util
import json
from pathlib import Path
from typing import Any

import pytest

HERE = Path(__file__).resolve().parent
TABLES = HERE / "tables"
NOTES = [
    "tractor.jsonl",
    *(f"{trade}_notes.jsonl" for trade in ("bicycle", "press", "boat", "lathe", "moto", "clock", "mixed", "bench", "yard", "club")),
    *(f"{trade}_notes.jsonl" for trade in ("cafe", "van", "apart")),
]
SESSIONS = [
    *(f"{trade}_sessions.jsonl" for trade in ("tractor", "bicycle", "press", "boat", "lathe", "moto", "clock")),
    "entry_cases.jsonl",
    "fresh_cases.jsonl",
    "bench_sessions.jsonl",
    "yard_sessions.jsonl",
    "club_sessions.jsonl",
    "cafe_sessions.jsonl",
    "van_sessions.jsonl",
    "mill_sessions.jsonl",
    "fair_sessions.jsonl",
    "rail_sessions.jsonl",
    "stage_sessions.jsonl",
    *(f"{trade}_sessions.jsonl" for trade in ("winch", "dairy", "genset", "sawmill", "quarry", "crane", "combine", "brewery", "turbine")),
    "apart_bell_sessions.jsonl",
    "apart_sessions.jsonl",
    "trades_sessions.jsonl",
    "unread_sessions.jsonl",
]

VALUES = {
    "torque.unit": "N*m N*cm lbf*ft lbf*in kgf*m kgf*cm",
    "measure.unit": "mm cm in thou um bar psi kPa degC degF l ml cc pt qt gal deg kg lb turn rpm V ohm",
    "tool.tool": "socket|wrench|hex key|hexalobular|screwdriver|torque wrench|crowfoot|adapter|extension|breaker bar|impact driver|feeler gauge|"
    "dial indicator|micrometer|caliper|tap|drill|puller|scraper|pick|mallet|hammer|press",
    "tool.size_unit": "mm in T",
    "fastener.fastener": "bolt screw nut stud washer plug clip pin union clamp fastener",
    "part.state": "new reused",
    "compound.compound": "thread locker|sealant|anti-seize|oil|grease|assembly lube|brake fluid|solvent",
    "compound.strength": "low medium high wicking",
    "action.action": "tighten loosen remove fit replace clean measure inspect adjust align lubricate seal drain fill repair",
    "action.status": "done|doing|todo|not done",
    "condition.condition": "stripped cross-threaded seized rounded bent cracked worn scored leaking corroded missing broken loose soft dirty good",
}
ENTRY_FIELDS = {"part", "place", "fastener", "count", "thread", "torques", "angles", "tool", "compound", "conditions", "measures", "notes"}


def known(name: str, value: object) -> bool:
    """Whether a field's value is one of those that the field may have."""
    values = VALUES.get(name)
    return values is None or value is None or value in (values.split("|") if "|" in values else values.split())


def fields_of_kinds() -> dict[str, set[str]]:
    """The scorer's fields by kind: what it compares is what a label may hold."""
    spec = importlib.util.spec_from_file_location("score", HERE / "score.py")
    score = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(score)
    return {kind: {"kind", "optional", *keys, *score.FIELDS.get(kind, ())} for kind, keys in score.KEYS.items()}


def rows(name: str) -> list[dict[str, Any]]:
    return [json.loads(line) for line in (TABLES / name).read_text(encoding="utf-8").splitlines()]


def alternatives(value: Any) -> list[Any]:
    return value if isinstance(value, list) else [value]


def flaws_of_note(note: dict[str, Any], fields: dict[str, set[str]]) -> list[Any]:
    parts = {name for fact in note["facts"] if fact["kind"] == "part" for name in alternatives(fact["name"])}
    found = [] if note["text"].strip() and note["style"] in ("spoken", "written") else ["no text or an unknown style"]
    for fact in note["facts"]:
        kind = fact["kind"]
        if not set(fact) <= fields.get(kind, set()):
            found.append(("unknown field", fact))
        found += [("unknown value", fact) for field in fact for value in alternatives(fact[field]) if not known(f"{kind}.{field}", value)]
        if kind == "torque" and not fact.get("optional") and fact.get("part") and not parts & set(alternatives(fact["part"])):
            found.append(("the part is not labelled", fact))
    return found


def flaws_of_entry(entry: dict[str, Any], notes: list[str]) -> list[Any]:
    found = [] if set(entry) <= ENTRY_FIELDS else [("unknown field", entry)]
    if not any(entry.get(field) for field in ("torques", "angles", "conditions", "measures", "tool", "compound")):
        found.append(("says nothing", entry))
    if ("notes" in entry and not entry["notes"]) or not all(0 <= at < len(notes) for at in entry.get("notes", [])):
        found.append(("no such note", entry))
    values = [("torque.unit", unit) for each in entry.get("torques", []) for unit in alternatives(each.get("unit"))]
    values += [("measure.unit", each["unit"]) for each in entry.get("measures", [])]
    values += [("condition.condition", each) for each in entry.get("conditions", [])]
    values += [(f"{kind}.{field}", value) for kind in ("tool", "compound") for field, value in entry.get(kind, {}).items()]
    values += [("fastener.fastener", each) for each in alternatives(entry.get("fastener"))]
    return found + [("unknown value", entry, value) for value in values if not known(*value)]


@pytest.mark.parametrize("name", NOTES)
def test_labelled_notes_are_sound(name: str) -> None:
    fields, notes = fields_of_kinds(), rows(name)
    assert len({note["id"] for note in notes}) == len(notes) >= (30 if name.startswith(("cafe", "van")) else 60)
    assert [(note["id"], flaw) for note in notes for flaw in flaws_of_note(note, fields)] == []


@pytest.mark.parametrize("name", SESSIONS)
def test_labelled_sessions_are_sound(name: str) -> None:
    sessions = rows(name)
    assert len({session["id"] for session in sessions}) == len(sessions) >= 6
    assert all(note.strip() for session in sessions for note in session["notes"])
    assert [(s["id"], flaw) for s in sessions for entry in s["entries"] for flaw in flaws_of_entry(entry, s["notes"])] == []


def test_a_bad_label_is_found() -> None:
    note = {"text": "x", "style": "spoken", "facts": [{"kind": "torque", "value": 3, "unit": "Nm", "part": "sump"}, {"kind": "tool", "tol": "tap"}]}
    assert [flaw[0] for flaw in flaws_of_note(note, fields_of_kinds())] == ["unknown value", "the part is not labelled", "unknown field"]
    assert [flaw[0] for flaw in flaws_of_entry({"part": "sump", "notes": [4]}, ["x"])] == ["says nothing", "no such note"]
