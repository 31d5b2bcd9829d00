"""What a person with greasy hands should hear of a phrase: which tone, and which words, if any. A value out of range is said at once."""

from __future__ import annotations

from dataclasses import dataclass

from gudgeon.domain import Verdict
from gudgeon.record import StoredEntry
from gudgeon.session.live import Phrase

OUT_OF_RANGE = ("unlikely", "over", "under")
"""Verdicts that are said at once, the gravest first."""
UNSURE = ("unit not said",)
UNSURE_FINDINGS = ("heard-unsurely", "unit-mended", "joint-unclear", "match-ambiguous")


@dataclass(frozen=True, slots=True)
class Reaction:
    """A tone (``heard``, ``unsure``, ``out of range``, ``taken``; empty: none) and the words to say after it."""

    tone: str = ""
    say: str = ""


def reaction(phrase: Phrase) -> Reaction:
    """What is heard of a phrase; talk without a value or an open item is passed over in silence."""
    if phrase.answer:
        words = phrase.answer.text if phrase.answer.aloud is None else phrase.answer.aloud
        return Reaction("taken" if phrase.answer.taken else "unsure", words)
    if phrase.note is None:
        return Reaction()
    alarms = alarms_of(phrase)
    if phrase.question:
        return Reaction("out of range" if alarms else "unsure", phrase.question)
    if alarms:
        return Reaction("out of range", " ".join(f"{name}: {verdict.reason}" for name, verdict in alarms[:2]))
    if _unsure(phrase):
        return Reaction("unsure")
    return Reaction("heard") if phrase.entries or phrase.items else Reaction()


def said_now(phrase: Phrase) -> list[tuple[StoredEntry, Verdict]]:
    """The values of a phrase, each with its entry and verdict; values that earlier notes said are left out."""
    if phrase.note is None:
        return []
    at = phrase.note.position
    return [(stored, verdict) for stored in phrase.entries for verdict in stored.judgement.verdicts if _note_of(stored, verdict) == at]


def alarms_of(phrase: Phrase) -> list[tuple[str, Verdict]]:
    """The joint and verdict of every value said in a phrase that is out of range, the gravest first."""
    found = [(stored.entry.part or "Part not named", verdict) for stored, verdict in said_now(phrase) if verdict.code in OUT_OF_RANGE]
    return sorted(found, key=lambda pair: OUT_OF_RANGE.index(pair[1].code))


def _note_of(stored: StoredEntry, verdict: Verdict) -> int | None:
    if verdict.torque is not None and verdict.torque < len(stored.entry.torques):
        return stored.entry.torques[verdict.torque].note
    if verdict.measure is not None and verdict.measure < len(stored.entry.measures):
        return stored.entry.measures[verdict.measure].note
    return max(stored.entry.notes, default=None)


def _unsure(phrase: Phrase) -> bool:
    if phrase.note is not None and phrase.note.note.unheard:
        return True
    if any(verdict.code in UNSURE for _, verdict in said_now(phrase)):
        return True
    return any(finding.code in UNSURE_FINDINGS for stored in phrase.entries for finding in stored.judgement.findings)
