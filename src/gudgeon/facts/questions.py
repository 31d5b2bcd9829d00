"""Questions: stretches of a note that ask something about the work, in which nothing counts as done."""

from __future__ import annotations

from gudgeon.domain import Question
from gudgeon.facts.flags import fill
from gudgeon.facts.lexicon import Hit
from gudgeon.facts.marked import Marked
from gudgeon.facts.wordset import word_set
from gudgeon.facts.work import Work

RELATIVE_NEXT = word_set("i we you he she they it a an")
BACK = 14
CONTENT = ("noun", "fastener", "tool", "compound")
ASKING = frozenset(["do", "does", "should"])
ASKED = frozenset(["what", "which", "how", "where"])
BE_OR_DO = frozenset(["is", "are", "was", "were", "do", "does", "did", "should", "have", "has"])
SUBJECT = frozenset(["it", "that", "this", "they", "these", "those", "we", "i", "you"])
LEADS_IN = frozenset(["what", "which", "how", "where", "that", "who", "why", "when", "than", "as"])
ASKED_FOR = 5
"""How far behind "which" the verb of a question may stand: "which length of insert do I need"."""


def mark_questions(work: Work) -> list[tuple[int, int, str]]:
    """Stretches that ask something about the work, flagged in the scopes; each with its rule."""
    note = work.note
    regions: list[tuple[int, int, str]] = []
    for start, end in _sentences(note):
        region = _with_sign(note, start, end) or _without_sign(note, start, end) or _turned_round(note, start, end)
        for inner in note.of("questions", role="inner"):
            if start <= inner.start < end and region is None:
                region = _around(note, inner, start, end)
        region = region or _turned_late(note, start, end)
        if region is not None and region[1] > region[0]:
            fill(work.scopes.asked, region[0], region[1])
            whole = region[2].startswith("questions:turned") and _asks_about_work(work, start, end)
            if whole or _asks_about_work(work, *region[:2]):
                regions.append(region)
    return regions


def _sentences(note: Marked) -> list[tuple[int, int]]:
    out, at = [], 0
    while at < len(note.tokens):
        end = note.end_of(note.sentence, at)
        out.append((at, end))
        at = end
    return out


def _opener_at(note: Marked, at: int) -> Hit | None:
    return next((h for h in note.starting("questions", at) if h.row["role"] == "opener"), None)


def _clause_starts(note: Marked, start: int, end: int) -> list[int]:
    """Where a question may begin: the sentence's start past hesitations, and each clause or piece."""
    starts = []
    for at in range(start, end):
        if at == start or note.piece[at] != note.piece[at - 1]:
            here = at
            while here < end and (note.starting("fillers", here) or note.norms[here] in ("but", "and", "so", "hey", "for")):
                here += 1
            starts.append(here)
    return starts


def _with_sign(note: Marked, start: int, end: int) -> tuple[int, int, str] | None:
    if "?" not in note.norms[end - 1]:
        return None
    for at in _clause_starts(note, start, end):
        if _opener_at(note, at) is not None:
            return at, end, "questions:sign"
    first = note.start_of(note.clause, end - 1)
    return first, end, "questions:sign"


def _without_sign(note: Marked, start: int, end: int) -> tuple[int, int, str] | None:
    for index, at in enumerate(_clause_starts(note, start, end)):
        hit = _opener_at(note, at) if at < end else None
        if hit is None or (
            index and note.word(at - 1) not in ("but", "so", "anyway", "and", "or") and note.clause[at] == note.clause[max(at - 1, 0)]
        ):
            continue
        single = hit.end - hit.start == 1
        if single and (index or _is_relative(note, hit)):
            continue
        if _makes_statement(note, hit) or _is_answered(note, hit, end):
            continue
        return at, _end_of_question(note, at, end), f"questions:opener (questions.csv row {hit.row.line})"
    return None


