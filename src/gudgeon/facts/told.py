"""The verbs on the way to a value: which words are verbs, of which sense (``predicates.csv``) and in which form."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from gudgeon.facts.marked import Marked
from gudgeon.facts.wordset import word_set
from gudgeon.facts.work import Work

OWN = word_set("i we")
PERSONS = word_set("he she they you who people everybody everyone somebody someone")
SUBJECTS = OWN | PERSONS | word_set("it that this these those which")
ARTICLES = word_set("the a an this that these those my our your his her its their each every both all no some another")
AND = word_set("and or then plus")
AT_HEAD = AND | word_set("so but right ok okay now well also")
SAME_FORMS = word_set("put set run hit cut")
"""Plain forms that are past forms too."""
MOST_GOES = 6
"""A number up to which "three goes" counts and tells no doing."""
NOUN_BEFORE = word_set("of the a an some no my much more")
"""Words before a form in -ing that make it a noun: "a lot of swearing"."""
NO_VERB_IN = ("hedges", "fillers", "corrections", "stages", "states", "descriptions", "confirmations", "turns", "places", "conditions")


@dataclass(frozen=True, slots=True)
class Told:
    """A verb on the way to a value: the token, its sense (``predicates.csv``; ``work`` and ``loosen`` for verbs of work) and its form."""

    at: int
    sense: str
    form: str


def verbs_between(work: Work, first: int, end: int) -> Iterator[Told]:
    """The verbs between two tokens."""
    note = work.note
    of_work = {v.start: v for v in work.verbs}
    covered = {i for v in work.verbs for i in range(v.start, v.end)}
    for at in range(first, end):
        if at in of_work:
            yield Told(at, "loosen" if of_work[at].action == "loosen" else "work", of_work[at].tense)
        if at in covered or note.kinds[at] != "word" or (is_taken(work, at) and not _gives_way(work, at, end)):
            continue
        if _is_meanwhile(note, at):
            continue
        sense, form = note.lexicon.predicates.get(note.norms[at], ("", ""))
        if sense in ("idea", "nobody") or (form == "ing" and note.word(at - 1) in NOUN_BEFORE):
            continue
        if (note.norms[at] == "'s" and _owns(work, at)) or (note.norms[at].startswith("turn") and note.word(at + 1) == "out"):
            continue
        if form == "present" and (note.tokens[at - 1].value or MOST_GOES + 1) <= MOST_GOES and at:
            continue
        if note.norms[at] == "'d":
            yield Told(at, "have" if had_follows(note, at) else "modal", "")
        elif sense and (form != "base" or (_stands_as_verb(note, at, first))):
            yield Told(at, sense, form)
        elif not sense and _looks_like_verb(note, at):
            yield Told(at, "other", "past" if note.norms[at].endswith("ed") else "present")


def _is_meanwhile(note: Marked, at: int) -> bool:
    """ "while she looks", "while you're looking": what somebody does in the meantime tells nothing of the value behind it."""
    led = next((i for i in range(at - 1, max(at - 4, -1), -1) if note.norms[i] in ("while", "whilst")), None)
    if led is None or note.word(led + 1) not in PERSONS | OWN or note.sentence[led] != note.sentence[at]:
        return False
    return not any(note.kinds[i] == "figure" and note.sentence[i] == note.sentence[led] for i in range(led))


def _owns(work: Work, at: int) -> bool:
    """ "that manway's bolts": a "'s" that no verb follows, right before a thing."""
    return any(t.start == at + 1 for t in work.things if t.kind in ("fastener", "noun")) or any(n.first == at + 1 for n in work.names)


def had_follows(note: Marked, at: int) -> bool:
    """Whether "'d" is "had": a past form follows that is no plain form too."""
    after = at + 1 + (note.word(at + 1) in ("just", "already", "only", "not", "never", "all"))
    form = note.lexicon.predicates.get(note.word(after), ("", ""))[1]
    past = any(h.row["tense"] == "past" for h in note.starting("actions", after)) or form == "past" or note.word(after) in ("had", "been")
    return past and note.word(after) not in SAME_FORMS


def _gives_way(work: Work, at: int, value: int) -> bool:
    """ "it sheared just shy of fifty": a fault that led to the figure, with no joint in between."""
    return (
        sense_at(work.note, at) == "fail"
        and not any(t.start <= at < t.end for t in work.things)
        and not any(is_bare_joint(work, i) for i in range(at + 1, value))
    )


def _stands_as_verb(note: Marked, at: int, first: int) -> bool:
    """Whether a plain form is a verb here and no noun: behind a subject, "to" or a helper, or at the head."""
    before = note.word(at - 1)
    if before in ("these", "those", "this", "that", "which"):
        return note.kind(at + 1) not in ("", "punct")
    if sense_at(note, at) in ("tell", "think") and note.kind(at + 1) == "figure":
        return True
    if (
        before in SUBJECTS
        or before == "'d"
        or sense_at(note, at - 1) in ("modal", "help", "have", "be")
        or before in ("to", "not", "never", "always", "just", "please")
    ):
        return True
    if at == first or (at - 1 == first and before in AT_HEAD):
        return note.kind(at + 1) != "word" or note.lexicon.common.get(note.word(at + 1), "noun") not in ("noun", "verb")
    return note.kind(at - 1) == "word" and before.endswith("s") and not before.endswith("ss") and before not in ARTICLES and before != "'s"


def _looks_like_verb(note: Marked, at: int) -> bool:
    """A word of no table that is placed like a verb: "they dangled", "he's scribbled"."""
    word, before = note.norms[at], note.word(at - 1)
    if word in note.lexicon.common:
        return note.lexicon.common[word] == "verb" and before in OWN | PERSONS
    if note.cued[at] or not word.isalpha():
        return False
    if before in OWN | PERSONS:
        return True
    if not word.endswith("ed") or len(word) < 5 or word.endswith("eed"):
        return False
    opens = at == 0 or note.kind(at - 1) == "punct"
    return opens or before in SUBJECTS or before in ("'s", "'ve", "has", "have", "had") or note.word(at + 1) in ("at", "out", "about", "around")


def is_taken(work: Work, at: int) -> bool:
    """Whether a word belongs to a name, a thing or a phrase that is no verb."""
    note = work.note
    if any(n.first <= at < n.end for n in work.names) or any(t.start <= at < t.end for t in work.things if t.kind != "quantity"):
        return True
    return any(h.start <= at < h.end for table in NO_VERB_IN for h in note.hits.get(table, ()))


def is_bare_joint(work: Work, at: int) -> bool:
    """Whether a word belongs to a part's name, a fastener or a part of the lists."""
    if any(n.first <= at < n.end for n in work.names):
        return True
    return any(t.start <= at < t.end for t in work.things if t.kind in ("fastener", "noun"))


def sense_at(note: Marked, at: int) -> str:
    """The sense of the word at a token, or ""."""
    if any(hit.start <= at < hit.end and hit.end - hit.start > 1 for hit in note.hits.get("part_nouns", ())):
        return ""  # the "limit" of a limit switch
    return note.lexicon.predicates.get(note.word(at), ("", ""))[0]
