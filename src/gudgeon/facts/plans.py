"""Work left for later: stretches of a note in which nothing counts as done."""

from __future__ import annotations

from gudgeon.domain import Todo
from gudgeon.facts.flags import fill
from gudgeon.facts.lexicon import Hit
from gudgeon.facts.marked import Marked
from gudgeon.facts.told import verbs_between
from gudgeon.facts.wordset import word_set
from gudgeon.facts.work import Work

CONTRAST = frozenset(["but", "although", "anyway", "because"])
RESULT = word_set("only just i we i've we've")
"""What "so" goes on with where it tells what was done because of a need: "has to spin free so only four newton metres"."""
NEEDS_VERB = word_set(
    "need needs must wants want i'll we'll going gonna let's to got will 'll better due could should ought hope plan aim intend 's 've "
    "supposed have has"
)
FEW = 4
"""Words before "tomorrow" that only name what is to be done then."""
FIRST = 7
"""How far behind "I'll do" the word stands that makes it a beginning: "I'll do the left caliper first"."""
CONTENT = ("noun", "fastener", "tool", "compound")
NEXT = frozenset({"next time", "tomorrow", "tomorrow morning", "next week", "next weekend"})
GOING = word_set("goes go comes")
"""What a part does on a day to come: "on Thursday the belt guard goes back"."""
WEEKDAYS = word_set("monday tuesday wednesday thursday friday saturday sunday")
"""A weekday alone says when work is to be done only beside a plain verb: "splice it Thursday"."""


def mark_plans(work: Work) -> list[tuple[int, int, str]]:
    """Stretches about work left for later, flagged in the scopes; each with its rule."""
    note = work.note
    regions: list[tuple[int, int, str]] = []
    for hit in note.hits.get("todos", ()):
        if work.scopes.asked[hit.start] or work.scopes.bought[hit.start] or work.scopes.reported[hit.start] or work.scopes.supposed[hit.start]:
            continue
        scope = hit.row["scope"]
        region = _after_cue(work, hit) if scope == "after" else _whole_clause(work, hit) if scope == "sentence" else _by_time(work, hit)
        if region is not None:
            regions.append((*region, f"todos:{scope} (todos.csv row {hit.row.line})"))
    regions += _to_be_done(work)
    for start, end, _ in regions:
        fill(work.scopes.planned, start, end)
    return regions


def _to_be_done(work: Work) -> list[tuple[int, int, str]]:
    """ "nuts to be tightened once the shims are in"."""
    note, found = work.note, []
    for verb in work.verbs:
        at = verb.start
        end = note.end_of(note.sentence, at)
        later = next((i for i in range(at, end) if note.norms[i] == "after"), None)
        heads = at == note.start_of(note.sentence, at) and verb.tense == "base" and verb.action in ("tighten", "inspect", "adjust", "replace")
        if heads and later is not None and (note.kind(later + 1) == "figure" or note.word(later + 1) in ("first", "running", "the", "a")):
            found.append((at, end, "todos:to-be-done"))
        if (
            verb.tense == "past"
            and note.norms[max(0, at - 2) : at] == ["to", "be"]
            and note.word(at - 3) not in ("used", "seems", "appears", "meant", "had", "supposed")
        ) and not work.scopes.asked[at]:
            found.append((at - 2, note.end_of(note.sentence, at), "todos:to-be-done"))
    return found