def _turned_round(note: Marked, start: int, end: int) -> tuple[int, int, str] | None:
    """ "which insert do I need", "what size drill does it take": verb before subject asks, wherever in the sentence it stands."""
    for hit in (*note.of("questions", role="opener"), *note.of("questions", role="inner")):
        asked = note.norms[hit.start] in ASKED and not _is_relative(note, hit)
        if not start <= hit.start < end or not asked:
            continue
        for at in range(hit.end + 1, min(hit.end + ASKED_FOR, end)):
            verb = _opener_at(note, at)
            if verb is not None and verb.end - verb.start > 1 and note.norms[at] in ASKING and verb.row.phrase != "do the":
                return hit.start, _end_of_question(note, at, end), f"questions:turned (questions.csv row {hit.row.line})"
    return None


def _is_subject(note: Marked, at: int) -> bool:
    """Whether a word before "is that" may be its subject or leads in a clause: "what is that", "all it is is that"."""
    return note.word(at) in LEADS_IN or note.lexicon.common.get(note.word(at)) in ("pronoun", "conjunction", "be", "adverb")


def _turned_late(note: Marked, start: int, end: int) -> tuple[int, int, str] | None:
    """ "… line up at the bottom now or was it at the top", "… on the beam is that for the caps or the feet": verb before subject in the
    middle of a sentence asks, where two things are left open."""
    for hit in note.of("questions", role="opener"):
        if (
            not start < hit.start < end
            or hit.end - hit.start < 2
            or note.norms[hit.start] not in BE_OR_DO
            or note.norms[hit.start + 1] not in SUBJECT
        ):
            continue
        before = note.word(hit.start - 1)
        if before == "or" or ("or" in note.norms[hit.end : end] and (not _is_subject(note, hit.start - 1))):
            return hit.start, _end_of_question(note, hit.start, end), f"questions:turned (questions.csv row {hit.row.line})"
    return None


def _is_relative(note: Marked, hit: Hit) -> bool:
    """ "what i did", "which is fine", "when it came off": no question."""
    after, word = note.word(hit.end), hit.row.phrase
    if word in ("when", "whether", "where") or (word == "which" and after in ("is", "was", "means")):
        return True
    return word not in ("why", "how", "who") and after in RELATIVE_NEXT


def _makes_statement(note: Marked, hit: Hit) -> bool:
    """ "is all done" and "has the"…: an opener whose subject is missing asks nothing."""
    if note.word(hit.end) in (".", "", ","):
        return True
    if hit.row.phrase in ("did they", "did it") and note.word(hit.end) == "over":
        return True
    return hit.row.phrase in ("did the", "did it", "do the") and _tells(note, hit)


def _is_answered(note: Marked, hit: Hit, end: int) -> bool:
    """ "What about the rear seat, same again as the front one, done": asked and answered in one breath."""
    return hit.row.words[-1] == "about" and not ANSWERS.isdisjoint(note.norms[hit.end : end]) and "or" not in note.norms[hit.end : end]


def _tells(note: Marked, hit: Hit) -> bool:
    """ "did the gearbox bolts to forty", "did it up": a report whose "I" was left out, as no plain verb follows what is spoken of."""
    end = note.end_of(note.sentence, hit.start)
    if "?" in note.norms[end - 1] or "or" in note.norms[hit.end : end] or hit.row.phrase == "do the":
        return False
    if hit.row.phrase == "did it":
        return note.word(hit.end) in ("over", "up", "back", "to", "with", "again", "all", "by", "in", "at")
    end = next((i for i in range(hit.end, end) if note.norms[i] in ("and", "but", "so", ",")), end)
    return not any(note.norms[i] in PLAIN_VERBS or (_is_plain(note, i) and note.word(i - 1) != "to") for i in range(hit.end + 1, end))


ANSWERS = word_set("same likewise ditto done")
PLAIN_VERBS = word_set(
    "get go want need take come have use say look feel leak run work seem move hold turn break do start stop ever still be give make keep stay "
    "sit line last change know"
)


