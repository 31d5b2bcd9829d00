"""How parts and fasteners were found."""

from __future__ import annotations

from gudgeon.domain import Condition
from gudgeon.facts.lexicon import Hit
from gudgeon.facts.wordset import word_set
from gudgeon.facts.work import Work

PRONOUNS = word_set("it they that this those these one both all them everything 's which he")
FLUIDS = word_set("fuel oil water coolant fluid grease petrol diesel")
LINKS = word_set(
    "is are was were 's 're been be looks look looked feels feel felt seems seem has had got found came all still quite very a bit too "
    "really but only just completely totally badly lightly slightly otherwise and of"
)
AFTER_GOOD = word_set("and but now so enough as again on for with apart no then i he we too to number the it all just")
PLAIN_VERBS = word_set("weep leak")
AFTER_SPLIT = word_set("and so but right along down across at on again from where when i we")
COUNTED = word_set("pair side one ones both lot rest set")
FREEING = word_set("crack cracked break broke came let shake")
BEFORE_NOUN = word_set("leak drips rust shot stuck parted slack rock")
ARTICLES = word_set("the a an its both each it them all")
BENT_OVER = word_set("over up back down round flat")
"""How a tab is bent on purpose: "bent the tab over"."""
PLAIN_GOOD = frozenset({"good", "fine", "alright", "all right", "ok", "okay", "true", "sound", "perfect"})
NOT_GOOD_BEFORE = word_set("a the no any as so too very for some what that's")


def find_conditions(work: Work) -> list[Condition]:
    """All conditions found, each once for its subject."""
    facts: list[Condition] = []
    covered = {
        i for v in work.verbs if v.particle is not None or v.action in ("remove", "loosen") for i in range(v.start, (v.particle or v.end - 1) + 1)
    }
    for hit in work.note.hits.get("conditions", ()):
        if (hit.start in covered and hit.row["condition"] in ("cracked", "broken", "stripped", "loose")) or _refused(work, hit):
            continue
        if not _has_subject(work, hit):
            continue
        part = _subject(work, hit)
        fact = Condition(
            condition=hit.row["condition"],
            span=work.note.span(hit.start, hit.end),
            rule=f"conditions:word (conditions.csv row {hit.row.line})",
            part=part,
        )
        if not any(f.condition == fact.condition and (f.part == part or part is None or f.part is None) for f in facts):
            facts.append(fact)
    return facts


def _refused(work: Work, hit: Hit) -> bool:
    note, scopes, at = work.note, work.scopes, hit.start
    if scopes.asked[at] or scopes.bought[at] or scopes.supposed[at] or scopes.chatter[at]:
        return True
    if scopes.planned[at] and not _is_told(work, at):
        return True
    if scopes.negated[at] and hit.row.phrase not in ("not there", "won't budge", "wouldn't budge", "won't shift"):
        return True
    for no in note.of("negations", scope="word"):
        if 0 <= at - no.end <= 2 and note.sentence[no.start] == note.sentence[at] and no.end <= at:
            return True
    return _is_other_word(work, hit)


def _is_told(work: Work, at: int) -> bool:
    """ "don't let me forget the belt's got two teeth missing": what is so, inside what is to be seen to."""
    note = work.note
    first = note.start_of(note.piece, at)
    return any(note.norms[i] == "got" and note.word(i - 1) in ("'s", "has", "'ve", "have") for i in range(max(first, at - 4), at))