def _after_cue(work: Work, hit: Hit) -> tuple[int, int] | None:
    note = work.note
    if note.kind(hit.end) in ("figure", "star") or note.word(hit.end) in ("about", "be", "have", "get", "say"):
        return None
    if hit.row.words[-1:] == ("to",) and note.word(hit.end) in ("own", "say", "admit", "confess"):
        return None  # "have to own up, those were twenty four"
    if hit.row.words[-2:] == ("got", "to") and note.word(hit.end) in ("the", "a", "an", "that", "this", "it", "them", "here"):
        return None
    if note.word(hit.start - 1) in ("didn't", "don't", "doesn't", "not", "no", "never", "won't"):
        return None
    if hit.row.words[-1:] in (("'ll",), ("i'll",), ("we'll",)) and (
        (note.word(hit.end) == "do" and "first" in note.norms[hit.end : hit.end + FIRST])
        or note.word(hit.end) in ("keep", "hang", "leave", "hold")
        or (note.word(hit.end) in ("start", "begin") and note.word(hit.end + 1) in ("on", "with", "at", "off"))
    ):
        return None  # "I'll do the stem first": that is begun now
    end = note.end_of(note.sentence, hit.end - 1)
    for here in range(hit.end, end):
        if note.norms[here] in CONTRAST and note.clause[here] != note.clause[here - 1]:
            end = here
            break
        if note.norms[here] == "so" and (note.word(here + 1) in RESULT or _tells_value(work, here + 1, end)):
            end = here
            break
    if hit.row.words[0] == "next" and any(hit.end <= at < end and q.family == "torque" for at, q in work.quantities.items()):
        return None
    last = hit.row.words[-1]
    if last in ("doing", "done") and hit.row.words[0] in ("needs", "wants"):
        return hit.start, end
    if hit.row.words[-2:-1] in (("leave",), ("leaving",)):
        later = any(w in ("till", "until", "later", "tomorrow") for w in note.norms[hit.end : end])
        return (hit.start, end) if later and _content(work, hit.start, end) else None
    if last in NEEDS_VERB or hit.row.words[0] in ("need", "needs", "must", "wants", "want", "'ll", "going", "gonna", "let", "due"):
        near = 4 if last in ("needs", "need", "wants", "want") else 8
        verbs = [h for h in note.hits.get("actions", ()) if hit.end <= h.start < min(end, hit.end + near) and _may_be_planned(note, h, hit)]
        if not verbs and "rest" not in note.norms[hit.end : hit.end + 4]:
            return None
    elif not _content(work, hit.start, end):
        return None
    return hit.start, end


def _tells_value(work: Work, start: int, end: int) -> bool:
    """ "We'll put up with it till friday so | gate ram two nuts forty newton metres": a joint and its value or its fasteners, with no
    verb between."""
    note = work.note
    value = next((at for at in sorted(work.quantities) if start < at < end and work.quantities[at].family == "torque"), end)
    fastened = value < end or any(start <= t.start < end for t in work.of_kind("fastener"))
    if not fastened or not any(start <= n.start < value for n in work.names):
        return False
    return not any(note.norms[i] in NEEDS_VERB for i in range(start, value)) and next(verbs_between(work, start, value), None) is None


def _may_be_planned(note: Marked, verb: Hit, cue: Hit) -> bool:
    tense = verb.row["tense"]
    if cue.row.words[-1] in ("needs", "need", "wants", "want"):
        return tense == "ing" or note.word(verb.start - 1) in ("be", "to", "needs") or tense == "past"
    return tense in ("base", "ing") or note.word(verb.start - 1) == "be"


def _content(work: Work, start: int, end: int) -> bool:
    note = work.note
    places = [t.start for t in work.things if t.kind in CONTENT] + [n.start for n in work.names]
    places += [h.start for table in ("actions", "stages") for h in note.hits.get(table, ())]
    return any(start <= at < end and not work.scopes.chatter[at] for at in places)


def _whole_clause(work: Work, hit: Hit) -> tuple[int, int] | None:
    note = work.note
    start, end = note.start_of(note.piece, hit.start), note.end_of(note.clause, hit.end - 1)
    if any(q.family == "torque" for at, q in work.quantities.items() if start <= at < hit.start):
        start = hit.start
    wide = note.start_of(note.sentence, hit.start), note.end_of(note.sentence, hit.end - 1)
    if not _content(work, *wide) and not any(n.end <= hit.start for n in work.names):
        return None
    return start, end


