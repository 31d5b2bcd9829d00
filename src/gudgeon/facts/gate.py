"""Whether a note speaks of mechanical work at all: ordinary words alone ("head", "set", "union") are no evidence of it."""

from __future__ import annotations

from collections.abc import Sequence

from gudgeon.domain import Fact
from gudgeon.facts.places import NUMBER_WORDS
from gudgeon.facts.questions import TRADE_WORDS
from gudgeon.facts.wordset import word_set
from gudgeon.facts.work import Work

SURE_KINDS = frozenset({"torque", "angle", "measure"})
HEADING = 6
"""Tokens of a note that is a heading, at most."""
COUNTED = frozenset({"bolt", "screw", "stud", "nut"})
LEADS_OVER = word_set("the a now next then first right so and ok okay on to back")
BEGINNINGS = (["to", "start"], ["to", "begin"], ["to", "start", "with"], ["to", "begin", "with"], ["to", "do"])
SHORT = 14
"""Tokens of a note so short that an everyday verb with "it" or "them" may be all it says."""


def speaks_of_work(work: Work, facts: Sequence[Fact]) -> bool:
    """Whether something in the note is said only of work, or two ordinary things stand in it together."""
    note = work.note
    if any(fact.kind in SURE_KINDS or getattr(fact, "size", None) is not None for fact in facts) or "stages" in note.hits:
        return True
    if any(fact.kind == "question" for fact in facts) and (any(t.kind == "unit" for t in note.tokens) or not TRADE_WORDS.isdisjoint(note.norms)):
        return True
    if any(fact.kind == "question" for fact in facts) and "or" in note.norms and len(work.quantities) > 1:
        return True
    if any(t.kind in ("thread", "star") or (t.unit is not None and t.unit.family == "torque") for t in note.tokens):
        return True
    if any(
        not note.lexicon.is_everyday(t.kind, note.norms[t.start : t.end]) for t in work.things if t.kind in ("noun", "fastener", "tool", "compound")
    ):
        return True
    if any(not note.lexicon.is_everyday("verb", note.norms[v.start : v.end]) for v in work.verbs):
        return True
    if any(hit.row["strength"] == "strong" for hit in note.hits.get("conditions", ())):
        return True
    if _together(facts, has_things=bool(work.things)) or _short_and_busy(work) or _short_and_open(work, facts) or _short_and_counted(work, facts):
        return True
    return _is_heading(work, facts)


def _is_heading(work: Work, facts: Sequence[Fact]) -> bool:
    """ "Grate.", "seat rail now", "row three five bolts": a name or a number, and nothing else but a word that leads over to it."""
    note = work.note
    if len(facts) != 1 or any(work.scopes.chatter) or len(note.tokens) > HEADING:
        return False
    if facts[0].kind == "fastener":
        return note.norms[0] in NUMBER_WORDS and [note.kind(1), note.kind(2)] == ["figure", "figure"] and note.tokens[-1].end == facts[0].span[1]
    if facts[0].kind != "part":
        return False
    names = {i for name in work.names for i in range(name.first, name.end)}
    names |= {i for at in range(len(note.norms)) for n in (3, 2) if note.norms[at : at + n] in BEGINNINGS for i in range(at, at + n)}
    return all(i in names or note.kinds[i] == "punct" or note.norms[i] in LEADS_OVER for i in range(len(note.norms))) and note.norms[-1] != "?"


def _short_and_open(work: Work, facts: Sequence[Fact]) -> bool:
    """ "arrow to the front", "leave the cover for tomorrow", "I'm guessing fifty": how a part sits, what is left for later or guessed, no more."""
    kinds = {fact.kind for fact in facts}
    if len(work.note.tokens) > SHORT // 2 or any(work.scopes.chatter):
        return False
    return bool(kinds & {"mark", "assumption"}) or ("todo" in kinds and "part" in kinds)


def _short_and_counted(work: Work, facts: Sequence[Fact]) -> bool:
    """ "That's twelve bolts", "it hangs on one big nut": a few words that count fasteners."""
    if len(work.note.tokens) > SHORT or any(work.scopes.chatter):
        return False
    return any(fact.kind == "fastener" and getattr(fact, "count", None) and getattr(fact, "fastener", "") in COUNTED for fact in facts)


def _together(facts: Sequence[Fact], *, has_things: bool) -> bool:
    kinds = {fact.kind for fact in facts}
    named = kinds & {"part", "fastener"}
    if "buy" in kinds and has_things:
        return True
    if sum(fact.kind == "fastener" for fact in facts) > 1 and any(getattr(fact, "count", None) for fact in facts):
        return True
    return (bool(named) and bool(kinds & {"action", "condition", "tool", "compound", "mark"})) or {"part", "fastener"} <= kinds or _placed(facts)


def _placed(facts: Sequence[Fact]) -> bool:
    return any(fact.kind == "part" and getattr(fact, "place", None) for fact in facts)


def _short_and_busy(work: Work) -> bool:
    note = work.note
    return (
        bool(work.verbs)
        and len(note.tokens) <= SHORT
        and any(w in ("it", "them", "those", "all") for w in note.norms)
        and not any(work.scopes.chatter)
    )
