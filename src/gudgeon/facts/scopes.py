"""What is not to be taken as done: negated, reported, supposed, asked, planned, to be bought, or mere chatter, token by token."""

from __future__ import annotations

from dataclasses import dataclass

from gudgeon.facts.lexicon import Hit
from gudgeon.facts.marked import Marked
from gudgeon.facts.wordset import word_set

FAR = 6
"""Tokens that may stand between a source and its verb ("the plate on the pump says")."""
HAVING = 8
"""Tokens behind "is what the" in which it is told that it was put on: "8 Nm is what the gate latch got"."""
HEADING = 4
"""Tokens of a clause that only names a part, at most: "car guide shoes."."""
SPEAKING = frozenset({"says", "said", "saying", "quotes", "states", "prints", "printed", "shows", "gives", "gave", "calls for", "specifies"})
"""What a thing with writing on it does, and a part of the machine does not."""
SOFT_SOURCES = frozenset({"according to", "per the book", "in the book", "in the manual"})
PAPERS = word_set("card chart tag label sticker page drawing diagram sheet placard note notes letter memo leaflet email")
FLUIDS = word_set("water oil coolant fuel diesel petrol fluid grease")
OWN_DOING = word_set("measured done did gave given went set taken took")
"""Words with which the speaker's own doing begins after what was quoted: "the tag says 70, done to 65"."""
SETTLED = frozenset({"settled on", "settled for", "settled at", "went with", "went to", "going with", "gone with", "stopped at"})
"""How it is told what was done in the end."""
WOULD_NOT = frozenset({"i wouldn't", "i would not"})
GOING_THERE = word_set("go do use dare risk trust take put torque tighten want give on for though and but so")
"""What "I wouldn't" must go on with to be about the value before it."""
TELLING = SPEAKING | {"wants", "wanted", "reckons", "recommends", "recommended", "suggests", "lists", "asks for", "asked for"}
LEADERS = word_set("the a an his her their my our your some")
OF_TURNING = frozenset(
    {"prevailing torque", "running torque", "drag torque", "preload drag", "bearing drag", "rotating torque", "turning torque", "breakaway torque"}
)
"""Torques that something takes to turn, whatever stands between them and the figure."""
PRONOUNS = word_set("he she they people everyone everybody somebody someone")
BROUGHT = word_set("gone went done did set taken took put pulled torqued tightened nipped")
MEANT = word_set("i i've we we've all both they they've")
PUT_ON = word_set("got had gave used did")
DID = ("so i did", "and i did")
"""What confirms a value only where nothing follows: "so I did them at forty" is another one."""
THEIRS = word_set("their his her")
THEIR_DOING = word_set("does do did uses used puts runs torques takes")
DIRECT = word_set("over above beyond past under below exceed exceeding")
"""Limits that concern only the figure right after them."""


@dataclass(slots=True)
class Scopes:
    """One flag a token for each way of not being done; ``buys`` and ``todos`` are the regions with the cue that opened each."""

    negated: bytearray
    reported: bytearray
    supposed: bytearray
    asked: bytearray
    planned: bytearray
    bought: bytearray
    chatter: bytearray
    confirmed: bool = False

    def unreal(self, at: int) -> bool:
        """Whether a value at this token was not applied: reported (and not confirmed), supposed, asked, planned or to be bought."""
        told = self.reported[at] and not self.confirmed
        return bool(told or self.supposed[at] or self.asked[at] or self.planned[at] or self.bought[at])


def blank(note: Marked) -> Scopes:
    """Scopes with no flag set."""
    n = len(note.tokens)
    return Scopes(bytearray(n), bytearray(n), bytearray(n), bytearray(n), bytearray(n), bytearray(n), bytearray(n))


def fill(flags: bytearray, start: int, end: int) -> None:
    """Set the flags of tokens ``start`` to ``end`` (exclusive)."""
    if end > start:
        flags[start:end] = b"\x01" * (end - start)


def read_scopes(note: Marked) -> Scopes:
    """Negation, reports, suppositions and chatter; questions, plans and purchases are added by their own modules."""
    scopes = blank(note)
    for hit in note.hits.get("chatter", ()):
        start, end = note.start_of(note.clause, hit.start), note.end_of(note.clause, hit.end - 1)
        if _begins_a_name(note, hit) and end - start <= HEADING:
            continue
        if not _is_time(note, hit) and not _is_measure_of(note, hit) and not _speaks_of_work(note, start, end):
            fill(scopes.chatter, start, end)
    for hit in note.of("negations", scope="clause"):
        if note.starting("todos", hit.start):
            continue
        fill(scopes.negated, hit.end, note.end_of(note.piece, hit.end - 1))
    _mark_said_behind(note, scopes)
    _mark_suppositions(note, scopes)
    _mark_reports(note, scopes)
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
        fill(scopes.reported, at, _end_of_report(note, hit.end))
    for at in range(1, len(note.tokens) - 1):
        if note.norms[at] in THEIR_DOING and note.norms[at - 1] not in LEADERS and any(w in THEIRS for w in note.norms[max(0, at - 3) : at - 1]):
            fill(scopes.reported, at, _end_of_report(note, at + 1))


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


