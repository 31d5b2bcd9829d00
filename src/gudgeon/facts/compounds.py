"""What is put on a thread or a face."""

from __future__ import annotations

import re

from gudgeon.domain import Compound
from gudgeon.facts.things import Thing
from gudgeon.facts.wordset import word_set
from gudgeon.facts.work import Work

SOUNDS_LIKE_THREAD = re.compile(r"(?:th|t|f|d|b|p|ph|s|sh|st)?r(?:e|ea|ai|a|ay)(?:d|t|dd|tt)(?:ed)?s?")
"""The sound of "thread": a stop or fricative, r, a short e, and a d or t."""
SOUNDS_LIKE_LOCKER = re.compile(r"l[aou]+(?:ck|cq|c|k|q|g)(?:u?(?:er|a|et|or|us|ar|in|ing))s?")
LOCKERS = frozenset({"locker", "lockers", "locking", "lock"})
NO_LOCKER = word_set("tab pin washer ring nuts washers plate nut wire")


def find_compounds(work: Work) -> list[Compound]:
    """All compounds used, each said once; none in questions, plans, purchases, or said not to be used."""
    found: list[tuple[int, int, str, str | None, str]] = []
    for thing in work.of_kind("compound"):
        if not _refused(work, thing.start):
            found.append(_read(work, thing))
    found += [item for item in _mended_lockers(work) if not _refused(work, item[0])]
    kept: list[tuple[int, int, str, str | None, str]] = []
    for item in sorted(found):
        twin = next((k for k in kept if k[2] == item[2] and (k[3] == item[3] or None in (k[3], item[3]))), None)
        if twin is None:
            kept.append(item)
        elif twin[3] is None:
            kept[kept.index(twin)] = item
    return [Compound(compound=c, strength=s, span=work.note.span(a, b), rule=rule) for a, b, c, s, rule in kept]


def _refused(work: Work, at: int) -> bool:
    scopes, note = work.scopes, work.note
    if scopes.asked[at] or scopes.bought[at] or scopes.chatter[at] or scopes.planned[at] or scopes.supposed[at]:
        return True
    if scopes.negated[at]:
        return True
    return any(
        h.row["scope"] == "word" and 0 <= at - h.end <= 2 and note.sentence[h.start] == note.sentence[at] for h in note.hits.get("negations", ())
    )


def _read(work: Work, thing: Thing) -> tuple[int, int, str, str | None, str]:
    strength = thing.row["strength"] or None
    start, end = thing.start, thing.end
    if thing.row["compound"] == "thread locker" and strength is None:
        colour = _colour_near(work, start, end)
        if colour is not None:
            strength, start, end = colour[0], min(start, colour[1]), max(end, colour[2])
    return start, end, thing.row["compound"], strength, f"compounds:word (compounds.csv row {thing.row.line})"


def _colour_near(work: Work, start: int, end: int) -> tuple[str, int, int] | None:
    for hit in work.note.hits.get("colours", ()):
        if 0 <= start - hit.end <= 2 or (0 <= hit.start - end <= 2 and (work.note.kind(hit.end) != "figure" or work.note.word(hit.end) == "one")):
            return hit.row["strength"], hit.start, hit.end
    return None


def _mended_lockers(work: Work) -> list[tuple[int, int, str, str | None, str]]:
    """ "blue fred lock", "bread locker": the word before the lock sounds like "thread"."""
    note, found = work.note, []
    taken = {i for t in work.of_kind("compound") for i in range(t.start, t.end)}
    for at, word in enumerate(note.norms):
        if at and note.norms[at - 1] == "thread" and word not in LOCKERS and at not in taken and SOUNDS_LIKE_LOCKER.fullmatch(word):
            colour = _colour_near(work, at - 1, at + 1)
            strength, start = (colour[0], min(colour[1], at - 1)) if colour else (None, at - 1)
            found.append((start, at + 1, "thread locker", strength, f"compounds:locker-by-sound (heard {word!r})"))
            continue
        if word not in LOCKERS or at == 0 or at in taken or note.word(at + 1) in NO_LOCKER:
            continue
        heard = note.norms[at - 1]
        colour = _colour_near(work, at - 1, at + 1)
        if SOUNDS_LIKE_THREAD.fullmatch(heard) and heard != "red" and (word == "locker" or colour is not None):
            strength, start = (colour[0], min(colour[1], at - 1)) if colour else (None, at - 1)
            found.append((start, at + 1, "thread locker", strength, f"compounds:thread-by-sound (heard {heard!r})"))
    return found
