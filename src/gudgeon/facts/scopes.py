"""What is not to be taken as done: negated, reported, supposed, asked, planned, to be bought, or mere chatter, token by token."""

from __future__ import annotations

from gudgeon.facts.flags import Scopes, blank, fill
from gudgeon.facts.lexicon import Hit
from gudgeon.facts.marked import Marked
from gudgeon.facts.reports import OWN_DOING, PRONOUNS, SPEAKING, begins_a_name, end_of_report, mark_reports
from gudgeon.facts.wordset import word_set

HEADING = 4
"""Tokens of a clause that only names a part, at most: "car guide shoes."."""
FLUIDS = word_set("water oil coolant fuel diesel petrol fluid grease")
SETTLED = frozenset({"settled on", "settled for", "settled at", "went with", "went to", "going with", "gone with", "stopped at"})
"""How it is told what was done in the end."""
WOULD_NOT = frozenset({"i wouldn't", "i would not"})
GOING_THERE = word_set("go do use dare risk trust take put torque tighten want give on for though and but so")
"""What "I wouldn't" must go on with to be about the value before it."""
TELLING = SPEAKING | {"wants", "wanted", "reckons", "recommends", "recommended", "suggests", "lists", "asks for", "asked for"}
LEADERS = word_set("the a an his her their my our your some")
BROUGHT = word_set("gone went done did set taken took put pulled torqued tightened nipped")
MEANT = word_set("i i've we we've all both they they've")
PUT_ON = word_set("got had gave used did")
DID = ("so i did", "and i did")
"""What confirms a value only where nothing follows: "so I did them at forty" is another one."""
THEIRS = word_set("their his her")
THEIR_DOING = word_set("does do did uses used puts runs torques takes")
DIRECT = word_set("over above beyond past under below exceed exceeding")
"""Limits that concern only the figure right after them."""


def read_scopes(note: Marked) -> Scopes:
    """Negation, reports, suppositions and chatter; questions, plans and purchases are added by their own modules."""
    scopes = blank(note)
    for hit in note.hits.get("chatter", ()):
        start, end = note.start_of(note.clause, hit.start), note.end_of(note.clause, hit.end - 1)
        if begins_a_name(note, hit) and end - start <= HEADING:
            continue
        if not _is_time(note, hit) and not _is_measure_of(note, hit) and not _speaks_of_work(note, start, end):
            fill(scopes.chatter, start, end)
    for hit in note.of("negations", scope="clause"):
        if note.starting("todos", hit.start):
            continue
        fill(scopes.negated, hit.end, note.end_of(note.piece, hit.end - 1))
    _mark_said_behind(note, scopes)
    _mark_suppositions(note, scopes)
    mark_reports(note, scopes)
    _mark_told_by_things(note, scopes)
    for hit in note.hits.get("undone", ()):
        if hit.row.phrase in WOULD_NOT and note.kind(hit.end) == "word" and note.norms[hit.end] not in GOING_THERE:
            continue
        if note.word(hit.end) in ("again", "twice"):
            continue
        fill(scopes.reported, _last_value(note, hit.start), hit.start)
    said = any(h.row.phrase not in DID or note.kind(h.end) in ("", "punct") for h in note.hits.get("confirmations", ()))
    scopes.confirmed = (said or _is_confirmed(note)) and not _another_told(note, scopes)
    return scopes


def _another_told(note: Marked, scopes: Scopes) -> bool:
    """ "Book says 640, our wrench only reaches 500, so that's what it's had": a value of the speaker's own stands between."""
    quoted = max((i for i, kind in enumerate(note.kinds) if kind == "figure" and scopes.reported[i]), default=None)
    said = [h.start for h in note.hits.get("confirmations", ())]
    if quoted is None or not said:
        return False
    own = [i for i in range(quoted + 1, said[0]) if note.kinds[i] == "figure" and not scopes.reported[i]]
    return any(note.kind(i + 1) == "punct" or note.word(i + 1) in ("so", "and") or note.kind(i + 1) == "unit" for i in own)


