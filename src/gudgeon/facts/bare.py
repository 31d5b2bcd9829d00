"""Bare figures: when a number without a unit of torque is a torque all the same."""

from __future__ import annotations

import re

from gudgeon.facts.ahead import is_ahead_of_bolts, is_guessed_of_bolts
from gudgeon.facts.marked import Marked
from gudgeon.facts.wordset import word_set
from gudgeon.facts.work import Work
from gudgeon.notes import Quantity

STRONG_APPLY = frozenset(
    {
        "went to",
        "going with",
        "went with",
        "settled for",
        "went up to",
        "stopped at",
        "stopping at",
        "clicked at",
        "clicks at",
        "did them over at",
        "did it over at",
        "clicked off at",
        "clicked them off at",
        "clicked them at",
        "clicked it off at",
        "took them to",
        "took it to",
        "pulled to",
        "those to",
        "got to",
        "got them to",
        "got it to",
        "gone to",
        "settled on",
        "them to",
        "torqued to",
    }
)
GETS = word_set("got get gets getting had has")
ENDS_AFTER = word_set(
    "and then but with on for so because each all every in as yes i we it the that which who this now too again first second when while "
    "after before there instead evenly dry oiled using no not please today by until apart except or plus followed at they he she maybe "
    "probably though"
)
"""Words that may follow a bare torque; anything else would be counted by the figure."""


CLOCK = re.compile(r"(?:[01]?\d|2[0-3])[.:][0-5]\d")
LEAST_ALONE = 5
"""Under it a figure alone may as well count something."""
LEFT_AT = [[who, be, "at"] for who, be in (("they", "'re"), ("they", "are"), ("it", "'s"), ("it", "is"), ("that", "'s"), ("all", "now"))]
"""How it is told what something was left at: "then checked at 150 and they moved, so they're at 150"."""


def shared_unit(work: Work, quantity: Quantity, figure_at: int) -> str | None:
    """The unit said with another torque of the sentence, for "first pass ten, second pass thirty newton metres", "forty then sixty newton metres",
    "the clamp to six newton metres and the rails to twelve"."""
    note = work.note
    figure = note.tokens[figure_at].figure
    if figure is None or figure.form not in ("cardinal", "decimal", "mixed") or quantity.value < 1:
        return None
    if note.word(quantity.at - 1) in ("grade", "class", "marked") and figure.form != "cardinal":
        return None
    others = [q for q in work.torques_said if note.sentence[q.at] == note.sentence[quantity.at]]
    if not others or any(q.at <= figure_at < q.end for q in work.torques_said):
        return None
    nearest = min(others, key=lambda q: abs(q.at - quantity.at))
    if any(quantity.at == h.end or quantity.end == h.start for h in note.hits.get("stages", ())):
        return nearest.unit
    if _then_up_to(work, quantity.end, nearest.at) or _is_of_other_twin(note, quantity, nearest):
        return nearest.unit
    tail = _may_end_after(note, quantity.end)
    if tail and quantity.value > nearest.value and note.word(quantity.at - 1) == "then" and 0 < quantity.at - nearest.end <= 3:
        return nearest.unit
    if (
        tail
        and quantity.at > nearest.end
        and note.kind(quantity.at - 2) != "figure"
        and any(0 <= quantity.at - 1 - n.end <= 1 and note.norms[quantity.at - 1] in ("to", "at", "got") for n in work.names)
    ):
        return nearest.unit
    if tail and quantity.at > nearest.end and note.word(quantity.at - 1) in ("at", "to") and note.word(quantity.at - 2) in AGAIN | THEM:
        return nearest.unit
    redone = any(v.action == "tighten" and v.tense == "past" and v.end == quantity.at - 1 for v in work.verbs)
    if tail and quantity.at > nearest.end and redone and note.word(quantity.at - 1) in ("at", "to"):
        return nearest.unit  # "90 ft-lb each, hot retightened at 95"
    if tail and quantity.at > nearest.end and note.norms[quantity.at - 3 : quantity.at] in LEFT_AT:
        return nearest.unit
    told = bool(work.scopes.reported[nearest.at])
    if tail and not told and any(h.end == quantity.at and h.row.phrase in STRONG_APPLY for h in note.of("connectors", role="apply")):
        return nearest.unit
    if tail and quantity.at > nearest.end and (_right_behind(work, quantity.at) or _led_on(work, quantity)):
        return nearest.unit
    return nearest.unit if tail and _of_plural(work, quantity.at) else None


