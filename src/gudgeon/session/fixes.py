"""A correction by hand goes in, the entry or the note as it stands then comes out, judged anew; what was there before stays in the history."""

from __future__ import annotations

import json
import re
from collections.abc import Callable, Sequence
from dataclasses import asdict
from typing import Any

from gudgeon.domain import Angle, BadInput, Condition, Fact, Measure
from gudgeon.record import Change, Record, StoredEntry
from gudgeon.session.settle import settle_changed
from gudgeon.session.tools import Tools
from gudgeon.units import UnitWords, to_nm

NAMES = ("part", "place", "fastener", "thread", "grade", "state")
THINGS = {"tool": ("tool", "size", "size_unit"), "compound": ("compound", "strength")}
VALUES = {"torque": "torques", "angle": "angles", "measure": "measures"}
"""Fields of which an entry may have several, and where they stand in it."""
FIELDS = (*NAMES, "count", "length", "all-done", *VALUES, "stage", *THINGS, "condition")
STATES = ("new", "reused")
FIGURE = re.compile(r"\s*(\d+(?:[.,]\d+)?)\s*(.*)")
DEGREES = re.compile(r"\s*(\d+(?:[.,]\d+)?)\s*(?:°|deg|degrees?)?\s*")
LONGEST = 500
UNDONE = "taken back"
"""The reason that marks a change as the undoing of the one before."""
KEPT = "The entry was not changed."


def read_torque(text: str, units: UnitWords) -> tuple[float, str]:
    """A torque as typed, ``48`` or ``35 lb ft``: its value and canonical unit, newton metres when none is named. Raises BadInput."""
    found = FIGURE.fullmatch(text)
    wrong = BadInput(f"{text!r} is no torque.", kept=KEPT, next_step='Write it like 48 or "35 lb ft".')
    if found is None:
        raise wrong
    value = float(found[1].replace(",", "."))
    if not found[2].strip():
        return value, "N*m"
    said = ["20", *re.findall(r"[^\W\d_]+|[^\w\s]", found[2].lower())]
    hit = units.match(said, 1)
    if hit is None or hit.family != "torque" or hit.length != len(said) - 1:
        raise wrong
    return value, hit.unit


def mend(
    record: Record,
    stored: StoredEntry,
    field: str,
    text: str,
    *,
    read: Callable[[str], Sequence[Fact]],
    units: UnitWords,
    which: int = 0,
    reason: str = "",
) -> None:
    """Set one field of an entry from what was typed; an empty text takes it away. ``which`` (0, 1, …) is the torque, angle or measure meant.

    The caller settles the session again. Raises BadInput for a field or text that cannot be.
    """
    text = text.strip()
    if field not in FIELDS or len(text) > LONGEST:
        raise BadInput(f"{field[:40]!r} cannot be set to that.", kept=KEPT, next_step=f"Name one of {', '.join(FIELDS)}.")
    name, value = field, text or None  # type: str, Any
    if field in VALUES:
        name, value = VALUES[field], _changed(stored, field, text, which, read, units)
    elif field == "stage":
        name, value = "torques", _staged(stored, text, which)
    elif field == "count":
        value = _count(text)
    elif field == "length":
        name, value = "length_mm", _figure(text, "length in millimetres")
    elif field == "all-done":
        name, value = "complete", _yes(text)
    elif field == "condition":
        name, value = "conditions", _conditions(text, read)
    elif field == "state" and text not in ("", *STATES):
        raise BadInput(f"{text!r} is no state.", kept=KEPT, next_step=f"Write {' or '.join(STATES)}.")
    elif field in THINGS:
        value = _thing(field, text, read) if text else None
    record.set_field(stored.id, name, value, reason=reason)


def _changed(stored: StoredEntry, field: str, text: str, which: int, read: Callable[[str], Sequence[Fact]], units: UnitWords) -> list[dict[str, Any]]:
    """The entry's values of a kind with one changed, added or taken away; what a hand has set is no guess and was not misheard. Raises BadInput."""
    rows = [asdict(row) for row in getattr(stored.entry, VALUES[field])]
    if not 0 <= which <= len(rows) or (which == len(rows) and not text):
        raise BadInput(f"Entry {stored.id} has {len(rows)} {VALUES[field]}.", kept=KEPT, next_step="Choose one of them.")
    if not text:
        return rows[:which] + rows[which + 1 :]
    old = rows[which] if which < len(rows) else {}
    if field == "torque":
        value, unit = read_torque(text, units)
        new: dict[str, Any] = {"value": value, "unit": unit, "nm": to_nm(value, unit), "angle_deg": old.get("angle_deg"), "stage": old.get("stage")}
        new["angle_heard"] = old.get("angle_heard", ())
    elif field == "angle":
        new = {"angle_deg": _degrees(text, read), "stage": old.get("stage")}
    else:
        new = _measure(text, old.get("quantity"), read)
    return [*rows[:which], {**new, "note": old.get("note")}, *rows[which + 1 :]]


def _degrees(text: str, read: Callable[[str], Sequence[Fact]]) -> float:
    found = DEGREES.fullmatch(text)
    if found:
        return float(found[1].replace(",", "."))
    angle = next((fact for fact in read(f"then {text}") if isinstance(fact, Angle)), None)
    if angle is None:
        raise BadInput(f"{text!r} is no angle.", kept=KEPT, next_step='Write it like 90, "90 degrees" or "a quarter turn".')
    return angle.angle_deg


