"""Tools, fasteners, compounds and part nouns: which reading a word has where it stands, longest first."""

from __future__ import annotations

import re
from dataclasses import dataclass

from gudgeon.facts.lexicon import Hit
from gudgeon.facts.marked import Marked
from gudgeon.facts.places import NUMBER_WORDS
from gudgeon.facts.rows import Row
from gudgeon.facts.wordset import word_set

TABLES = ("fasteners", "tools", "equipment", "part_nouns", "compounds", "quantities")
VERB_LIKE = word_set(
    "tap drill press pick hammer bolt screw clamp pin plug clip nut stud seal cover seat fork grease oil mount guide guard gear key "
    "wedge level lock stop block case cap fan mike extension coil crank pump spring shim lever wing step brush hook rivet puller gauge "
    "track house line head bed stay weld cut grip handle switch fence boss pivot hinge wrench rock float"
)
"""Nouns that are verbs too."""
OBJECT_AFTER = word_set("the it them this that these those a an my our up down out in off on him her all each every both everything")
SUBJECT_BEFORE = word_set("to i we you they he she will 'll don't didn't won't wouldn't not must should can could let's please")
SHE = word_set("it that this he she which who")
NAME_WORDS = ("noun", "modifier", "unknown")
METRIC_SHAPE = re.compile(r"m\d+([.,]\d+)?(x\d*([.,]\d+)?)?")
"""A word of the shape of a metric thread, also one that cannot be ("m8x3"): never the name of a part."""


@dataclass(frozen=True, slots=True)
class Thing:
    """One reading: kind is fastener, tool, noun, compound, equipment or quantity; tokens ``start`` to ``end``."""

    kind: str
    start: int
    end: int
    row: Row


KIND_OF = {
    "fasteners": "fastener",
    "tools": "tool",
    "part_nouns": "noun",
    "compounds": "compound",
    "equipment": "equipment",
    "quantities": "quantity",
}


def find_things(note: Marked) -> list[Thing]:
    """All things of a note, left to right, none overlapping."""
    things: list[Thing] = []
    at, size = 0, len(note.tokens)
    places = [(table, note.at[table]) for table in TABLES if table in note.at]
    if not places:
        return things
    while at < size:
        hits = [hit for _, starts in places for hit in starts.get(at, ())]
        thing = _choose(note, hits, things) if hits else None
        if thing is None:
            at += 1
            continue
        things.append(thing)
        at = thing.end
    return things


def _choose(note: Marked, hits: list[Hit], before: list[Thing]) -> Thing | None:
    hits = sorted(hits, key=lambda hit: (-hit.end, _order(hit)))
    for hit in hits:
        table = hit.row.table
        if hit.end - hit.start == 1 and (is_verb(note, hit.start) or _is_doing(note, hit.start)):
            continue
        if table == "fasteners" and hit.end - hit.start == 2 and _belongs_left(note, hit, before):
            continue
        if table == "fasteners" and _names_a_part(note, hit):
            continue
        if table == "part_nouns" and _is_exceptive(note, hit):
            continue
        if table == "part_nouns" and note.norms[hit.end - 1] == "end" and note.word(hit.end) in ("float", "play", "gap"):
            continue
        if table == "compounds" and _is_modifier(note, hit):
            continue
        if table == "tools" and any(h.row.table == "part_nouns" and h.end == hit.end for h in hits) and _is_the_part(note, hit):
            continue
        if table in ("tools", "equipment") and hit.end - hit.start == 1 and _is_modifier(note, hit):
            continue
        if table == "quantities" and hit.end - hit.start == 1 and hit.row.phrase not in LOOSE_QUANTITIES:
            continue
        return Thing(KIND_OF[table], hit.start, hit.end, hit.row)
    return None


def _is_exceptive(note: Marked, hit: Hit) -> bool:
    """ "all of them bar the two at the bottom": bar in the sense of but."""
    return note.norms[hit.start : hit.end] == ["bar"] and (note.word(hit.end) in ("the", "those", "these") or note.kind(hit.end) == "figure")


def _order(hit: Hit) -> int:
    """A part noun that is weak alone gives way to a quantity of the same word."""
    return 9 if hit.row.table == "part_nouns" and hit.row["strength"] == "weak" else TABLES.index(hit.row.table)


LOOSE_QUANTITIES = word_set("float play lash gap bore taper travel clearance backlash")
"""Single words that are a quantity before they are a part."""