def _is_of_other_twin(note: Marked, quantity: Quantity, other: Quantity) -> bool:
    """ "Pintle nuts upper 45, lower 40 Nm": places right before both figures, and nothing else between them."""
    ends = {h.end for h in note.hits.get("places", ())}
    starts = {h.end: h.start for h in note.hits.get("places", ())}
    if not {quantity.at, other.at} <= ends or other.at < quantity.end:
        return False
    return note.norms[quantity.end : starts[other.at]] in ([","], ["and"], [",", "and"], [])


def _then_up_to(work: Work, at: int, end: int) -> bool:
    """ "four then seven then ten newton metres": nothing but "then" and plain figures from a figure on to one that has its unit."""
    note, links = work.note, 0
    if not 0 < end - at <= 9:
        return False
    for here in range(at, end):
        if note.norms[here] == "then":
            links += 1
        elif note.kinds[here] != "figure" and note.norms[here] not in ("and", ",", "to"):
            return False
    return links > 0 and note.norms[end - 1] in ("then", "to")


def _right_behind(work: Work, at: int) -> bool:
    """ "six newton metres and the caliper bolts eight": a figure right behind a fastener or a part."""
    if any(t.end == at for t in work.of_kind("fastener")):
        return True
    return any((n.end == at and n.start != n.around.start) or (n.end == at and work.note.word(n.first - 1) in ("the", "its")) for n in work.names)


def _led_on(work: Work, quantity: Quantity) -> bool:
    """ "ninety newton metres for the spindle nut, eighteen for the guard"."""
    note = work.note
    before = note.word(quantity.at - 1)
    follows = before in ("and", ",") or any(t.end == quantity.at for t in work.things)
    return follows and note.word(quantity.end) in ("on", "for") and note.word(quantity.end + 1) in ("the", "each", "all", "both")


def is_bare(work: Work, quantity: Quantity, figure_at: int, replaced: int | None) -> bool:
    """Whether a figure without a unit was a torque: something was brought to it, or it sets an earlier value right."""
    figure = work.note.tokens[figure_at].figure
    if figure is None or figure.form not in ("cardinal", "decimal", "mixed", "digits") or quantity.value < 1:
        return False
    if not _may_end_after(work.note, quantity.end) or work.note.word(quantity.at - 1) in ("number", "stage", "pass", "step", "grade", "by", "x"):
        return False
    if _is_clock(work, figure_at):
        return False
    if is_tightened(work, quantity, strict=False) or _of_plural(work, quantity.at):
        return True
    if _is_under_colon(work, quantity):
        return True
    if is_ahead_of_bolts(work, quantity) or is_guessed_of_bolts(work, quantity):
        return True
    return _corrects(work, quantity, figure_at, replaced)


def _is_under_colon(work: Work, quantity: Quantity) -> bool:
    """ "Brake rod, 2 lock nuts: 30.": a figure that is all that stands behind a colon, right behind counted fasteners."""
    note = work.note
    ends = quantity.end >= len(note.tokens) or note.norms[quantity.end] in (".", ";")
    counted = any(t.end == quantity.at - 1 and note.norms[t.end - 1].endswith("s") for t in work.of_kind("fastener"))
    return ends and note.word(quantity.at - 1) == ":" and counted and quantity.family is None and quantity.value >= LEAST_ALONE and bool(work.names)