def _is_other_word(work: Work, hit: Hit) -> bool:
    """Words that look like a condition and are none here: "good grip", "a good day", "leak off pipe", "cracked it loose"."""
    note, phrase = work.note, hit.row.phrase
    before, after = note.word(hit.start - 1), note.word(hit.end)
    if before == "any":
        return True
    if phrase == "split" and ((note.kind(hit.end) == "word" and note.norms[hit.end] not in AFTER_SPLIT) or not _noun_ends(work, hit.start)):
        return True
    if phrase in PLAIN_GOOD:
        return not _says_good(work, hit)
    if phrase in ("loose", "slack") and (before in FREEING or any(v.action == "loosen" and v.particle == hit.start for v in work.verbs)):
        return True
    if phrase in PLAIN_VERBS and note.norms[max(0, hit.start - 2) : hit.start] == ["let", "it"]:
        return True
    if phrase == "stripped" and after in ("and", ",") and any(v.start == hit.end + 1 and v.tense == "past" for v in work.verbs):
        return True
    if phrase == "bent" and "tab" in note.norms[max(0, hit.start - 2) : hit.start]:
        return True
    if phrase == "bent" and after in ("over", "up", "back", "round") and any(t.kind == "fastener" and t.end == hit.start for t in work.things):
        return True
    if phrase == "bent" and after == "over" and before in ("is", "are", "were", "was", "'s", "all", "both"):
        return True
    if phrase == "bent" and after in ARTICLES and any(w in BENT_OVER for w in note.norms[hit.end + 2 : hit.end + 5]):
        return True
    if phrase == "slack" and (before not in LINKS or before == "of"):  # "ten millimetres of slack" is a size
        return True
    if phrase == "snapped" and after in ("in", "into", "on", "home", "back", "shut", "together"):
        return True
    if phrase in BEFORE_NOUN and after in ("off", "in", "on", "to", "proof", "test"):
        return True
    return phrase in ("stuck", "blocked", "parted") and before in ("i", "we", "have", "'ve") and after in ("the", "a", "it", "them", "this")


def _says_good(work: Work, hit: Hit) -> bool:
    """Whether "good", "fine" is said of something, at the end of what is said."""
    note = work.note
    before, after = note.word(hit.start - 1), note.word(hit.end)
    if before in NOT_GOOD_BEFORE or (note.kind(hit.end) not in ("punct", "") and after not in AFTER_GOOD):
        return False
    named = _noun_ends(work, hit.start)
    if hit.row.phrase in ("ok", "okay", "fine"):
        return named or before in LINKS or before in COUNTED
    if any(v.end == hit.start and v.action in ("inspect", "measure") for v in work.verbs):
        return True
    return named or before in LINKS or before in (",", ":", "") or bool(note.starting("part_nouns", hit.start - 1))


def _noun_ends(work: Work, at: int) -> bool:
    return any(t.end == at for t in work.things) or any(n.end == at for n in work.names)


def _clause_things(work: Work, at: int) -> bool:
    number = work.note.clause[at]
    return any(work.note.clause[t.start] == number and t.kind in ("noun", "fastener", "tool") for t in work.things)


def _has_subject(work: Work, hit: Hit) -> bool:
    """Whether something that can be in this condition is spoken of."""
    note, at = work.note, hit.start
    if _clause_things(work, at) or any(note.clause[n.start] == note.clause[at] for n in work.names):
        return True
    if hit.row["strength"] == "strong" and not any(work.scopes.chatter):
        return True
    near = note.norms[max(0, at - 4) : at + 3]
    if any(word in FLUIDS for word in near):
        return True
    about_work = any(t.kind in ("noun", "fastener") for t in work.things)
    if about_work and "number" in note.norms[max(0, at - 5) : at]:
        return True
    if about_work and (any(word in PRONOUNS for word in near) or any(kind == "figure" for kind in note.kinds[max(0, at - 3) : at])):
        return True
    return about_work and note.start_of(note.piece, at) >= at - 2


def _subject(work: Work, hit: Hit) -> str | None:
    """The part spoken of: the nearest name before in the clause, else the next one in it."""
    note = work.note
    names = [n for n in work.names if note.sentence[n.start] == note.sentence[hit.start]]
    before = [n for n in names if n.end <= hit.start]
    after = [n for n in names if n.start >= hit.end and n.first - hit.end <= 4]
    mine = [n for n in before if note.piece[n.start] == note.piece[hit.start]]
    if after and not mine and note.start_of(note.piece, hit.start) >= hit.start - 2:
        return after[0].name
    if before:
        return before[-1].name
    if after:
        return after[0].name
    return work.names[-1].name if work.names and work.names[-1].end <= hit.start else None