def _is_confirmed(note: Marked) -> bool:
    """ "so that's what those manifold nuts have had": what was quoted before was then put on."""
    for at in range(1, len(note.norms) - 1):
        if note.norms[at] == "what" and note.norms[at - 1] in ("'s", "is") and note.word(at - 2) in ("that", "which"):
            return any(word in PUT_ON for word in note.norms[at + 1 : at + 8]) and not any(w in ("n't", "not", "never") for w in note.norms[at:])
    if any(_have_had_that(note, at) for at in range(2, len(note.norms))):
        return True
    return any(_is_so(note, at) for at in range(1, len(note.norms) - 1)) or any(_is_at_that(note, at) for at in range(2, len(note.norms)))


def _mark_said_behind(note: Marked, scopes: Scopes) -> None:
    """ "Do them at fifty, he said": a value whose speaker is named behind it."""
    for hit in note.of("reported", role="saying"):
        who = hit.start - 1
        if hit.row.phrase not in ("said", "says") or note.word(who) not in PRONOUNS:
            continue
        value = who - 1 - (note.word(who - 1) == ",")
        if note.kind(value) in ("figure", "unit"):
            fill(scopes.reported, note.start_of(note.piece, value), hit.start)


def _have_had_that(note: Marked, at: int) -> bool:
    """ "He says eighty foot pounds so all ten of the motor bolts have had that"."""
    if note.norms[at] != "that" or note.norms[at - 1] not in ("had", "got") or note.kind(at + 1) not in ("", "punct"):
        return False
    first = note.start_of(note.sentence, at)
    so = next((i for i in range(at - 1, first - 1, -1) if note.norms[i] == "so"), None)
    told = so is not None and any(note.kinds[i] == "figure" for i in range(first, so))
    return told and note.word(at - 2) in ("have", "has", "'ve", "'s", "so")


def _is_at_that(note: Marked, at: int) -> bool:
    """ "31 Nm for the manifold so I've gone round all six at that": what was read before is what they were taken to."""
    ends = note.norms[at] == "that" and note.word(at - 1) in ("at", "to") and note.kind(at + 1) in ("", "punct")
    near = set(note.norms[max(note.start_of(note.sentence, at), at - 9) : at])
    return ends and not BROUGHT.isdisjoint(near) and not MEANT.isdisjoint(near)


def _is_so(note: Marked, at: int) -> bool:
    """ "Sixty newton metres it says on the sheet so sixty it's had": the figure said again as what something got."""
    if note.norms[at] != "so" or note.kind(at + 1) != "figure" or note.word(at + 2) not in ("it", "they", "that"):
        return False
    given = note.norms[at + 3 : at + 5]
    said = note.tokens[at + 1].value
    return (
        bool(given) and (given[-1] in ("had", "got") or given[0] in ("got", "had", "gets", "is")) and any(t.value == said for t in note.tokens[:at])
    )


def _mark_told_by_things(note: Marked, scopes: Scopes) -> None:
    """ "the drawing office wanted eighty", "their workshop does the studs at four hundred": nobody's part is the subject of these verbs."""
    for hit in note.of("reported", role="saying"):
        at = hit.start - 1
        if hit.row.phrase not in TELLING or note.kind(at) != "word":
            continue
        while at > 0 and note.kinds[at] == "word" and note.norms[at] not in LEADERS and hit.start - at <= 4:
            at -= 1
        if note.norms[at] not in LEADERS or hit.start - at < 2 or _names_a_thing(note, at + 1, hit.start):
            continue
        fill(scopes.reported, at, end_of_report(note, hit.end))
    for at in range(1, len(note.tokens) - 1):
        if note.norms[at] in THEIR_DOING and note.norms[at - 1] not in LEADERS and any(w in THEIRS for w in note.norms[max(0, at - 3) : at - 1]):
            fill(scopes.reported, at, end_of_report(note, at + 1))


def _names_a_thing(note: Marked, start: int, end: int) -> bool:
    """Whether the words are, or end with, a part, a fastener or a tool: what a joint may be called by."""
    tables = ("part_nouns", "fasteners", "part_modifiers", "tools", "places")
    return any(note.starting(table, i) for table in tables for i in range(start, end)) or note.norms[end - 1] in (
        "one",
        "ones",
        "i",
        "we",
        "that",
        "it",
    )


def _last_value(note: Marked, at: int) -> int:
    """Where the last figure before a token stands, in its sentence: "about twelve newton metres but i've not touched them"."""
    for here in range(at - 1, -1, -1):
        if note.sentence[here] != note.sentence[at - 1]:
            break
        if note.kinds[here] == "figure":
            return here
    return at