def _mark_reports(note: Marked, scopes: Scopes) -> None:
    verbs = [hit for role in ("saying", "doing") for hit in note.of("reported", role=role)]
    for hit in note.hits.get("reported", ()):
        role = hit.row["role"]
        if role in ("phrase", "thing") and _begins_a_name(note, hit):
            continue
        if role == "phrase" and hit.row.words[-1:] == ("heard",) and note.word(hit.end + 1) in ("click", "clicks", "clicked", "crack", "creak"):
            continue  # "and I heard it click"
        if hit.row.phrase == "in the book" and note.word(hit.start - 1) in ("nothing", "isn't", "not", "wasn't"):
            continue  # "gave them 85 Nm, just a guess, nothing in the book"
        if hit.row.phrase == "written down" and {"click", "clicked", "clicks"} & set(note.norms[max(0, hit.start - 4) : hit.start]):
            continue  # "click heard, click written down"
        if role == "phrase":
            _mark_phrase(note, scopes, hit)
        elif role == "paper":
            _mark_paper(note, scopes, hit)
        elif role == "past":
            _mark_past(note, scopes, hit)
        elif role == "source" and note.word(hit.end) == ":":
            fill(scopes.reported, hit.start, note.end_of(note.sentence, hit.start))
        elif role == "source" and note.kind(hit.end) == "figure" and hit.start == note.start_of(note.piece, hit.start):
            fill(scopes.reported, hit.start, hit.end + 2)
        elif role == "source" and note.word(hit.end) in ("is", "was", "were") and _stands_alone(note, hit):
            fill(scopes.reported, hit.start, _end_of_report(note, hit.end))
        elif role in ("source", "thing", "person") and _stands_alone(note, hit) and not _is_stuff(note, hit):
            verb = _verb_of(note, hit, verbs)
            if verb is not None:
                fill(scopes.reported, _value_of_source(note, hit, verb), _end_of_report(note, verb.end))


def _begins_a_name(note: Marked, hit: Hit) -> bool:
    """ "limit switch bracket", "upper limit switch": words that a part's name goes on from."""
    return hit.end - hit.start <= 2 and any(noun.row["strength"] == "strong" for noun in note.starting("part_nouns", hit.end))


def _stands_alone(note: Marked, hit: Hit) -> bool:
    """Whether a source is no part of a longer name: "the plate says", not "the pump plate"."""
    at = hit.start - 1
    if (
        at < 0
        or hit.row.phrase in PRONOUNS
        or note.kinds[at] != "word"
        or note.norms[at] in note.lexicon.common
        or bool(note.starting("descriptions", at))
    ):
        return True
    if hit.row.phrase in ("nameplate", "name plate", "rating plate"):
        return True
    plain = not any(note.starting(table, at) for table in ("part_nouns", "part_modifiers", "fasteners"))
    return plain and hit.row.phrase in PAPERS and note.word(hit.end) in ("says", "said", "gives", "shows", "states", "quotes")


def _value_of_source(note: Marked, hit: Hit, verb: Hit) -> int:
    """Where a report begins: with the value right before its source in "thirteen newton metres the book wants on the lid", else with the source."""
    led = note.word(hit.start - 1) == "the"
    at = hit.start - led
    valued = note.kind(at - 1) == "unit" and note.kind(at - 2) == "figure" and (led or hit.row.words[0] == "the")
    opens = at >= 2 and (at - 2 == note.start_of(note.sentence, at - 2))
    speaks = verb.start == hit.end and verb.row.phrase in ("wants", "says", "gives", "asks for", "has", "reckons", "quotes")
    return at - 2 if valued and opens and speaks and note.kind(verb.end) != "figure" else hit.start


def _is_stuff(note: Marked, hit: Hit) -> bool:
    """ "That's thin plate so the bolts got twenty": what something is made of, and nothing with a value on it."""
    described = bool(note.starting("descriptions", hit.start - 1)) or note.word(hit.start - 1) in ("thin", "thick", "mild", "steel", "alloy")
    return hit.row.phrase == "plate" and described and note.word(hit.start - 2) in ("'s", "is", "only", "just", "but", "was")


