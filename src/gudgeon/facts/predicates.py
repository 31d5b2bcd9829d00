"""Whether a torque is told as a thing done: what the verbs around it say, by their sense, their tense and whose doing it is.

A torque in a bare phrase ("lid bolts forty newton metres") was put on. One that a verb leads up to was put on when every verb on the way
is one of work or of bringing something to a value, in a form that tells of what is done: no "will", no "to" that something was only
wanted for, nobody saying, thinking or wanting it. A verb behind the torque that makes it its subject ("… is asking for trouble") judges it.
The senses of the words stand in ``predicates.csv``; a verb of no sense there that brings nothing to a value blocks it too.
"""

from __future__ import annotations

from gudgeon.facts.doing import lets_be_done, named_right_before
from gudgeon.facts.drafts import TorqueDraft
from gudgeon.facts.judged import has_bad_end, is_judged, is_what_they_got
from gudgeon.facts.reports import PAPERS
from gudgeon.facts.told import AND, SAME_FORMS, is_bare_joint, is_taken, sense_at, verbs_between
from gudgeon.facts.wordset import word_set
from gudgeon.facts.work import Work

JOINING = word_set("at to all both now each on up @ = - is are 's")
LACKING = word_set("minus without shy less")
"""Words right before a value that was not reached or not given."""
HOPE = word_set("chance way hope point sense reason question danger use")
"""What there is none of where a value was not put on: "no chance of"."""
CLOSERS = word_set("it that them you me him us one too again done")
"""Words after which a clause is complete."""
SOURCE_ROLES = ("source", "thing", "person", "saying")
DURING = word_set("after before until till while once since when")


def is_put_on(work: Work, draft: TorqueDraft) -> bool:
    """Whether the words before and behind a torque tell of it as done."""
    if work.scopes.confirmed or is_what_they_got(work, draft.end):
        return True
    at = _first_said(work, draft)
    first = _head(work, at)
    fresh = begins_afresh(work, at)
    first = first if fresh is None else fresh
    first = max([first, *(t.start for t in work.of_kind("fastener") if first < t.start and t.end < at and _have_had(work, t.end, at))])
    verbs = list(verbs_between(work, first, at))
    if _is_quoted(work, draft.at) or _is_headed_by_wish(work, at) or _is_wished(work, first, at):
        return False
    if not verbs and _never_tightened(work, at):
        return False
    named = bool(verbs) or named_right_before(work, at)
    return all(lets_be_done(work, verb, first, draft, at, last=verb is verbs[-1]) for verb in verbs) and not (
        is_judged(work, draft, named=named) or (not named and has_bad_end(work, draft))
    )


def _have_had(work: Work, at: int, value: int) -> bool:
    """Whether fasteners that end before a token have had the value: "I'll start on the axle there | both nuts have had four"."""
    return work.note.norms[at:value] in (["have", "had"], ["'ve", "had"], ["has", "had"], ["have", "got"], ["had"], ["got"])


def _never_tightened(work: Work, at: int) -> bool:
    """ "never torqued these … around forty": the tightening was denied before."""
    if named_right_before(work, at):
        return False
    number = work.note.sentence[at]
    return any(v.action == "tighten" and work.scopes.negated[v.start] and work.note.sentence[v.start] == number and v.start < at for v in work.verbs)


def begins_afresh(work: Work, at: int) -> int | None:
    """Where a bare joint right before a value begins, when what was said before it is complete: "we might finish today | lid bolts now at forty"."""
    note = work.note
    here = at
    while here > 0 and (note.norms[here - 1] in JOINING or note.kinds[here - 1] in ("thread", "figure", "grade") or is_bare_joint(work, here - 1)):
        here -= 1
    if here == at or note.kind(here) == "figure" or not any(is_bare_joint(work, i) for i in range(here, at)) or here <= note.start_of(note.piece, at):
        return None
    first = note.start_of(note.sentence, at)
    closed = note.kind(here - 1) == "word" and (
        note.norms[here - 1] in CLOSERS or note.lexicon.common.get(note.norms[here - 1]) in ("adverb", "noun", "extra")
    )
    told = any(sense_at(note, i) in ("tell", "idea", "find", "think") for i in range(first, here)) or any(
        h.row["role"] in SOURCE_ROLES for h in note.hits.get("reported", ()) if first <= h.start < here
    )
    return here if closed and not told else None


