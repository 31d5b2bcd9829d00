"""Whether a verb on the way to a value, in its form and with its subject, lets the value have been put on."""

from __future__ import annotations

from gudgeon.facts.drafts import TorqueDraft
from gudgeon.facts.marked import Marked
from gudgeon.facts.told import ARTICLES, OWN, PERSONS, SAME_FORMS, Told, is_taken, sense_at, verbs_between
from gudgeon.facts.wordset import word_set
from gudgeon.facts.work import Work

ACHIEVED = word_set("had managed able need needed")
"""Words before "to" after which the verb was done: "had to use", "managed to get"."""
STATE = word_set(
    "at all now both just only still up down back on to done set about around roughly nearly exactly in evenly again each also too tight happy "
    "and it they of them those these one ones the lot rest others already finally currently there here with a"
)
"""Words that may stand between "is" and the value that something is at."""
GIVING_UP = word_set("up way out in")
NOW_DONE = word_set("now today done each apiece evenly")
"""Words right behind a torque that tell of it as done."""
LATER = word_set("when once after until till if unless")
"""Words that put a plain present ("it gets sixty") into the time to come."""
ALMOST = word_set("almost nearly practically barely")
THEY_ARE = 2
"""Where the verb stands in a note that begins with "they're", which then are the fasteners."""
NEED_TO = word_set("holds hold go goes going run runs running come comes coming")
"""Forms that bring nothing to a figure right behind them, without "to" or "at"."""
PROGRESSIVE = word_set("just now still then and so been up right ok all both each")
HAVING_HAD = word_set("had got")
FINISHED = word_set("finished done redone")
TAKING_BACK = word_set("scrub scratch strike forget ignore cancel bin scrap delete")
UNTIL_HAD = (["till", "i", "had"], ["until", "i", "had"], ["till", "we", "had"], ["until", "we", "had"])
"""How a pull is told that ended at a value: "I leaned on it till I had 240"."""
TOOL_NEAR = 4
"""How many words behind "you want" a tool stands."""
NEARLY = word_set("about around roughly just only nearly exactly a")
BLOCKING = ("modal", "tell", "think", "want", "bear", "make", "seem", "fail", "come", "find", "own", "other")


def lets_be_done(work: Work, verb: Told, first: int, draft: TorqueDraft, at: int, *, last: bool) -> bool:
    """Whether a verb on the way to a value lets it have been put on."""
    note = work.note
    if verb.sense == "want" and any(0 < t.start - verb.at <= TOOL_NEAR and t.end <= at for t in work.of_kind("tool")):
        return True  # "and you want the nineteen mil spanner, seventy five newton metres done"
    if note.norms[verb.at] == "tried" and "again" in note.norms[verb.at : at] and note.word(at - 1) in ("at", "to"):
        return True  # "tried it again at fifty five"
    if note.norms[verb.at] in ("stand", "stands", "sit", "sits") and note.word(at - 1) == "at" and verb.at + 1 == at - 1:
        return True  # "they stand at 210 Nm"
    if verb.sense in BLOCKING:
        if verb.sense in ("bear", "make", "other") and note.word(verb.at - 1) == "to" and note.word(verb.at - 2) in ACHIEVED:
            return True
        if (
            verb.sense == "come"
            and verb.form == "past"
            and note.word(verb.at + 1) in ("up", "down", "round", "together")
            and note.word(at - 1) in ("to", "at")
        ):
            return True
        return _settles(note, verb, at) or (verb.sense == "other" and _has_object(work, verb.at, at))
    if verb.sense == "loosen" and {"redo", "redid", "redone"} & set(note.norms[verb.at + 1 : at]):
        return True  # "I've had to slacken the rim joint and redo it at two hundred and ten"
    if verb.sense == "loosen" and last and not named_right_before(work, at):
        return False
    if note.norms[verb.at] in ("does", "do") and verb.at + 1 == at:
        return False
    plain = verb.form != "past" or note.norms[verb.at] in SAME_FORMS
    if plain and note.word(verb.at - 1) == "to" and verb.sense in ("bring", "work", "be", "have"):
        return _was_brought_about(work, verb.at - 1, first)
    if verb.sense in ("bring", "work"):
        return _may_be_done(work, verb, first, at) or (not last and verb.form == "ing" and "with" in note.norms[max(first, verb.at - 3) : verb.at])
    if note.norms[verb.at] == "been" and note.word(verb.at + 1) in ("over", "round", "around", "back"):
        return True  # "I've been over them again at sixty"
    if verb.sense == "be" and last:
        return _leads_to_state(work, verb.at, draft, at)
    if note.norms[verb.at - 2 : verb.at + 1] in UNTIL_HAD and last:
        return True
    return verb.sense != "have" or not last or _has_had(work, verb.at, at)