def _verb_of(note: Marked, source: Hit, verbs: list[Hit]) -> Hit | None:
    """The verb of saying or doing that belongs to a source."""
    person = source.row["role"] == "person"
    pronoun = source.row.phrase in PRONOUNS
    reach = 1 if pronoun else FAR
    for verb in verbs:
        if not 0 <= verb.start - source.end <= reach or note.sentence[verb.start] != note.sentence[source.start]:
            continue
        if any(note.norms[i] in ("i", "i've", "we", "but", "so", ",", "and") for i in range(source.end, verb.start) if i > source.end):
            continue
        if source.row.phrase == "they" and note.norms[source.end : verb.start] in (["'re"], ["are"], ["were"], ["'ve", "been"]):
            continue  # "four bolts and they're tightened to thirty"
        doing = verb.row["role"] == "doing"
        if person and verb.row.phrase in ("has", "had", "'s got", "has got") and not doing:
            continue
        if (doing and not person) or (source.row["role"] == "thing" and verb.row.phrase not in SPEAKING):
            continue
        if source.row.phrase == "they" and verb.row.phrase in (
            "had",
            "has",
            "put",
            "went to",
            "goes to",
            "want",
            "need",
            "use",
            "have it at",
            "read",
        ):
            continue
        return verb
    return None


def _end_of_report(note: Marked, at: int) -> int:
    """A report ends where its speaker's own clause begins; "the book says it's forty" goes on."""
    last = len(note.tokens)
    if at >= last:
        return last
    if note.norms[at] == "so" and note.clause[at] != note.clause[at - 1]:
        return at  # "fourteen he says, so fourteen newton metres"
    end = note.end_of(note.clause, at)
    while end < last and note.sentence[end] == note.sentence[at] and note.norms[end] in ("it", "they", "he", "she", "that", "there"):
        if end - at > 3 or note.norms[end - 1] == "but":
            break
        end = note.end_of(note.clause, end)
    for here in range(at, end):
        if note.norms[here] in (";", "instead") or (note.norms[here] == "," and note.word(here + 1) in OWN_DOING):
            return here
        if note.norms[here] == "and" and note.word(here + 1) in ("i", "we") and (note.word(here + 2) == "'ve" or note.word(here + 2) in OWN_DOING):
            return here
    return end


def _mark_paper(note: Marked, scopes: Scopes, hit: Hit) -> None:
    """ "Card for the steady: 200 in-lb. Gave it 150": what a paper that opens the clause has for it, up to its first torque."""
    if hit.start - note.start_of(note.clause, hit.start) > 3 or note.word(hit.end) not in ("for", "on", "of", ":", "figure", "value"):
        return
    for at in range(hit.end, note.end_of(note.sentence, hit.start)):
        unit = note.tokens[at].unit
        if any(h.row["action"] == "tighten" and h.row["tense"] == "past" for h in note.starting("actions", at)) or note.norms[at] in OWN_DOING:
            return
        if note.norms[at] == "but":
            return
        if unit is not None and unit.family == "torque":
            fill(scopes.reported, hit.start, at + 1)
            return


def _is_what_it_had(note: Marked, hit: Hit) -> bool:
    """ "42 Nm is what the pivot bolt has just had"."""
    behind = note.norms[hit.end : min(note.end_of(note.sentence, hit.start), hit.end + HAVING)]
    return hit.row.words[1:2] == ("what",) and ("had" in behind or "got" in behind)


def _mark_past(note: Marked, scopes: Scopes, hit: Hit) -> None:
    """ "70 Nm last year, 75 Nm today": the value right before a time gone by."""
    if _is_what_it_had(note, hit):
        return
    if note.kind(hit.start - 1) not in ("unit", "figure") or note.kind(hit.start - 1 - (note.kind(hit.start - 1) == "unit")) != "figure":
        return
    fill(scopes.reported, hit.start - 2, hit.end)


def _mark_phrase(note: Marked, scopes: Scopes, hit: Hit) -> None:
    start, end = note.start_of(note.clause, hit.start), note.end_of(note.clause, hit.end - 1)
    figures = [i for i in range(start, hit.start) if note.kinds[i] == "figure"]
    if hit.row.phrase in OF_TURNING:
        fill(scopes.reported, hit.start, note.end_of(note.clause, hit.end - 1))
        return
    if hit.row.phrase == "what it says":
        fill(scopes.reported, note.start_of(note.sentence, hit.start), hit.start)
        return
    if hit.row.words[:2] == ("it", "says") and note.word(hit.start - 1) in ("like", "as", "what"):
        return
    past = any(h.row["role"] == "past" for h in note.starting("reported", hit.start))
    if past and note.kind(hit.start - 1) in ("unit", "figure"):
        return
    if "figure" in note.kinds[hit.end : min(hit.end + 4, end)]:
        start = hit.start
        own = next((i for i in range(hit.end, end) if note.norms[i] == "," and note.word(i + 1) in OWN_DOING), end)
        end = min(end, own)
    elif figures:
        start = figures[0] if hit.row.phrase in SOFT_SOURCES else figures[-1]
    elif hit.start - start <= 1:
        end = _end_of_report(note, hit.end)
    if hit.row.phrase in SOFT_SOURCES and any(start <= h.start < end and h.row["tense"] == "past" for h in note.of("actions", action="tighten")):
        return
    fill(scopes.reported, start, end)
