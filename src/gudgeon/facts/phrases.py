"""What the words around a phrase say of it: whether something that no list holds is a part."""

from __future__ import annotations

from gudgeon.facts.marked import Marked
from gudgeon.facts.wordset import word_set

DETERMINERS = word_set("the a an this that its my our both each old new another these those his her your other same every all")
PARTICLES = word_set("up off out down in on back")
AFTER_FAULT = word_set("and at so but on in through along near by again")
LINKS = word_set("'s is are was were has had looks look feels feel seems got")


def shape_rule(note: Marked, start: int, end: int) -> str | None:
    """The rule by which tokens ``start`` to ``end`` are a part, or None when nothing around them says so."""
    begins = _before(note, start)
    at_start = begins == 0 or note.piece[begins - 1] != note.piece[begins] or note.kind(begins - 1) == "punct"
    article = any(w in DETERMINERS for w in note.norms[begins:start]) or note.word(begins - 1) in DETERMINERS
    counted = note.kind(begins - 1) == "figure"
    if note.word(end) in LINKS and (article or at_start or counted) and _fault_after(note, end):
        return "has-a-fault"
    if counted and any(note.kind(h.end) != "word" or note.norms[h.end] in AFTER_FAULT for h in note.starting("conditions", end)):
        return "has-a-fault"
    if at_start and any(note.kind(h.end) in ("punct", "") for h in note.starting("conditions", end)):
        return "has-a-fault"
    if (at_start or (article and not _is_object(note, begins))) and _count_and_fastener(note, end):
        return "before-count"
    if at_start and note.word(end) == ":" and _sentence_has_work(note, start):
        return "heading"
    if at_start and note.starting("quantities", end) and _figure_near(note, end):
        return "measured"
    if at_start and _is_torque(note, end):
        return "measured"
    if article and _action_before(note, begins, end):
        return "after-action"
    if article and note.word(begins - 1) in ("on", "onto", "for", "of", "to") and _work_ends(note, begins - 1):
        return "on-the"
    return None


def _is_object(note: Marked, at: int) -> bool:
    """ "while i get my breath": a verb before the phrase has it as its object."""
    return note.lexicon.common.get(note.word(at - 1)) == "verb" or note.word(at - 1) in ("get", "got", "gets", "have", "had", "having")


def _before(note: Marked, start: int) -> int:
    """The first of the articles, places, states and descriptions in front of a phrase."""
    while start > 0 and (note.norms[start - 1] in DETERMINERS or any(note.starting(t, start - 1) for t in ("places", "states", "descriptions"))):
        start -= 1
    return start


def _fault_after(note: Marked, at: int) -> bool:
    return any(note.starting("conditions", i) for i in range(at + 1, min(at + 4, len(note.tokens))))


def _count_and_fastener(note: Marked, at: int) -> bool:
    """Whether a count (and sizes) and a fastener word follow: "carrier eight m six bolts"."""
    if note.kind(at) not in ("figure", "thread"):
        return False
    for i in range(at + 1, min(at + 5, len(note.tokens))):
        if note.starting("fasteners", i):
            return True
        if note.kinds[i] not in ("figure", "thread", "unit", "grade") and not note.starting("descriptions", i):
            return False
    return False


def _is_torque(note: Marked, at: int) -> bool:
    """Whether a figure with a unit of torque stands here: "caps 75 Nm, base 110 Nm"."""
    unit = note.tokens[at + 1].unit if note.kind(at) == "figure" and at + 1 < len(note.tokens) else None
    return unit is not None and unit.family == "torque"


def _work_ends(note: Marked, at: int) -> bool:
    """Whether a torque, fastener or compound stands right before "on the …"."""
    if note.kind(at - 1) == "unit":
        unit = note.tokens[at - 1].unit
        return unit is not None and unit.family == "torque"
    return any(hit.end == at for table in ("fasteners", "compounds") for hit in note.hits.get(table, ()))


def _sentence_has_work(note: Marked, at: int) -> bool:
    number = note.sentence[at]
    if any(note.sentence[hit.start] == number for table in ("fasteners", "compounds") for hit in note.hits.get(table, ())):
        return True
    return any(t.unit is not None and t.unit.family == "torque" and note.sentence[i] == number for i, t in enumerate(note.tokens))


def _figure_near(note: Marked, at: int) -> bool:
    return any(kind == "figure" for kind in note.kinds[at : at + 8])


def _action_before(note: Marked, at: int, end: int) -> bool:
    """Whether a verb of work stands right before a phrase: "replaced the snubber", "took the tail off"."""
    for hit in note.hits.get("actions", ()):
        if hit.row["tense"] == "present" or note.word(hit.start) in ("set", "check", "checked", "come", "came") or not 0 <= at - hit.end <= 1:
            continue
        particles = {words.split()[0] for words in hit.row["particles"].split("|") if words}
        if at > hit.end and note.norms[hit.end] in PARTICLES:
            return not particles or note.norms[hit.end] in particles
        if at == hit.end and (not particles or note.word(end) in particles):
            return True
    return False
