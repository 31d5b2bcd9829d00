"""Domain values to plain JSON and back: times, facts, entries and judgements, so that a row can be read with any tool."""

from __future__ import annotations

import json
from dataclasses import MISSING, asdict, fields
from datetime import UTC, datetime
from typing import Any, TypeVar

from gudgeon import domain
from gudgeon.domain import (
    AngleDone,
    Caution,
    CompoundUsed,
    Entry,
    Fact,
    Finding,
    Joint,
    Judgement,
    OtherName,
    OtherReading,
    Reading,
    SizeMeasured,
    SpecRow,
    ToolUsed,
    TorqueDone,
    Verdict,
)

T = TypeVar("T")

FACT_KINDS: dict[str, type] = {
    cls.kind: cls
    for cls in (
        domain.Torque,
        domain.Angle,
        domain.Tool,
        domain.Fastener,
        domain.Part,
        domain.Compound,
        domain.Action,
        domain.Condition,
        domain.Measure,
        domain.Mark,
        domain.Question,
        domain.Assumption,
        domain.Todo,
        domain.Buy,
    )
}


def stamp(moment: datetime) -> str:
    """A moment as UTC text that sorts by time: ``2026-05-04T07:30:00.000000Z``. Raises ValueError for a time without a zone."""
    if moment.tzinfo is None:
        raise ValueError("a time without its zone cannot be stored")
    return moment.astimezone(UTC).strftime("%Y-%m-%dT%H:%M:%S.%fZ")


def moment(text: str) -> datetime:
    """The moment that :func:`stamp` wrote."""
    return datetime.fromisoformat(text.replace("Z", "+00:00"))


def dump(value: Any) -> str:
    """JSON without spaces, in readable letters."""
    return json.dumps(value, ensure_ascii=False, separators=(",", ":"))


READINGS = {
    **dict.fromkeys(("heard", "angle_heard", "count_heard", "length_heard"), OtherReading),
    **dict.fromkeys(("thread_heard", "grade_heard"), OtherName),
}


def slim(value: Any) -> Any:
    """A data class as a dict of what is said, all the way down: what is None, False or empty is left out."""
    return _bare(asdict(value))


def _bare(value: Any) -> Any:
    if isinstance(value, dict):
        kept = ((key, _bare(item)) for key, item in value.items() if item is not None and item is not False)
        return {key: item for key, item in kept if item not in ("", [], {})}
    if isinstance(value, list | tuple):
        return [_bare(item) for item in value]
    return value


def build(cls: type[T], row: dict[str, Any]) -> T:
    """The data class from a slim dict: needed fields that were left out are None, unknown ones are passed over."""
    needed = {field.name: None for field in fields(cls) if field.default is MISSING and field.default_factory is MISSING}  # type: ignore[arg-type]
    known = {field.name for field in fields(cls)}  # type: ignore[arg-type]
    return cls(**{**needed, **{key: value for key, value in row.items() if key in known}})


def load_fact(text: str) -> Fact:
    """The fact that :func:`dump_fact` wrote. Raises KeyError for an unknown kind."""
    row = json.loads(text)
    cls = FACT_KINDS[row.pop("kind")]
    row["span"] = tuple(row["span"])
    return build(cls, _with_readings(row))


def dump_fact(fact: Fact) -> str:
    """A fact as JSON, with its kind and rule."""
    return dump({"kind": fact.kind, **slim(fact)})


def dump_entry(entry: Entry) -> str:
    """An entry as JSON."""
    return dump(slim(entry))


def load_entry(text: str) -> Entry:
    """The entry that :func:`dump_entry` wrote."""
    row = json.loads(text)
    row["torques"] = tuple(build(TorqueDone, _with_readings(item)) for item in row.get("torques") or ())
    row["angles"] = tuple(build(AngleDone, _with_readings(item)) for item in row.get("angles") or ())
    row["measures"] = tuple(build(SizeMeasured, _with_readings(item)) for item in row.get("measures") or ())
    row["tool"] = build(ToolUsed, _with_readings(row["tool"])) if row.get("tool") else None
    row["compound"] = build(CompoundUsed, row["compound"]) if row.get("compound") else None
    for name in ("conditions", "notes", "how", "history"):
        row[name] = tuple(row.get(name) or ())
    return build(Entry, _with_readings(row))


def _with_readings(row: dict[str, Any]) -> dict[str, Any]:
    return {**row, **{name: tuple(build(cls, other) for other in row[name] or ()) for name, cls in READINGS.items() if name in row}}


def dump_judgement(judgement: Judgement) -> str:
    """A judgement as JSON."""
    return dump(slim(judgement))


def load_judgement(text: str) -> Judgement:
    """The judgement that :func:`dump_judgement` wrote."""
    row = json.loads(text)
    joint = row.get("joint")
    return Judgement(
        verdicts=tuple(build(Verdict, item) for item in row.get("verdicts", ())),
        findings=tuple(build(Finding, item) for item in row.get("findings", ())),
        joint=Joint(row=load_spec_row(joint["row"]), score=joint["score"], why=joint.get("why", "")) if joint else None,
        cautions=tuple(build(Caution, item) for item in row.get("cautions", ())),
    )


def load_spec_row(row: dict[str, Any]) -> SpecRow:
    """A spec row from its dict."""
    return build(SpecRow, {**row, "extra": tuple((name, value) for name, value in row.get("extra", ()))})


def dump_readings(readings: tuple[Reading, ...]) -> str:
    """Other readings as JSON."""
    return dump([asdict(reading) for reading in readings])


def load_readings(text: str) -> tuple[Reading, ...]:
    """The readings that :func:`dump_readings` wrote."""
    return tuple(Reading(**row) for row in json.loads(text))