def _first_said(work: Work, draft: TorqueDraft) -> int:
    """Where the value was first said: of one that was set right, the one taken back."""
    at = draft.at
    for here in range(draft.at, draft.end):
        old = work.taken.replaced(here)
        if old is not None and work.note.sentence[old] == work.note.sentence[at]:
            quantity = work.quantity_of(old)
            at = min(at, old if quantity is None else quantity.at)
    return at


def _head(work: Work, at: int) -> int:
    """Where the words that govern a value begin: its piece, and the pieces before that go on without a subject or verb of their own."""
    note = work.note
    first = note.start_of(note.piece, at)
    while first > 0 and note.sentence[first - 1] == note.sentence[first] and note.clause[first - 1] == note.clause[first]:
        before = note.start_of(note.piece, first - 1)
        here = first
        while here < at and note.norms[here] in AND:
            here += 1
        bare = not any(is_taken(work, i) or note.kinds[i] in ("thread", "grade") for i in range(first, at))
        shares = here > first and (_is_plain_verb(work, here) or (here == at and any(i in work.owners for i in range(before, first))))
        during = note.norms[first] in DURING and bare and not any(True for _ in verbs_between(work, first, at))
        if not shares and not during:
            break
        first = before
    return first


def _is_plain_verb(work: Work, at: int) -> bool:
    """Whether a form here may be the plain one, which shares the "will" or "to" of the verb before it."""
    note = work.note
    form = note.lexicon.predicates.get(note.word(at), ("", ""))[1]
    return form == "base" or note.word(at) in SAME_FORMS or any(v.start == at and v.tense == "base" and note.word(at + 1) != "is" for v in work.verbs)


def _is_quoted(work: Work, at: int) -> bool:
    """Whether a value stands in written quotation marks, with words of the speaker's own outside them."""
    note = work.note
    signs = [i for i, norm in enumerate(note.norms) if norm in ('"', "“", "”", "'") and note.kinds[i] == "punct"]
    before = [i for i in signs if i < at]
    after = [i for i in signs if i > at]
    if len(before) % 2 == 0 or not after:
        return False
    return any(note.kinds[i] == "word" for i in range(len(note.norms)) if i < before[-1] or i > after[0])


def _is_headed_by_wish(work: Work, at: int) -> bool:
    """ "Proposed: 70 Nm on the feet", "Asked the supplier: 30 Nm": a heading that says somebody wants, thinks or tells it."""
    note = work.note
    start = note.start_of(note.sentence, at)
    if note.word(start) == "then" and any(sense_at(note, i) == "want" for i in range(note.start_of(note.sentence, max(start - 1, 0)), start)):
        return True
    colon = next((i for i in range(at - 1, start, -1) if note.norms[i] == ":"), None)
    if colon is None:
        return False
    if any(start <= h.start < colon for h in note.hits.get("corrections", ())):
        return False
    sources = [
        h
        for h in note.hits.get("reported", ())
        if h.end + (note.kind(h.end) == "figure") == colon and (h.row["role"] == "source" or h.row.phrase in PAPERS)
    ]
    if any(not is_taken(work, h.start) for h in sources):
        return True
    return any(sense_at(note, i) in ("tell", "think", "want", "idea") and (i == start or not is_taken(work, i)) for i in range(start, colon))


def _is_wished(work: Work, first: int, at: int) -> bool:
    """ "my first thought was", "nobody has", "target": words before a value that make it a plan, somebody's word or nobody's doing."""
    note = work.note
    lacks = at - 1
    while lacks > first and note.norms[lacks] in ("the", "a", "its", "their", "of"):
        lacks -= 1
    if lacks >= first and note.norms[lacks] in LACKING:
        return True
    for here in range(first, at):
        if note.norms[here] == "no" and note.word(here + 1) in HOPE:
            return True
        sense = sense_at(note, here)
        if sense not in ("nobody", "idea") or (
            is_taken(work, here) and not any(n.first <= here < n.end and n.end - n.start == 1 for n in work.names)
        ):
            continue
        if sense == "nobody" or not any(here < v.start < at for v in work.verbs):
            return True
    return False