def is_verb(note: Marked, at: int) -> bool:
    """Whether a word that may be a noun is a verb here: "drill it out", "to seal"."""
    if note.word(at - 1) in SHE and note.norms[at].removesuffix("s") in VERB_LIKE and note.norms[at].endswith("s"):
        return True
    if note.norms[at] not in VERB_LIKE:
        return False
    before, after = note.word(at - 1), note.word(at + 1)
    if before in ("the", "a", "an", "this", "that", "my", "our", "each", "every", "left", "right", "new", "old") or note.kind(at - 1) in (
        "figure",
        "unit",
        "thread",
    ):
        return False
    if after == "the" and any(h.end == at for table in ("part_nouns", "places") for back in (1, 2) for h in note.starting(table, at - back)):
        return False
    if before in SUBJECT_BEFORE:
        return True
    return after in ("the", "it", "them", "this", "these", "those", "up", "out", "him")


def _is_doing(note: Marked, at: int) -> bool:
    """ "bushing it": a noun in -ing with an object."""
    return note.norms[at].endswith("ing") and note.word(at + 1) in ("it", "them") and note.word(at - 1) not in ("the", "a", "this", "that")


def _belongs_left(note: Marked, hit: Hit, before: list[Thing]) -> bool:
    """Whether the first word of a fixed fastener name belongs to the part before it: pump flange | bolts."""
    if hit.row["fixed"] != "yes" or not note.starting("part_nouns", hit.start) or hit.start == 0:
        return False
    near = before and before[-1].end == hit.start and before[-1].kind in ("noun", "tool", "compound")
    return bool(near or is_name_word(note, hit.start - 1))


def _is_the_part(note: Marked, hit: Hit) -> bool:
    """Whether a word for a tool and a part (a caliper) is the part: beside a place, or where something is tightened and nothing measured."""
    if any(h.end == hit.start for h in note.hits.get("places", ())):
        return True
    number = note.sentence[hit.start]
    families = {t.unit.family for i, t in enumerate(note.tokens) if t.unit is not None and note.sentence[i] == number}
    return "torque" in families and "length" not in families


def _names_a_part(note: Marked, hit: Hit) -> bool:
    """Whether a fastener word in the singular is the first part of a name: washer | housing, nut | carrier."""
    if hit.end - hit.start > 1 or note.norms[hit.start] != hit.row.words[-1] or note.kind(hit.end) != "word":
        return False
    nouns = [h for h in note.starting("part_nouns", hit.end) if h.row["strength"] == "strong"]
    return bool(nouns) and nouns[0].row.phrase not in ("head", "end", "shank") and not is_verb(note, hit.end)


def _is_modifier(note: Marked, hit: Hit) -> bool:
    """Whether a compound or tool word names the part that follows it: oil | filter, brake fluid | reservoir, drill | chuck."""
    after = hit.end
    if after >= len(note.tokens) or note.kinds[after] != "word":
        return False
    follower = next((h for table in ("fasteners", "part_nouns") for h in note.starting(table, after)), None)
    if follower is None:
        return False
    if follower.row.table == "part_nouns" and follower.end - follower.start == 1 and is_verb(note, after):
        return False
    if hit.end - hit.start == 1 and is_name_word(note, hit.start - 1):
        return True
    return not (follower.row.table == "part_nouns" and follower.row["strength"] != "strong" and hit.row.table == "tools")


def _opens_name(note: Marked, at: int) -> bool:
    """ "riving knife", "the rocking bar": a form in -ing that is no verb of the lists, at the head of a phrase, or behind a place, and right before a
    part."""
    heads = at == 0 or note.kind(at - 1) == "punct" or note.word(at - 1) in ("the", "a", "an", "my")
    heads = heads or any(hit.end == at for hit in note.hits.get("places", ()))
    known = note.norms[at] in note.lexicon.predicates or bool(note.cued[at])
    return heads and not known and at + 1 in note.at.get("part_nouns", {})


def is_name_word(note: Marked, at: int) -> bool:
    """Whether a word no table gives a sense to may be the first part of a name ("pto", "blower"): no common word, no verb form, no cue."""
    if at < 0 or note.kinds[at] not in ("word", "code"):
        return False
    word = note.norms[at]
    if note.starting("part_modifiers", at):
        return True
    if word in NUMBER_WORDS and note.kind(at + 1) == "figure" and not any(hit.end == at for hit in note.hits.get("places", ())):
        return False  # "bank two", but "outer row six bolts"
    if word in note.lexicon.common or not word[0].isalpha() or len(word) < 2:
        return False
    if word.endswith("ing") and _opens_name(note, at):
        return True
    if word.endswith(("ing", "ed", "ly", "n't")) or "'" in word or METRIC_SHAPE.fullmatch(word):
        return False
    if note.lexicon.predicates.get(word) in (("tell", "present"), ("tell", "past")):
        return False  # "the helper shouts across"
    return not note.cued[at]