def _is_time(note: Marked, hit: Hit) -> bool:
    """ "since lunch", "before tea": a time of day, no chatter."""
    return note.word(hit.start - 1) in ("since", "after", "before", "till", "until", "by", "at", "over")


def _is_measure_of(note: Marked, hit: Hit) -> bool:
    """ "a pint of water in the bottom": a measure of a fluid, no chatter."""
    return note.word(hit.end) == "of" and note.word(hit.end + 1) in FLUIDS


def _speaks_of_work(note: Marked, start: int, end: int) -> bool:
    """Whether a clause names a fastener, a tool or a unit of torque, or work done on a part: then it is no chatter."""
    if any(start <= hit.start < end for table in ("fasteners", "tools") for hit in note.hits.get(table, ())):
        return True
    if any(t.kind == "thread" or (t.unit is not None and t.unit.family == "torque") for t in note.tokens[start:end]):
        return True
    if any(t.unit is not None and t.unit.family in ("length", "pressure", "volume") for t in note.tokens[start:end]) and any(
        start <= hit.start < end and hit.row["strength"] == "strong" and hit.end - hit.start > 1 for hit in note.hits.get("part_nouns", ())
    ):
        return True
    families = {t.unit.family for t in note.tokens[start:end] if t.unit is not None}
    if any(start <= hit.start < end and hit.row["family"] in families and hit.row["family"] != "mass" for hit in note.hits.get("quantities", ())):
        return True
    part = any(start <= hit.start < end and hit.row["strength"] == "strong" for hit in note.hits.get("part_nouns", ()))
    if part and _has_a_fault(note, start, end):
        return True
    return part and any(
        start <= hit.start < end and not hit.row["particles"] and hit.row["tense"] in ("past", "ing") for hit in note.hits.get("actions", ())
    )


def _has_a_fault(note: Marked, start: int, end: int) -> bool:
    """ "the crank bush is worn": a condition said outright of a part."""
    nouns = [hit.end for hit in note.hits.get("part_nouns", ()) if start <= hit.start < end and hit.row["strength"] == "strong"]
    return any(start <= hit.start < end and any(1 <= hit.start - noun <= 2 for noun in nouns) for hit in note.hits.get("conditions", ()))


def _mark_suppositions(note: Marked, scopes: Scopes) -> None:
    for hit in note.hits.get("hypotheticals", ()):
        phrase = hit.row.phrase
        if phrase.startswith("up to") and note.word(hit.start - 1) in BROUGHT:
            continue  # "union done up to about 25 Nm"
        if phrase in DIRECT and note.word(hit.start - 1) in ("tick", "ticking", "set", "turn", "turned", "turning"):
            continue
        if phrase in ("over", "under", "above", "below", "beyond", "past") and note.word(hit.end) in ("it", "them", "that", "those", "at"):
            continue  # "king bolt 180 Nm, lock nut over it 120 Nm"
        if phrase in DIRECT:
            fill(scopes.supposed, hit.end, min(hit.end + 2, len(note.tokens)))
        elif phrase in ("if", "unless", "what if", "no way", "imagine", "suppose", "supposing"):
            if note.word(hit.start - 1) in ("as", "see", "wonder", "know", "sure") or note.starting("hedges", hit.start):
                continue
            fill(scopes.supposed, hit.start, _end_of_if(note, hit.start))
        else:
            fill(scopes.supposed, hit.start, _end_of_supposed(note, hit.end))


def _end_of_supposed(note: Marked, at: int) -> int:
    """What was meant, thought or nearly done reaches to the clause's end, or to where it is told what was done instead:
    "was going to use 70 Nm, settled on 50"."""
    end = note.end_of(note.clause, at - 1)
    for here in range(at, end):
        if note.norms[here] == ":":
            return here  # "I must have been half asleep: the bolts went to 180"
        opens = note.word(here - 1) in (",", "and", "then", "-", "–", "—")
        if opens and (note.norms[here] in OWN_DOING or any(h.row.phrase in SETTLED for h in note.starting("connectors", here))):
            return here
    return end


def _end_of_if(note: Marked, at: int) -> int:
    """An "if" reaches to the sentence's end, or to a "but" or "so"."""
    end = note.end_of(note.sentence, at)
    for here in range(at + 1, end):
        if note.norms[here] in ("but", "so", "anyway"):
            return here
    return end
