"""Guesses: which value a hedge is about, and the assumption it makes."""

from __future__ import annotations

from collections.abc import Sequence

from gudgeon.domain import Assumption
from gudgeon.facts.drafts import MeasureDraft, TorqueDraft
from gudgeon.facts.lexicon import Hit
from gudgeon.facts.wordset import word_set
from gudgeon.facts.work import Work

FAR, NEAR = 16, 10
GOES_ON = word_set("that it this there we i they he she the you that's it's a these those")


def read_hedges(work: Work, values: Sequence[TorqueDraft | MeasureDraft]) -> list[Assumption]:
    """Set ``hedged`` on the values guessed; one assumption a sentence."""
    note = work.note
    facts: list[Assumption] = []
    told: set[int] = set()
    for hit in sorted(note.hits.get("hedges", ()), key=lambda h: h.start):
        if work.scopes.asked[hit.start] or work.scopes.reported[hit.start] or work.scopes.chatter[hit.start]:
            continue
        if work.scopes.supposed[hit.start] and hit.row.words[0] not in ("could", "may", "might"):
            continue
        if hit.row.phrase == "should be" and any(0 <= hit.start - v.end <= 2 for v in values) and note.kind(hit.end) == "figure":
            continue
        value = _value_of(work, hit, values)
        if value is not None:
            value.hedged = True
        elif hit.row["strength"] != "strong" or not (_about_work(work, hit) or _guesses_a_figure(work, hit)):
            continue
        number = note.sentence[value.at if value is not None else hit.start]
        if number in told or (value is None and number - 1 in told):
            continue
        told.add(number)
        start, end = _stretch(work, hit, value)
        facts.append(Assumption(text=note.quote(start, end), span=note.span(start, end), rule=f"assumptions:hedge (hedges.csv row {hit.row.line})"))
    return facts


def _value_of(work: Work, hit: Hit, values: Sequence[TorqueDraft | MeasureDraft]) -> TorqueDraft | MeasureDraft | None:
    note = work.note
    strength = hit.row["strength"]
    sentence = note.sentence[hit.start]
    after = [v for v in values if v.at >= hit.end - 1 and note.sentence[v.at] == sentence and v.end > hit.end]
    if strength == "approx":
        return after[0] if after and isinstance(after[0], TorqueDraft) and after[0].at - hit.end <= 0 else None
    if after and _reaches(work, hit, after[0]):
        return after[0]
    before = [v for v in values if v.end <= hit.start and note.sentence[v.at] == sentence]
    if before and _says_again(work, hit.end, before[-1]):
        return before[-1]
    if before and note.word(hit.end) not in GOES_ON and (strength == "strong" or hit.start - before[-1].end <= 6):
        return before[-1]
    if strength == "strong" and not after and not before:
        last = [v for v in values if note.sentence[v.at] in (sentence - 1,) and not v.hedged]
        return last[-1] if last and not _has_own_subject(work, hit) else None
    return None


def _says_again(work: Work, at: int, value: TorqueDraft | MeasureDraft) -> bool:
    """ "torqued to twelve i think it was", "… i think it was twelve": the same value again, or nothing, behind the hedge."""
    note, here = work.note, at
    while note.word(here) in ("it", "was", "is", "'s", "that", "they", "were", "are"):
        here += 1
    if note.kind(here) == "figure":
        return note.tokens[here].value == value.value
    return here > at and (note.kind(here) in ("punct", "") or note.word(here) == "anyway")


def _reaches(work: Work, hit: Hit, value: TorqueDraft | MeasureDraft) -> bool:
    note = work.note
    gap = value.at - hit.end
    if hit.row["strength"] == "strong":
        return gap <= FAR
    crossed = note.clause[value.at] != note.clause[hit.start] and note.word(note.start_of(note.clause, value.at)) in (
        "but",
        "so",
        "because",
        "anyway",
        "i",
        "we",
    )
    said_again = any(note.tokens[i].value == value.value for i in range(hit.end, value.at))
    return gap <= NEAR and (said_again or not crossed)


def _has_own_subject(work: Work, hit: Hit) -> bool:
    note = work.note
    return any(note.sentence[n.start] == note.sentence[hit.start] for n in work.names)


def _about_work(work: Work, hit: Hit) -> bool:
    note = work.note
    start, end = hit.start, note.end_of(note.sentence, hit.end - 1)
    if hit.end >= end - 1:
        start = note.start_of(note.sentence, hit.start)
    return any(start <= n.start < end for n in work.names) or any(start <= t.start < end and t.kind in ("noun", "fastener") for t in work.things)


def _guesses_a_figure(work: Work, hit: Hit) -> bool:
    """ "I'm guessing fifty", and nothing behind it that fifty would be counted of."""
    note = work.note
    quantity = work.quantity_of(hit.end) if note.kind(hit.end) == "figure" else None
    if quantity is None or quantity.family is not None or not any("guess" in word for word in hit.row.words):
        return False
    return note.kind(quantity.end) in ("punct", "")


def _stretch(work: Work, hit: Hit, value: TorqueDraft | MeasureDraft | None) -> tuple[int, int]:
    if value is None:
        note = work.note
        end = note.end_of(note.clause, hit.end - 1)
        while end - 1 > hit.start and note.kinds[end - 1] == "punct":
            end -= 1
        return hit.start, end
    return min(hit.start, value.at), max(hit.end, value.end)