def _measure(text: str, quantity: str | None, read: Callable[[str], Sequence[Fact]]) -> dict[str, Any]:
    """A measured size as the reader understands it; a bare size keeps what was measured."""
    for said in (text, f"{quantity} {text}" if quantity else text):
        found = [fact for fact in read(said) if isinstance(fact, Measure)]
        if len(found) == 1:
            return {"quantity": found[0].quantity or quantity, "value": found[0].value, "unit": found[0].unit}
    raise BadInput(f"{text!r} is no one size.", kept=KEPT, next_step='Write it like "end float 0.12 mm".')


def _staged(stored: StoredEntry, text: str, which: int) -> list[dict[str, Any]]:
    rows = [asdict(row) for row in stored.entry.torques]
    if not 0 <= which < len(rows):
        raise BadInput(f"Entry {stored.id} has {len(rows)} torques.", kept=KEPT, next_step="Choose one of them.")
    return [*rows[:which], {**rows[which], "stage": _count(text)}, *rows[which + 1 :]]


def _count(text: str) -> int | None:
    if text and not (text.isascii() and text.isdigit() and len(text) <= 4):
        raise BadInput(f"{text!r} is no whole number.", kept=KEPT, next_step="Write a number such as 4.")
    return int(text) if text else None


def _figure(text: str, what: str) -> float | None:
    found = FIGURE.fullmatch(text)
    if text and (found is None or found[2] not in ("", "mm")):
        raise BadInput(f"{text!r} is no {what}.", kept=KEPT, next_step="Write a number such as 40.")
    return float(found[1].replace(",", ".")) if found else None


def _yes(text: str) -> bool:
    if text not in ("", "yes", "no"):
        raise BadInput(f"{text!r} is neither yes nor no.", kept=KEPT, next_step="Write yes or no.")
    return text == "yes"


def _conditions(text: str, read: Callable[[str], Sequence[Fact]]) -> list[str]:
    """Each as the reader names it ("chewed up" is ``rounded``). Raises BadInput for one that it does not know."""
    conditions = []
    for word in (part.strip() for part in text.split(",")):
        found = [fact.condition for fact in read(f"the bolt is {word}") if isinstance(fact, Condition)] if word else []
        if word and not found:
            raise BadInput(f"{word!r} is no condition that is known.", kept=KEPT, next_step='Write it like "stripped" or "worn, bent".')
        conditions += found
    return list(dict.fromkeys(conditions))


def _thing(name: str, text: str, read: Callable[[str], Sequence[Fact]]) -> dict[str, Any]:
    found = next((fact for fact in read(text) if fact.kind == name), None)
    if found is None:
        raise BadInput(f"{text!r} is no {name} that is known.", kept=KEPT, next_step="Write it as you would say it aloud.")
    return {field: value for field, value in asdict(found).items() if field in THINGS[name]}


def mend_entry(tools: Tools, units: UnitWords, number: int, changes: Sequence[tuple[str, str, int]], *, reason: str = "") -> StoredEntry:
    """Set fields of an entry, each as (field, text, which), and judge the session anew, all or nothing; the entry as it stands then.

    Raises BadInput, MissingThing.
    """
    record, stored = tools.record, tools.record.entry(number)
    with record.transaction():
        for field, text, which in changes:
            mend(record, record.entry(number), field, text, read=tools.read, units=units, which=which, reason=reason)
        settle_changed(record, stored.session, tools.rules)
    return record.entry(number)


def mend_words(tools: Tools, session: int, note: int, text: str, *, reason: str = "") -> None:
    """Set the words of a note of a session and read them anew; entries follow, and changes by hand stay. Raises BadInput, MissingThing."""
    text = " ".join(text.split())
    if len(text) > 4 * LONGEST:
        raise BadInput("These are too many words for one note.", kept="The note was not changed.", next_step="Shorten them.")
    facts = tools.read(text) if text else ()
    with tools.record.transaction():
        tools.record.mend_note(note, text, facts, reason=reason)
        settle_changed(tools.record, session, tools.rules)


def strike_entry(tools: Tools, number: int, *, struck: bool, reason: str = "") -> StoredEntry:
    """Strike an entry or restore it, and judge the session anew. Raises BadInput when it is so already."""
    stored = tools.record.entry(number)
    with tools.record.transaction():
        tools.record.strike_entry(number, struck=struck, reason=reason)
        settle_changed(tools.record, stored.session, tools.rules)
    return tools.record.entry(number)


def undoable(history: Sequence[Change]) -> Change | None:
    """The last change that was not taken back; None when there is none, or when it is one that cannot be (a split, a note struck)."""
    standing: list[Change] = []
    for change in history:
        if change.reason == UNDONE and standing:
            standing.pop()
        else:
            standing.append(change)
    last = standing[-1] if standing else None
    return last if last and (last.action == "set" or (last.what == "entry" and last.action in ("strike", "restore"))) else None


def undo_entry(tools: Tools, number: int) -> StoredEntry:
    """Take back the last change of an entry. Raises BadInput when there is none."""
    stored, last = tools.record.entry(number), undoable(tools.record.history("entry", number))
    with tools.record.transaction():
        if last is None:
            raise _nothing()
        if last.action == "set":
            tools.record.set_field(number, last.field or "", json.loads(last.before or "null"), reason=UNDONE)
        else:
            tools.record.strike_entry(number, struck=last.action == "restore", reason=UNDONE)
        settle_changed(tools.record, stored.session, tools.rules)
    return tools.record.entry(number)


def undo_words(tools: Tools, session: int, note: int) -> None:
    """Take back the last change of a note's words. Raises BadInput when there is none."""
    last = undoable(tools.record.history("note", note))
    if last is None:
        raise _nothing()
    mend_words(tools, session, note, json.loads(last.before or '""'), reason=UNDONE)


def _nothing() -> BadInput:
    return BadInput("There is no change to take back.", kept="Nothing was changed.")
