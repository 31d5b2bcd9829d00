"""How a part sits or was marked."""

from __future__ import annotations

from gudgeon.domain import Mark
from gudgeon.facts.lexicon import Hit
from gudgeon.facts.wordset import word_set
from gudgeon.facts.work import Work

REACH = 9
CLOSE = word_set("up down in out inside outside against opposite forward forwards backward backwards on top set to inwards outwards goes")
"""Directions that say so only right beside what they are said of."""
PLAIN = word_set("flat flats key step label labels seam boss opening split gap tab tabs lug nipple slot peg")
"""Everyday names of features: only a direction close behind them makes a mark."""
MADE_WITH = word_set("paint marker chalk tippex tipp pen varnish")
SHAPES = word_set("dab dabs dot dots blob blobs spot spots line lines stripe stripes splash streak witness dash smear band arrow cross tick")
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
        if not _says_how(work, hit) or _is_distance(work, hit):
            continue
        seen.add(sentence)
        start, end = _stretch(work, hit)
        facts.append(Mark(text=note.quote(start, end), span=note.span(start, end), rule=f"marks:{hit.row['role']} (marks.csv row {hit.row.line})"))
    return facts + _painted(work, seen)


def _painted(work: Work, seen: set[int]) -> list[Mark]:
    """ "a dab of yellow paint on each nut", "witness paint across the stud": a shape, and what it was made with, near each other."""
    note, facts = work.note, []
    for at, word in enumerate(note.norms):
        if word not in MADE_WITH or note.sentence[at] in seen or work.scopes.bought[at] or work.scopes.asked[at] or work.scopes.planned[at]:
            continue
        shape = next((i for i in range(max(0, at - 4), min(at + 2, len(note.norms))) if note.norms[i] in SHAPES and i != at), None)
        if shape is None or note.clause[shape] != note.clause[at] or work.scopes.negated[at]:
            continue
        seen.add(note.sentence[at])
        start, end = min(shape, at), note.end_of(note.clause, at)
        facts.append(Mark(text=note.quote(start, end), span=note.span(start, end), rule="marks:painted"))
    return facts


def _is_distance(work: Work, hit: Hit) -> bool:
    """ "back to back on the wheels is 1358 millimetres": a width by that name."""
    measured = any(q.family == "length" and work.note.clause[q.at] == work.note.clause[hit.start] for q in work.quantities.values())
    return measured and any(h.start == hit.start for h in work.note.hits.get("quantities", ()))


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
    if "clock" in note.kinds[hit.end : min(end, hit.end + 6)]:
        return True
    for verb in note.of("marks", role="verb"):
        if not hit.end <= verb.start < end:
            continue
        near = verb.start - hit.end <= (
            1 if hit.end - hit.start > 1 or hit.row.phrase in ("chamfer", "arrow", "arrows", "lip", "bevel", "dot", "dots") else 0
        )
        ends = note.kind(verb.end) in ("punct", "") and hit.end - hit.start > 1 and verb.start - hit.end <= 5
        if hit.row.phrase in PLAIN and verb.row.phrase in CLOSE - {"outwards", "inwards", "forward", "forwards", "backward", "backwards"}:
            continue
        if hit.row.phrase in PLAIN and verb.start - hit.end > 1 + 3 * (note.word(hit.end) in ("on", "of")):
            continue
        if verb.row.phrase.split()[0] not in CLOSE or near or ends or hit.row.phrase in PLAIN:
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
