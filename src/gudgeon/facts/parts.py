"""Part facts from the names found: which names count, each said once."""

from __future__ import annotations

from gudgeon.domain import Part
from gudgeon.facts.names import Name
from gudgeon.facts.wordset import word_set
from gudgeon.facts.work import Work

OWNERS = word_set("my his her your our their")
BODY = word_set("knee elbow arm back head neck shoulder finger thumb hand nose foot leg ankle hip")


def find_parts(work: Work) -> list[Part]:
    """All parts of a note, each once; none among things to buy, in chatter, or denied."""
    facts: list[Part] = []
    for name in work.names:
        if _refused(work, name):
            continue
        fact = Part(name=name.name, place=name.place, state=name.around.state, span=work.note.span(name.first, name.end), rule=name.rule)
        twin = next((i for i, f in enumerate(facts) if _same(f, fact)), None)
        if twin is None:
            facts.append(fact)
        elif facts[twin].state is None and fact.state is not None and facts[twin].name == fact.name:
            old = facts[twin]
            facts[twin] = Part(name=old.name, place=old.place, state=fact.state, span=old.span, rule=old.rule)
    return facts


def _refused(work: Work, name: Name) -> bool:
    scopes = work.scopes
    if scopes.bought[name.start]:
        return True
    compound = len(name.name.split()) > 1 and not work.note.lexicon.is_everyday("noun", name.name.split()[-1:])
    if scopes.chatter[name.start] and name.fastener is None and not compound and not _has_work(work, name):
        return True
    if name.name in BODY and work.note.word(name.first - 1) in OWNERS:
        return name.fastener is None  # "my knees went", not "my head bolts"
    return _is_denied(work, name) or _is_head_of_fastener(work, name)


def _has_work(work: Work, name: Name) -> bool:
    note, number = work.note, work.note.clause[name.start]
    if any(note.clause[at] == number and q.family == "torque" for at, q in work.quantities.items()):
        return True
    return any(note.clause[v.start] == number for v in work.verbs)


def _is_denied(work: Work, name: Name) -> bool:
    """ "the lower link, not the upper one": a name right after "not"."""
    first = name.first - 1
    while first >= 0 and work.note.norms[first] in ("the", "a", "an"):
        first -= 1
    return work.note.word(first) == "not"


def _is_head_of_fastener(work: Work, name: Name) -> bool:
    """ "the head of the filter bolt" is the bolt's."""
    note = work.note
    if name.name != "head" or note.word(name.end) != "of":
        return False
    return any(n.fastener is not None and 0 <= n.first - name.end <= 3 for n in work.names) or any(
        t.kind == "fastener" and 0 <= t.start - name.end <= 3 for t in work.things
    )


def _same(old: Part, new: Part) -> bool:
    """A later mention of the same part: the same name, or its last words, with no other place."""
    if new.place is not None and new.place != old.place:
        return False
    if old.name == new.name:
        return True
    return len(new.name.split()) == 1 and new.place is None and old.name.split()[-1] == new.name