def _is_plain(note: Marked, at: int) -> bool:
    return any(h.row["tense"] == "base" for h in note.starting("actions", at)) and not note.starting("part_nouns", at)


def _end_of_question(note: Marked, at: int, end: int) -> int:
    for here in range(at + 2, end):
        if any(h.row["strength"] in ("strong", "weak") and "figure" in note.kinds[h.end : h.end + 3] for h in note.starting("hedges", here)):
            return here
        if note.norms[here] in ("but", "so", "anyway") and note.clause[here] != note.clause[here - 1]:
            return here
        if note.norms[here] in ("yes", "yeah", "yep", "aye") or (_counts_a_round(note, here) and "or" not in note.norms[at:here]):
            return here
    return end


def _counts_a_round(note: Marked, at: int) -> bool:
    """ "Have you got it good, first round eight newton metres": the call of a round and its value, behind what was asked."""
    return any("figure" in note.kinds[h.end : h.end + 2] and h.end - h.start > 1 for h in note.starting("stages", at))


def _around(note: Marked, inner: Hit, start: int, end: int) -> tuple[int, int, str]:
    """A question known by a phrase in it: from where it opens to its clause's end, or on when the clause opens with the phrase."""
    first = note.start_of(note.clause, inner.start)
    for at in range(inner.start, max(start, inner.start - BACK) - 1, -1):
        opener = _opener_at(note, at)
        if opener is not None and opener.start < inner.start and opener.end - opener.start > 1:
            first = at
            break
    last = note.end_of(note.clause, inner.end - 1)
    if inner.start - note.start_of(note.sentence, inner.start) <= 3 or last - inner.end < 3:
        last = _end_of_question(note, inner.end - 1, end)
    return first, last, f"questions:phrase (questions.csv row {inner.row.line})"


def _asks_about_work(work: Work, start: int, end: int) -> bool:
    note = work.note
    if "?" in note.norms[end - 1] and work.names and work.names[0].start < start and not any(work.scopes.chatter):
        return True
    if any(work.scopes.chatter[start:end]):
        return False
    if not TRADE_WORDS.isdisjoint(note.norms[start:end]):
        return True
    if any(start <= t.start < end and t.kind in CONTENT for t in work.things) or any(start <= n.start < end for n in work.names):
        return True
    if any(note.kinds[i] in ("unit", "thread", "star") for i in range(start, end)):
        return True
    if any(h.start >= start and h.end <= end and h.row.phrase in ABOUT_VALUES for h in note.hits.get("questions", ())):
        return True
    if (
        any(start <= h.start < end and h.row["tense"] == "past" and not h.row["particles"] for h in note.hits.get("actions", ()))
        and "?" in note.norms[end - 1]
    ):
        return True
    figures = [i for i in range(start, end) if note.kinds[i] == "figure"]
    return (len(figures) >= 2 and "or" in note.norms[start:end]) or (bool(figures) and any(v.start >= start and v.end <= end for v in work.verbs))


TRADE_WORDS = frozenset(["torque", "torques", "torqued"])
"""Words that belong to the work whatever they are asked of."""
ABOUT_VALUES = frozenset(
    {
        "what do they go to",
        "what does it go to",
        "how tight",
        "what torque",
        "what's the torque",
        "what size",
        "what thread",
        "what gap",
        "what grade",
        "which way round",
        "which way up",
    }
)


def make_questions(work: Work, regions: list[tuple[int, int, str]]) -> list[Question]:
    """One question for neighbouring stretches."""
    merged: list[tuple[int, int, str]] = []
    for region in sorted(regions):
        if merged and region[0] - merged[-1][1] <= 1:
            merged[-1] = (merged[-1][0], max(region[1], merged[-1][1]), merged[-1][2])
        else:
            merged.append(region)
    return [Question(text=work.note.quote(a, b), span=work.note.span(a, b), rule=rule) for a, b, rule in merged]