def _by_time(work: Work, hit: Hit) -> tuple[int, int] | None:
    """ "Next Saturday: press out the bush", "second pass tomorrow": a time to come, and no work done in the same clause."""
    note = work.note
    opens = hit.start == note.start_of(note.sentence, hit.start)
    if hit.row.phrase == "tonight" and {"first", "now"} & set(note.norms[hit.end : hit.end + FIRST]):
        return None  # "gravel setup tonight, rear subframe first, four bolts"
    if opens and note.word(hit.end) == ":" and hit.row.phrase in NEXT:
        return hit.start, note.end_of(note.sentence, hit.start)  # "next week: door arm bolts, 22 Nm, when the bushes come"
    start = note.start_of(note.clause, hit.start)
    end = note.end_of(note.sentence, hit.start) if opens else note.end_of(note.clause, hit.end - 1)
    planned = next((v.start for v in work.verbs if v.tense == "base" and start <= v.start < hit.start), None)
    if planned is not None and any(start <= at < note.start_of(note.piece, planned) for at, q in work.quantities.items() if q.family == "torque"):
        start = note.start_of(note.piece, planned)
    near = hit.start - note.start_of(note.sentence, hit.start) <= 1
    if hit.row.words[-1] in WEEKDAYS and near and not GOING.isdisjoint(note.norms[hit.end : note.end_of(note.sentence, hit.start)]):
        return note.start_of(note.sentence, hit.start), note.end_of(note.sentence, hit.start)
    if opens and hit.row.phrase in WEEKDAYS and note.word(hit.end) == ":" and {"once", "when", "if"} & set(note.norms[hit.end : end]):
        return start, note.end_of(note.sentence, hit.start)  # "Friday: washdown pump, 15 Nm, once the gasket lands"
    if hit.row.phrase in WEEKDAYS and not any(v.tense == "base" and start <= v.start < end for v in work.verbs):
        return None
    if "stages" in note.hits and [note.tokens[i].figure is not None for i in range(start, hit.start)] == [True]:
        return start, end
    now = next((i for i in range(hit.end, end) if note.norms[i] in ("today", "now", "tonight") and note.piece[i] != note.piece[i - 1]), None)
    end = end if now is None else now
    if any(start <= h.start < end and h.row["tense"] == "past" for h in note.hits.get("actions", ())):
        return None
    valued = any(start <= at < end and q.family == "torque" for at, q in work.quantities.items())
    first, last = note.start_of(note.sentence, hit.start), note.end_of(note.sentence, hit.start)
    ahead = hit.row.phrase in NEXT and 0 < hit.start - first <= FEW and note.word(hit.end) == ","
    if ahead and not any(first <= at < hit.start for at in work.quantities):
        return first, last  # "labeller tomorrow, 6 Nm on its screws"
    if not valued and not _content(work, start, end):
        return None
    if valued:
        heads = opens and hit.row.words[0] in ("next", "tomorrow") and (note.word(hit.end) == ":" or hit.row.phrase in NEXT)
        told = any(v.tense == "base" and start <= v.start < hit.start for v in work.verbs) or note.word(start) in ("go", "take", "do", "try")
        return (start, end) if heads or told else None
    return start, end


def make_todos(work: Work, regions: list[tuple[int, int, str]]) -> list[Todo]:
    """One todo for each run of neighbouring stretches."""
    note = work.note
    merged: list[tuple[int, int, str]] = []
    for start, end, rule in sorted(regions):
        if merged and note.sentence[start] - note.sentence[merged[-1][1] - 1] <= 1:
            merged[-1] = (merged[-1][0], max(end, merged[-1][1]), merged[-1][2])
        else:
            merged.append((start, end, rule))
    return [Todo(text=note.quote(a, b), span=note.span(a, b), rule=rule) for a, b, rule in merged]
