"""Verbs of work, with their particles, and whether the form may be a verb where it stands."""

from __future__ import annotations

from dataclasses import dataclass

from gudgeon.facts.lexicon import Hit
from gudgeon.facts.marked import Marked
from gudgeon.facts.rows import Row
from gudgeon.facts.things import Thing
from gudgeon.facts.wordset import word_set

REACH = 7
"""Tokens in which a verb's particle may stand ("took the water pump off")."""
LICENSED_BY = word_set(
    "to not didn't don't doesn't haven't hasn't 'll will must should can could and or then please let's won't would i we you never "
    "cannot can't gonna wanna then just re"
)
"""Words after which a plain form is a verb."""
STOPPERS = word_set("but so because then when while which if")
ARTICLES = word_set("the a an it them this that these those my our all both each every")
NOUN_BEFORE = word_set("the a an this that my our its their of with no new old left right")


@dataclass(frozen=True, slots=True)
class Verb:
    """An action word in a note: tokens ``start`` to ``end`` (the particle's place in ``particle`` when it has one)."""

    start: int
    end: int
    row: Row
    particle: int | None = None

    @property
    def action(self) -> str:
        """The action as the record writes it."""
        return self.row["action"]

    @property
    def tense(self) -> str:
        """base, present, past or ing."""
        return self.row["tense"]


def find_verbs(note: Marked, things: list[Thing]) -> list[Verb]:
    """All verbs of work; of two readings the one with a particle wins, then the past one."""
    taken = {
        i
        for thing in things
        if thing.kind != "quantity"
        for i in range(thing.start, thing.end)
        if thing.end - thing.start > 1 or thing.kind != "noun"
    }
    found: list[Verb] = []
    for start, hits in sorted(note.at.get("actions", {}).items()):
        if start in taken:
            continue
        verbs = [verb for hit in hits if (verb := _read(note, hit, taken)) is not None]
        verbs = [verb for verb in verbs if _stands(note, verb, things)]
        if verbs:
            found.append(min(verbs, key=lambda verb: (verb.particle is None, ("past", "ing", "present", "base").index(verb.tense))))
    return found


def _read(note: Marked, hit: Hit, taken: set[int]) -> Verb | None:
    particles = hit.row["particles"]
    if not particles:
        return Verb(hit.start, hit.end, hit.row)
    wanted = [tuple(p.split()) for p in particles.split("|")]
    end = min(note.end_of(note.sentence, hit.start), hit.end + REACH)
    for at in range(hit.end, end):
        if at > hit.end and note.norms[at].endswith("ing") and not note.starting("part_nouns", at) and at not in taken:
            return None
        if note.norms[at] in STOPPERS or note.kinds[at] == "punct" or (at > hit.end and at in note.at.get("actions", {}) and _past(note, at)):
            return None
        for words in wanted:
            if tuple(note.norms[at : at + len(words)]) == words and (at not in taken) and _is_particle(note, at, words):
                return Verb(hit.start, hit.end, hit.row, at)
    return None


def _past(note: Marked, at: int) -> bool:
    return any(hit.row["tense"] == "past" for hit in note.starting("actions", at))


def _is_particle(note: Marked, at: int, words: tuple[str, ...]) -> bool:
    """ "put sealant on the flange" has no particle: "in" and "on" need an object before them or the end after them."""
    if words[-1] not in ("in", "on", "into", "over"):
        return True
    after = note.word(at + len(words))
    if words[-1] == "into":
        return True
    return after not in ("the", "a", "an", "each", "every", "all", "its", "both", "my", "this", "that", "it", "top") or note.word(at - 1) in (
        "back",
        "it",
        "them",
    )


def _stands(note: Marked, verb: Verb, things: list[Thing]) -> bool:
    """Whether the form is a verb here: a plain form needs a word that calls for one, and "set" or "cut" something after it."""
    before, after = note.word(verb.start - 1), note.word(verb.end)
    if verb.tense == "base":
        return _base_stands(note, verb, before)
    if verb.tense == "present":
        return before in ("it", "that", "this", "he", "she", "who", "which") or (note.kind(verb.start - 1) == "word" and verb.particle is not None)
    if verb.tense == "ing":
        if any(t.start <= verb.start < t.end for t in things) and after not in ARTICLES and before not in ("need", "needs", "want", "wants"):
            return False
        return (before not in ("the", "a", "an", "of", "no") and not note.starting("part_nouns", verb.end)) or after in ARTICLES
    if verb.row.phrase == "set" and any(h.end == verb.start for h in note.hits.get("part_nouns", ())) and note.kind(verb.end) in ("", "punct"):
        return False
    if verb.row.phrase == "set" and before in ("'s", "is", "are", "'re") and after not in ("to", "at", "by"):
        return False
    if verb.row.phrase in ("set", "reset", "put", "cut", "let", "run", "read"):
        return before not in NOUN_BEFORE and before not in ("to", "will", "'ll", "must", "should", "don't", "didn't", "not", "could", "can")
    return before not in ("the", "a", "an")


def _base_stands(note: Marked, verb: Verb, before: str) -> bool:
    if before in ("and", "or", ",", "then"):
        return True
    if before in LICENSED_BY:
        return True
    opens = verb.start == 0 or note.kind(verb.start - 1) == "punct" or any(h.end == verb.start for h in note.hits.get("todos", ()))
    return opens or any(h.end == verb.start for h in note.hits.get("fillers", ()))