def _settles(note: Marked, verb: Told, at: int) -> bool:
    """ "calling it fifteen", "found it, nineteen newton metres": the speaker's own settling on a value, or a find before it."""
    if note.word(verb.at + 1) != "it":
        return False
    return note.norms[verb.at].startswith("call") or (verb.sense == "find" and verb.at + 2 + (note.word(verb.at + 2) == "right") == at)


def _may_be_done(work: Work, verb: Told, first: int, value: int) -> bool:
    """Whether a verb of bringing or work, in its form and with its subject, tells of something done."""
    note, at = work.note, verb.at
    word, before, after = note.norms[at], note.word(at - 1), note.word(at + 1)
    if word in ("gave", "given", "giving") and after in GIVING_UP:
        return False
    if word in ("went", "gone", "going", "work", "works", "worked", "working") and after in ("out", "way", "off"):
        return False
    if word in ("came", "come", "backed") and note.word(at + 2) in ("at", "of", "before"):
        return False
    if before in ALMOST or (before == "once" and note.word(at - 2) in OWN):
        return False
    if note.kind(at + 1) == "figure" and (word in NEED_TO or (word in ("gave", "gives") and is_taken(work, at - 1))):
        return False
    if word == "going" and at + 1 == value and before in PROGRESSIVE and set(note.norms[value + 2 : value + 5]) & {"each", "all", "both"}:
        return True  # "I'm going ninety inch pounds on each"
    if verb.form == "ing":
        opens = at == first or before in PROGRESSIVE or note.kind(at - 1) in ("punct", "unit", "figure", "thread") or is_taken(work, at - 1)
        bolts = note.word(at - 2) == "they" and (_are_meant(note, at, value) or any(t.end < at for t in work.of_kind("fastener")))
        opens = opens or (before == "a" and at == first + 1 and after in ARTICLES)  # "uh torquing the …" as it is heard
        opens = opens or (before == "after" and note.word(at - 2) in ("'re", "are", "'s", "is", "'m"))  # "they're after getting forty"
        opens = opens or (sense_at(note, at - 1) == "be" and (bolts or note.word(at - 2) not in PERSONS))
        fitted = note.word(at + 2) == "with" and note.kind(at + 3) == "figure"  # "the head's going on with six nuts"
        return opens and (word != "going" or after != "on" or fitted)
    if verb.sense != "bring" or verb.form == "past":
        return not (before == "they" and word in SAME_FORMS and _has_object(work, at, value))
    fitted = word in ("gets", "takes") and note.kind(at + 1) == "figure" and is_taken(work, at - 1)  # "the lid gets six screws at eight"
    if (
        (before in PERSONS or verb.form == "present")
        and (_has_object(work, at, value) or after in ("it", "them"))
        and before not in ("that", "which")
        and not fitted
    ):
        return False
    if at + 1 == value and word in ("take", "takes"):
        return False
    if word in SAME_FORMS or (verb.form == "base" and before in ("did", "didn't")):
        return True
    return at != first and not _in_time_to_come(work, at, value)