def _of_plural(work: Work, at: int) -> bool:
    """ "the tens are twenty five": sizes in the plural before the figure."""
    note = work.note
    if note.word(at - 1) not in ("are", "get", "got", "at", "to", "had", "were"):
        return False
    token = note.tokens[at - 2] if at >= 2 else None
    return token is not None and (
        (token.figure is not None and token.figure.form == "plural") or (token.thread is not None and token.text.endswith("s"))
    )


def _may_end_after(note: Marked, end: int) -> bool:
    if end >= len(note.tokens):
        return True
    if note.kinds[end] == "punct":
        return note.norms[end][0] not in "%°/:"
    return note.norms[end] in ENDS_AFTER or any(note.starting(t, end) for t in ("hedges", "fillers", "corrections", "turns"))


THEM_UP = ("them", "it", "those", "these", "all")
RUN_UP = ("run", "ran", "taken", "took", "brought", "wound", "pulled", "put", "done", "worked", "nipped", "had")
"""Verbs of "I've run them up to 320"."""


def is_tightened(work: Work, quantity: Quantity, *, strict: bool) -> bool:
    """Whether words right before the figure say that something was brought to it."""
    note = work.note
    start = quantity.at
    while start > 0 and (note.starting("fillers", start - 1) or _is_hedge_word(note, start - 1)):
        start -= 1
    phrases = [h for h in note.of("connectors", role="apply") if h.end == start]
    if (
        note.norms[start - 2 : start] == ["up", "to"]
        and note.word(start - 3) in THEM_UP
        and note.word(start - 4) in RUN_UP
        and work.of_kind("fastener")
    ):
        return True
    tightened = any(v.action == "tighten" and note.sentence[v.start] == note.sentence[start] and v.start < start for v in work.verbs)
    for hit in phrases:
        phrase = hit.row.phrase
        if phrase in STRONG_APPLY:
            return True
        if phrase == "at" and _may_be_hour(work, quantity, hit.start):
            continue
        if tightened and (phrase.split()[-1] in ("to", "at", "'s") or phrase in GETS):
            return True
        if _bears_bolts(work, hit.start, phrase):
            return True
    if strict and any(0 <= quantity.at - t.end <= 2 and note.sentence[t.start] == note.sentence[quantity.at] for t in work.of_kind("fastener")):
        return True
    if strict and note.word(quantity.at - 1) in ("at", "to") and any(t.thread for t in note.tokens[: quantity.at]):
        return True
    force = quantity.family == "force"
    if (
        strict
        and force
        and any(0 <= quantity.at - t.end <= BEHIND_BOLTS and note.clause[t.start] == note.clause[quantity.at] for t in work.of_kind("fastener"))
    ):
        return True
    return strict and (tightened or _leads_to_fastener(work, quantity.end))


def _is_clock(work: Work, at: int) -> bool:
    """ "Rain stopped at 10.30.": hours and minutes, in a sentence that names no joint."""
    note = work.note
    number = note.sentence[at]
    named = any(note.sentence[n.start] == number for n in work.names) or any(note.sentence[t.start] == number for t in work.of_kind("fastener"))
    return bool(CLOCK.fullmatch(note.tokens[at].text)) and not named


def _may_be_hour(work: Work, quantity: Quantity, at: int) -> bool:
    """ "all torqued, home at 5": words that are no joint stand between the tightening and a figure that may be an hour."""
    note = work.note
    if quantity.value > 12 or quantity.value != int(quantity.value) or quantity.family is not None:
        return False
    verb = max((v.end for v in work.verbs if v.action == "tighten" and v.start < at), default=at)
    things = {i for t in work.things for i in range(t.start, t.end)} | {i for n in work.names for i in range(n.first, n.end)}
    return any(i not in things and note.kinds[i] != "figure" and note.norms[i] not in AROUND_BOLTS for i in range(verb, at))


