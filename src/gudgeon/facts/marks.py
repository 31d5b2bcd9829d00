"""How a part sits or was marked."""

from __future__ import annotations

from gudgeon.domain import Mark
from gudgeon.facts.lexicon import Hit
from gudgeon.facts.wordset import word_set
from gudgeon.facts.work import Work

REACH = 9
CLOSE = word_set("up down in out inside outside against opposite forward forwards backward backwards on top set to inwards outwards goes")
"""Directions that say so only right beside what they are said of."""
NOT_MARKED_WITH = frozenset({"figure", "grade"})


def find_marks(work: Work) -> list[Mark]:
    """One mark a clause at most."""
    facts: list[Mark] = []
    seen: set[int] = set()
    note = work.note
    for hit in note.hits.get("marks", ()):
        sentence = note.sentence[hit.start]
        if (
            sentence in seen
            or work.scopes.asked[hit.start]
            or work.scopes.chatter[hit.start]
            or work.scopes.supposed[hit.start]
            or work.scopes.planned[hit.start]
        ):
            continue
        if not _says_how(work, hit):
            continue
        seen.add(sentence)
        start, end = _stretch(work, hit)
        facts.append(Mark(text=note.quote(start, end), span=note.span(start, end), rule=f"marks:{hit.row['role']} (marks.csv row {hit.row.line})"))
    return facts


def _says_how(work: Work, hit: Hit) -> bool:
    role, note = hit.row["role"], work.note
    if role == "alone":
        return True
    if role == "making":
        before = note.word(hit.start - 1)
        return (
            note.word(hit.end) != "on"
            and note.kind(hit.end) not in NOT_MARKED_WITH
            and before not in ("the", "a", "is", "are", "not", "as")
            and _has_object(work, hit)
        )
    if role != "subject":
        return False
    end = min(note.end_of(note.sentence, hit.start), hit.end + REACH)
    for verb in note.of("marks", role="verb"):
        if not hit.end <= verb.start < end:
            continue
        near = verb.start - hit.end <= (
            1 if hit.end - hit.start > 1 or hit.row.phrase in ("chamfer", "arrow", "arrows", "lip", "bevel", "dot", "dots") else 0
        )
        ends = note.kind(verb.end) in ("punct", "") and hit.end - hit.start > 1 and verb.start - hit.end <= 5
        if verb.row.phrase.split()[0] not in CLOSE or near or ends:
            return True
    return False


def _has_object(work: Work, hit: Hit) -> bool:
    after = work.note.norms[hit.end : hit.end + 2]
    return any(w in ("the", "it", "them", "each", "both", "all", "a", "every", "with", "this", "that", "which") for w in after)


def _stretch(work: Work, hit: Hit) -> tuple[int, int]:
    note = work.note
    end = note.end_of(note.clause, hit.start)
    while end - 1 > hit.start and note.kinds[end - 1] == "punct":
        end -= 1
    start = hit.start
    first = note.start_of(note.piece, hit.start)
    return (first if hit.row["role"] == "making" else start), max(end, hit.end)