def _are_meant(note: Marked, at: int, value: int) -> bool:
    """ "They're getting thirty two newton metres": "they" that opens a note are the fasteners, where no place or source follows."""
    return at == THEY_ARE and note.word(at) in ("getting", "going", "having") and not {"out", "at", "from"} & set(note.norms[value + 1 : value + 4])


def _was_brought_about(work: Work, to: int, first: int) -> bool:
    """Whether what follows "to" was done: "had to", "managed to", "used the crowfoot to get"."""
    note = work.note
    before = note.word(to - 1)
    if before in ACHIEVED:
        return before != "need"
    if any(note.norms[i : i + 2] == ["had", "to"] for i in range(first, to)):
        return True
    return any(verb.form == "past" and verb.sense in ("bring", "work") and verb.at + 1 < to for verb in verbs_between(work, first, to))


def _in_time_to_come(work: Work, at: int, value: int) -> bool:
    """A plain present beside "when the paint's cured", "after a hundred miles" is a time to come."""
    note = work.note
    first = note.start_of(note.sentence, at)
    first = max((i for i in range(first, at) if note.norms[i] in ("but", "so", "anyway", "because", "though")), default=first)
    return any(note.norms[i] in LATER for i in range(first, note.end_of(note.sentence, value)))


def _has_object(work: Work, at: int, value: int) -> bool:
    """Whether a joint stands right behind a verb: "they run the coupling bolts at"."""
    begins = {n.first for n in work.names} | {t.start for t in work.things if t.kind in ("fastener", "noun")}
    here = at + 1
    while here < value and (work.note.norms[here] in ARTICLES or work.note.kinds[here] in ("figure", "thread")):
        here += 1
    return here in begins


def _leads_to_state(work: Work, be: int, draft: TorqueDraft, at: int) -> bool:
    """ "are now at forty", "'s back on with two bolts at forty": "is", and how something is, or a joint of its own before the value."""
    note = work.note
    if be == note.start_of(note.piece, be) and note.norms[be] in ("was", "were"):
        return False
    if note.norms[be] in ("was", "were") and _was_found(note, be, draft.end):
        return False
    if _in_time_to_come(work, be, at) and note.norms[be] in ("are", "'re", "is", "'s") and _present_before(work, be):
        return False
    if note.kind(be + 1) in ("figure", "thread") and be + 1 < at:
        return True
    if note.word(be - 1) in ("his", "hers", "theirs", "yours"):
        return False
    if note.word(be + 1) in ("a", "an", "another") and note.kind(be + 2) == "word" and be + 2 < at:
        return True
    if _is_told_size(work, be, draft, at):
        return False
    if named_right_before(work, at) or note.word(draft.end) in NOW_DONE:
        return not _is_due(work, be, at)
    for here in range(be + 1, at):
        if note.norms[here] in STATE or note.kinds[here] in ("figure", "unit", "punct", "thread", "grade") or is_taken(work, here):
            continue
        if note.lexicon.common.get(note.norms[here]) in ("adverb", "be") or note.norms[here].endswith("ly"):
            continue
        return False
    return True


