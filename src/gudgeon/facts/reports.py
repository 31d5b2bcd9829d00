"""What somebody else or a paper says, has or wants: stretches of a note whose values were not put on by the speaker."""

from __future__ import annotations

from gudgeon.facts.flags import Scopes, fill
from gudgeon.facts.lexicon import Hit
from gudgeon.facts.marked import Marked
from gudgeon.facts.wordset import word_set

FAR = 6
"""Tokens that may stand between a source and its verb ("the plate on the pump says")."""
HAVING = 8
"""Tokens behind "is what the" in which it is told that it was put on: "8 Nm is what the gate latch got"."""
SPEAKING = frozenset({"says", "said", "saying", "quotes", "states", "prints", "printed", "shows", "gives", "gave", "calls for", "specifies"})
"""What a thing with writing on it does, and a part of the machine does not."""
SOFT_SOURCES = frozenset({"according to", "per the book", "in the book", "in the manual"})
PAPERS = word_set("card chart tag label sticker page drawing diagram sheet placard note notes letter memo leaflet email")
OWN_DOING = word_set("measured done did gave given went set taken took")
"""Words with which the speaker's own doing begins after what was quoted: "the tag says 70, done to 65"."""
OF_TURNING = frozenset(
    {"prevailing torque", "running torque", "drag torque", "preload drag", "bearing drag", "rotating torque", "turning torque", "breakaway torque"}
)
"""Torques that something takes to turn, whatever stands between them and the figure."""
PRONOUNS = word_set("he she they people everyone everybody somebody someone")


def mark_reports(note: Marked, scopes: Scopes) -> None:
    """Flag what is quoted: by its source and its verb, by a phrase, by a paper, or as a thing of times gone by."""
    verbs = [hit for role in ("saying", "doing") for hit in note.of("reported", role=role)]
    for hit in note.hits.get("reported", ()):
        role = hit.row["role"]
        if role in ("phrase", "thing") and begins_a_name(note, hit):
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
            fill(scopes.reported, hit.start, end_of_report(note, hit.end))
        elif role in ("source", "thing", "person") and _stands_alone(note, hit) and not _is_stuff(note, hit):
            verb = _verb_of(note, hit, verbs)
            if verb is not None:
                fill(scopes.reported, _value_of_source(note, hit, verb), end_of_report(note, verb.end))


def begins_a_name(note: Marked, hit: Hit) -> bool:
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


def end_of_report(note: Marked, at: int) -> int:
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
        end = end_of_report(note, hit.end)
    if hit.row.phrase in SOFT_SOURCES and any(start <= h.start < end and h.row["tense"] == "past" for h in note.of("actions", action="tighten")):
        return
    fill(scopes.reported, start, end)
