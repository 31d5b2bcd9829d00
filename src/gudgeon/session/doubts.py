"""A torque that was heard unsurely is asked for once, figure by figure ("one three, or three zero?"), and the next phrase may answer it."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass

from gudgeon.domain import Hearing, Torque
from gudgeon.notes import read_tokens
from gudgeon.record import StoredEntry, StoredNote
from gudgeon.units import UnitWords

DIGITS = dict(zip("0123456789.", ("zero", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "point"), strict=True))
ASK_FROM = 0.02
"""The least odds of another reading that are worth a question."""
ASK_WHEN_WITHIN_FROM = 0.2
"""The same for a value that is what the spec sheet asks for: that makes the other reading unlikely, and it stays marked."""
WAITS_S = 15.0
"""How long after the phrase a reply may begin."""
LONGEST_REPLY = 6
"""Words of a reply; more of them are a note."""


@dataclass(frozen=True, slots=True)
class Doubt:
    """A torque that may be another figure: its note, both values with the texts they stand in (the first reading first), until when it is asked."""

    note: int
    values: tuple[float, float]
    texts: tuple[str, str]
    until: float

    @property
    def question(self) -> str:
        """What is asked: ``One three, or three zero?``."""
        first, other = (digits(value) for value in self.values)
        return f"{first[:1].upper()}{first[1:]}, or {other}?"


def doubt_of(note: StoredNote, entries: Sequence[StoredEntry] = ()) -> Doubt | None:
    """The doubt of a note; None when no torque of it is doubtful enough, or several are. ``entries`` are those it went into, with their verdicts."""
    unsure = [fact for fact in note.facts if isinstance(fact, Torque) and fact.heard and fact.heard[0].odds >= ASK_FROM]
    if len(unsure) != 1 or note.note.end is None:
        return None
    value, other = unsure[0].value, unsure[0].heard[0]
    if other.odds < ASK_WHEN_WITHIN_FROM and _within(note, value, entries):
        return None
    text = next((reading.text for reading in note.note.others if reading.odds == other.odds), None)
    if text is None or other.value == value:
        return None
    return Doubt(note.id, (value, other.value), (note.note.text, text), note.note.end + WAITS_S)


def _within(note: StoredNote, value: float, entries: Sequence[StoredEntry]) -> bool:
    """Whether the value, as it was said in this note, is what the sheet asks for."""
    return any(
        verdict.code == "within" and torque.note == note.position and torque.value == value
        for stored in entries
        for at, torque in enumerate(stored.entry.torques)
        for verdict in stored.judgement.verdicts
        if verdict.torque == at
    )


def digits(value: float) -> str:
    """A figure as its digits are said singly: ``one three``."""
    return " ".join(DIGITS[sign] for sign in f"{value:.10g}" if sign in DIGITS)


def reply_in(hearing: Hearing, doubt: Doubt, units: UnitWords) -> float | None:
    """The value that a phrase settles the doubt with; None when it is no reply. A reply that may itself be both settles nothing."""
    said = {_figure(text, doubt, units) for text in (hearing.text, *(other.text for other in hearing.others))}
    return said.pop() if len(said) == 1 else None


def _figure(text: str, doubt: Doubt, units: UnitWords) -> float | None:
    words = re.findall(r"\w+", text.lower())
    if not 0 < len(words) <= LONGEST_REPLY:
        return None
    singly = [word for word in words if word in _FIGURES or word in _TENS or word.isdigit()]
    if len(singly) > 1 and all(word in _FIGURES or (word.isdigit() and len(word) == 1) for word in singly):
        run = float("".join(_FIGURES.get(word, word) for word in singly))
        return run if run in doubt.values else None
    figures = [token.figure for token in read_tokens(text, units) if token.kind == "figure" and token.figure]
    values = {figure.value for figure in figures}
    return values.pop() if len(values) == 1 and values <= set(doubt.values) and not any(figure.unsure for figure in figures) else None


_FIGURES: dict[str, str] = {word: sign for sign, word in DIGITS.items() if sign != "."} | {"oh": "0", "nought": "0", "o": "0"}
_TENS: Sequence[str] = ("ten", "twenty", "thirty", "forty", "fifty", "sixty", "seventy", "eighty", "ninety")
