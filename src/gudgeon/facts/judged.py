"""What is said behind a torque that makes it an opinion, a request, a bound or somebody's word."""

from __future__ import annotations

from gudgeon.facts.drafts import TorqueDraft
from gudgeon.facts.told import ARTICLES, OWN, PERSONS, had_follows, is_taken, sense_at
from gudgeon.facts.wordset import word_set
from gudgeon.facts.work import Work

ON_THE = word_set("on for in at of to into onto round around across")
JUDGES = word_set("is was 's isn't wasn't seems seemed sounds sounded looks looked feels felt would should might could may wouldn't")
"""Verbs behind a torque that make it their subject."""
GOT = 9
"""How far behind "is what the" the word stands that tells of it as done."""
SOFT_JUDGES = word_set("should would could might may")
STAYS = word_set("got had all on done it in what at up where as plenty")
"""What "is" may go on with behind a torque that was put on: "forty newton metres it is", "is on"."""
SAID_BY = word_set("says said reckons reckoned claims claimed suggests")
PLEASE = frozenset({("would", "you"), ("could", "you"), ("can", "you"), ("will", "you"), ("when", "you"), ("once", "you"), ("for", "me")})
PENDING = word_set("tbc tba pending")
BOUND = word_set("max maximum min minimum limit ceiling tops")


def is_judged(work: Work, draft: TorqueDraft, *, named: bool) -> bool:
    """ "… on the bracket is asking for trouble", "… please", "… max": what follows makes it an opinion, a request or a bound."""
    note = work.note
    end = note.end_of(note.sentence, draft.at)
    if note.word(draft.end) in BOUND or note.norms[draft.end : draft.end + 2] == ["of", "torque"]:
        return True
    if any(tuple(note.norms[i : i + 2]) in PLEASE or note.norms[i] == "please" for i in range(draft.end, end)):
        return True
    if _is_not_settled(work, draft.end):
        return True
    if any(_is_said_by(work, i) for i in range(draft.end, end)):
        return True
    here = draft.end
    if note.word(here) in ON_THE:
        while (
            here < end
            and note.norms[here] != "and"
            and (note.norms[here] in ARTICLES | ON_THE or is_taken(work, here) or note.kinds[here] in ("thread", "figure"))
        ):
            here += 1
    word, after = note.word(here), note.word(here + 1)
    if word in ("works", "comes", "converts", "equals", "translates"):
        return True
    if word not in JUDGES or here >= note.end_of(note.clause, draft.end - 1):
        return False
    if word == "'s" and here == draft.end and sense_at(note, here + 1) in ("bring", "work"):
        return False  # "thirty newton metre's working outwards": a plural as it is heard
    if word in SOFT_JUDGES:
        return not named and (after, note.word(here + 2)) != ("do", "with")
    if after == "what":
        return any(sense_at(note, i) in ("modal", "tell", "want", "think") or note.norms[i] == "'d" for i in range(here + 1, end))
    return after not in STAYS


def _is_not_settled(work: Work, end: int) -> bool:
    """ "90 Nm required", "… to be confirmed", "… (manual)": what stands right behind makes it a demand or a source's."""
    note = work.note
    here = end + (note.word(end) in ("(", ","))
    sense, form = note.lexicon.predicates.get(note.word(here), ("", ""))
    if (sense in ("tell", "want", "think") and form == "past" and note.kind(here + 1) in ("", "punct")) or note.word(here) in PENDING:
        return True
    if note.norms[here : here + 2] == ["to", "be"]:
        return True
    source = any(h.row["role"] == "source" and note.word(h.end) == ")" for h in note.starting("reported", here))
    return note.word(end) == "(" and source


def _is_said_by(work: Work, at: int) -> bool:
    """ "… sixty newton metres says the note", "… he says", "… i'm told": who says it stands behind."""
    note = work.note
    sense, _ = note.lexicon.predicates.get(note.norms[at], ("", ""))
    if sense not in ("tell", "think", "find"):
        return False
    if note.norms[at] in ("told", "informed", "assured"):
        return note.norms[at - 2 : at] == ["i", "'m"]
    if note.word(at - 1) in PERSONS - {"you"} and sense == "tell":
        return note.word(at + 1) not in ("to", "nothing") and "'" not in note.word(at + 1)
    if note.norms[at - 1 : at + 1] in (["i", "hear"], ["i", "gather"], ["i", "heard"]):
        return note.kind(at + 1) in ("", "punct")
    return (
        note.norms[at] in SAID_BY and (note.kind(at - 1) in ("unit", "punct") or is_taken(work, at - 1)) and note.word(at + 1) in ARTICLES | PERSONS
    )


def has_bad_end(work: Work, draft: TorqueDraft) -> bool:
    """ "at sixty newton metres that thread would go": what would come of it, where no joint was given it."""
    note = work.note
    end = note.end_of(note.sentence, draft.end - 1)
    if note.word(draft.end) in ("needs", "wants", "requires"):
        return True  # "600 newton metres needs two people"
    if note.word(draft.end) == "when" and note.word(draft.end + 1) in ("i", "we") and note.word(draft.end + 2) in ("do", "get", "can"):
        return True  # "15 Nm when I do"
    if "mind" in note.norms[draft.end : min(end, draft.end + 8)] and "have" in note.norms[draft.end : min(end, draft.end + 8)]:
        return True  # "1.5 kgf·m is what I have in mind"
    for here in range(draft.end, min(end, draft.end + 9)):
        if note.norms[here] == "or":  # "two newton metres, or it'll crack": why it was no more
            return False
        if "more" in note.norms[here : here + 4]:  # "on them, they'd take more but the stone wouldn't"
            return False
        if note.norms[here - 2 : here] == ["nothing", "else"]:
            return False  # "done by feel, nothing else would reach"
        if note.norms[here] in ("would", "'d") and note.word(here - 1) not in OWN and not had_follows(note, here):
            return True
        if note.norms[here] in ("'ll", "will") and any(sense_at(note, i) == "fail" for i in range(here, min(here + 4, end))):
            return True
    return False


def is_what_they_got(work: Work, end: int) -> bool:
    """ "… is what they've had", "… is what i gave it"."""
    note = work.note
    if note.word(end) not in ("is", "'s", "was") or note.word(end + 1) != "what":
        return False
    near = note.norms[end + 2 : end + 6]
    if near[:1] in (["i"], ["we"], ["they"], ["it"]) and any(word in ("had", "got", "gave", "used", "did", "put") for word in near):
        return True
    last = note.end_of(note.sentence, end)
    got = next((i for i in range(end + 3, min(last, end + GOT)) if note.norms[i] in ("had", "got")), None)
    if near[:1] == ["the"] and got is not None and any(is_taken(work, i) for i in range(end + 3, got)):
        return True  # "8 Nm is what the gate latch got."
    clause = note.norms[end + 2 : last]
    return near[:1] == ["the"] and clause[-1:] in (["had"], ["got"]) and any(is_taken(work, i) for i in range(end + 3, end + 2 + len(clause)))