def _is_told_size(work: Work, be: int, draft: TorqueDraft, at: int) -> bool:
    """ "it's sixty newton metres", "that's sixty four": what something is, not what it is at, where nothing was tightened."""
    note = work.note
    first = note.start_of(note.sentence, be)
    if note.word(be - 1) == "that" and note.kind(draft.end) in ("", "punct") and not any(v.sense in BLOCKING for v in verbs_between(work, first, be)):
        return False
    if note.word(be - 1) not in ("it", "that", "which", "this") or any(note.norms[i] not in NEARLY for i in range(be + 1, at)):
        return False
    if any(note.sentence[h.start] == note.sentence[at] for table in ("hedges", "corrections") for h in note.hits.get(table, ())):
        return False
    if note.word(0) in TAKING_BACK and note.word(1) == "the" and note.kind(2) == "figure":
        return False  # "scrub the 33 on that screw. It's 35 Nm"
    following = note.end_of(note.sentence, draft.end - 1)
    later = note.norms[following : note.end_of(note.sentence, following)] if following < len(note.tokens) else []
    if {"done", "tightened", "torqued"} & set(later) and any(following <= t.start < following + len(later) for t in work.of_kind("fastener")):
        return False  # "OK, it's 35 Nm. Castor bolts done, 4 of them"
    rest = note.norms[draft.end : note.end_of(note.sentence, draft.end - 1)]
    if any(draft.end <= h.start < draft.end + TOOL_NEAR for h in note.hits.get("stages", ())):
        return False  # "it's two hundred and fifty newton metres for the first pass"
    if (
        draft.replaces is not None
        or (FINISHED | NOW_DONE | HAVING_HAD) & set(rest)
        or rest[:1] in (["crossways"], ["crosswise"], ["diagonally"], ["evenly"], ["round"])
        or rest[:1] in (["on"], ["all"], ["and"], ["then"], ["with"], ["there"])
    ):
        return False
    number = note.sentence[at]
    return not any(note.sentence[t.start] == number and t.start < at for t in work.of_kind("fastener")) and not any(
        v.action in ("tighten", "inspect") and v.tense != "base" and note.sentence[v.start] == number for v in work.verbs
    )


def _is_due(work: Work, be: int, at: int) -> bool:
    return any(work.note.norms[i] in ("due", "after", "meant", "supposed", "bound") and not is_taken(work, i) for i in range(be + 1, at))


def _present_before(work: Work, at: int) -> bool:
    """Whether a verb in the plain present stands before: "when we get to the wheels they're …"."""
    first = work.note.start_of(work.note.sentence, at)
    return any(verb.form in ("base", "present") and verb.sense in ("bring", "come", "work") for verb in verbs_between(work, first, at))


def _was_found(note: Marked, be: int, end: int) -> bool:
    """ "it was at ten when i got the wrench on it", "before we took it apart it was at ninety"."""
    first, last = note.start_of(note.sentence, be), note.end_of(note.sentence, end - 1)
    for here in (*range(first, be), *range(end, last)):
        if note.norms[here] in ("when", "before", "until", "till") and (note.word(here + 1) in OWN or (here >= end and note.norms[here] != "when")):
            return not FINISHED & set(note.norms[here:last])
    return False


def _has_had(work: Work, have: int, at: int) -> bool:
    """ "the bolts have had forty", "i've all of them at forty": but not "his tractor has its nuts at forty", "i had fifty in my head"."""
    note = work.note
    subject = note.word(have - 1)
    between = range(have + 1, at)
    if any(note.norms[i] in ("had", "got") for i in between) or (note.norms[have] == "had" and subject in ("'s", "has", "have", "'ve")):
        return True
    if any(note.norms[i] in ("it", "them") and note.word(i - 1) not in ("on", "in", "to", "through", "round") for i in between):
        return subject in OWN
    if any(is_taken(work, i) for i in between):
        whose = ("his", "her", "their") if is_taken(work, have - 1) else ("its", "his", "her", "their", "the")  # "the cap had its two bolts"
        return note.word(have + 1) not in whose or subject in OWN
    if subject == "they" and have == 1 and at == have + 1:
        return True  # "they had four newton metres", of what was told before
    told = note.word(have - 2) == "so" or (note.word(have - 2) == "and" and not any(work.scopes.reported))
    if subject == "they" and told and at == have + 1:
        return True  # "but it's soft alloy so they had eight newton metres"
    if subject == "they" and any(t.end <= have for t in work.of_kind("fastener")):
        return True
    return subject not in OWN | PERSONS or "on" in note.norms[at : at + 5]


def named_right_before(work: Work, at: int) -> bool:
    """Whether a joint or its size stands right before a value: a phrase of its own."""
    note = work.note
    here = at - (note.word(at - 1) == "at")
    if note.kind(here - 1) in ("thread", "grade"):
        return True
    return any(t.end == here for t in work.things if t.kind in ("fastener", "noun", "compound")) or any(n.end == here for n in work.names)
