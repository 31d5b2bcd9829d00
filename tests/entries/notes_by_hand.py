"""Notes with facts written by hand, so that joining them can be tested without the reader."""

from __future__ import annotations

from gudgeon.domain import (
    Action,
    Angle,
    Buy,
    Compound,
    Condition,
    Fact,
    Fastener,
    Measure,
    Part,
    Question,
    ReadNote,
    Todo,
    Tool,
    Torque,
)

NM = {"N*m": 1.0, "lbf*ft": 1.3558179483, "lbf*in": 0.1129848290, "kgf*m": 9.80665}
KINDS = {
    "action": Action,
    "angle": Angle,
    "buy": Buy,
    "compound": Compound,
    "condition": Condition,
    "fastener": Fastener,
    "measure": Measure,
    "part": Part,
    "question": Question,
    "todo": Todo,
    "tool": Tool,
    "torque": Torque,
}
MAIN = {
    "action": "action",
    "angle": "angle_deg",
    "buy": "item",
    "compound": "compound",
    "condition": "condition",
    "fastener": "fastener",
    "measure": "value",
    "part": "name",
    "question": "text",
    "todo": "text",
    "tool": "tool",
    "torque": "value",
}


def note(text: str, *facts: tuple[str, str, object, dict[str, object]]) -> ReadNote:
    """A note; each fact is (words in the text, kind, main value, other fields). Later facts are looked for after earlier ones first."""
    made: list[Fact] = []
    at = 0
    for words, kind, main, more in facts:
        start = text.find(words, at)
        if start < 0:
            start = text.index(words)
        at = start + len(words)
        fields = {MAIN[kind]: main, "span": (start, at), "rule": "by hand", **more}
        if kind == "torque":
            unit = fields.setdefault("unit", "N*m")
            fields["nm"] = float(str(main)) * NM[str(unit)] if unit else None
        if kind == "action":
            fields.setdefault("status", "done")
        made.append(KINDS[kind](**fields))
    return ReadNote(text, tuple(made))


def part(words: str, name: str | None = None, **more: object) -> tuple[str, str, object, dict[str, object]]:
    return words, "part", name or words, more


def fastener(words: str, kind: str, **more: object) -> tuple[str, str, object, dict[str, object]]:
    return words, "fastener", kind, more


def torque(words: str, value: float, **more: object) -> tuple[str, str, object, dict[str, object]]:
    return words, "torque", value, more


def fact(words: str, kind: str, main: object, **more: object) -> tuple[str, str, object, dict[str, object]]:
    return words, kind, main, more