BEHIND_BOLTS = 10
"""Tokens from a fastener to newtons that were brought to it."""
AGAIN = word_set("again then finally lastly finished")
THEM = word_set("them it those these both all")
AROUND_BOLTS = word_set("the a an all both each every of them those these it up down on in left right front rear top bottom lot evenly just now now")


def _leads_to_fastener(work: Work, at: int) -> bool:
    """ "eighteen newtons on the lever clamp bolt"."""
    note = work.note
    if note.word(at) not in ("on", "for"):
        return False
    return any(0 < t.start - at <= 6 and note.clause[t.start] == note.clause[at] for t in work.of_kind("fastener"))


def _is_hedge_word(note: Marked, at: int) -> bool:
    return any(h.end == at + 1 for h in note.hits.get("hedges", ())) or note.norms[at] in ("only", "just")


def _bears_bolts(work: Work, at: int, phrase: str) -> bool:
    """ "the bolts got thirty three", "wheel nuts at ninety", "bolts are at forty": a fastener right before."""
    if phrase in GETS or phrase in (
        "have had",
        "has had",
        "'s had",
        "'ve had",
        "are at",
        "is at",
        "at",
        "all at",
        "now at",
        "set to",
        "goes to",
        "go to",
        "going to",
    ):
        if phrase in ("at", "all at", "now at") and work.note.kind(at - 1) == "figure" and work.note.word(at - 2) == "all":
            return True
        if phrase in ("all at", "at", "now at") and _they_are(work, at):
            return True
        if phrase in GETS and work.note.word(at - 1) in ("rest", "others", "ones") and bool(work.things):
            return True
        if phrase in GETS and work.note.word(at - 1) in ("they", "these", "those") and _bolts_before(work, at):
            return True
        for thing in work.of_kind("fastener"):
            if 0 <= at - thing.end <= 1 and work.note.sentence[thing.start] == work.note.sentence[at]:
                return True
    return False


def _bolts_before(work: Work, at: int) -> bool:
    return any(t.end <= at and work.note.sentence[t.start] == work.note.sentence[at] for t in work.of_kind("fastener"))


def _they_are(work: Work, at: int) -> bool:
    """ "they're all at twelve now"."""
    note = work.note
    here = at - 1 - (note.word(at - 1) in ("all", "now"))
    return note.word(here) in ("'re", "are") and note.word(here - 1) in ("they", "these", "those")


def _corrects(work: Work, quantity: Quantity, figure_at: int, replaced: int | None) -> bool:
    """A bare figure in a note that sets an earlier value right: "those were sixteen not eighteen", "that bracket got thirty three"."""
    note = work.note
    if quantity.value < 2:
        return False
    before = note.word(quantity.at - 1)
    if replaced is not None and work.quantity_of(replaced) is not None and note.kinds[replaced] == "figure":
        plain = work.quantity_of(replaced)
        if (
            plain is not None
            and plain.family is None
            and (before in ("was", "were", "be", ",", "is", "'s", "got", "had") or note.word(quantity.at - 2) in ("was", "were"))
        ):
            return _speaks_of_joint(work) and _no_size_word(work)
    correcting = any(hit.start <= 3 for hit in note.hits.get("corrections", ()))
    told = before in GETS or note.word(quantity.at - 2) in GETS or (before in ("was", "were") and note.word(quantity.at - 2) in ("it", "they"))
    return correcting and told and not work.scopes.chatter[quantity.at]


def _speaks_of_joint(work: Work) -> bool:
    if any(work.scopes.chatter):
        return False
    note = work.note
    return bool(work.names or work.of_kind("fastener")) or any(w in ("those", "that", "they", "it", "these") for w in note.norms)


def _no_size_word(work: Work) -> bool:
    if any(not any(t.start <= h.start < t.end for t in work.things if t.kind == "noun") for h in work.note.of("quantities", family="length")):
        return False
    return not any(t.kind == "tool" and t.row["tool"] != "torque wrench" for t in work.things)
