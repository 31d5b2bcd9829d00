"""What was done, is being done, is to be done, or was left undone."""

from __future__ import annotations

from gudgeon.domain import Action
from gudgeon.facts.verbs import Verb
from gudgeon.facts.wordset import word_set
from gudgeon.facts.work import Work

REACH = 5
BE = word_set("'m am are is 're was were be 's i'm we're")
DOING_AFTER = word_set("then still just and ok now uh um okay so again currently right")
NOT_DOING_AFTER = word_set(
    "after before by for of without from than on about like needs need wants avoid keep keeps stop stopped worth when with hate"
)
DONE_BEFORE_BASE = (("had", "to"), ("managed", "to"), ("able", "to"))
UNWILLING = word_set("won't wouldn't can't cannot couldn't doesn't don't shouldn't mustn't")
"""Negations that do not say that work was left undone."""
FINISHED = frozenset(["done", "finished", "complete", "completed"])
BOTH_FORMS = word_set("put set cut reset read run shut let")
"""Past forms that are plain forms too: at the head of its piece, in a list of work to be done, the plain one is meant."""
ARTICLES = ("a", "an", "another")
GIVEN = ("clean", "lubricate", "inspect", "adjust", "tighten")
GIVEN_IN = 9
"""Tokens in which "gave the slides a good oiling" must be told."""
THEM = frozenset(["it", "they", "that"])
AFTER_STATE = word_set("and but so now at last then already finally no with")
"""Words that may follow "the seal's out"."""
PASSIVE = frozenset(["be", "being"])


def find_actions(work: Work) -> list[Action]:
    """All actions, each kind and status once."""
    facts: list[Action] = []
    for verb in work.verbs:
        status = _status(work, verb)
        if status is None or any(f.action == verb.action and f.status == status for f in facts):
            continue
        action = "fill" if _pours(work, verb) else "tighten" if _takes_up_to(work, verb) else verb.action
        end = verb.end if verb.particle is None else verb.particle + 1
        facts.append(
            Action(
                action=action,
                status=status,
                span=work.note.span(verb.start, end),
                rule=f"actions:{verb.tense} (actions.csv row {verb.row.line})",
            )
        )
    facts += _finished(work, facts)
    facts += _given(work, facts)
    return facts + _stated(work, facts) + _new_ones(work, facts)


def _given(work: Work, facts: list[Action]) -> list[Action]:
    """ "gave the slides a good oiling": the doing told as a thing given."""
    note = work.note
    found: list[Action] = []
    for at, word in enumerate(note.norms):
        if word not in ("gave", "given", "giving") or _is_unreal(work, at):
            continue
        end = min(note.end_of(note.piece, at), at + GIVEN_IN)
        for here in range(at + 2, end):
            article = note.word(here - 1) in ARTICLES or (note.word(here - 2) in ARTICLES and note.kind(here - 1) == "word")
            rows = [h.row for h in note.starting("actions", here) if h.row["tense"] in ("base", "ing") and h.row["action"] in GIVEN]
            if article and rows and not any(f.action == rows[0]["action"] for f in [*facts, *found]):
                status = "doing" if word == "giving" else "done"
                rule = f"actions:given (actions.csv row {rows[0].line})"
                found.append(Action(action=rows[0]["action"], status=status, span=note.span(at, here + 1), rule=rule))
                break
    return found


def _new_ones(work: Work, facts: list[Action]) -> list[Action]:
    """ "pressed the old bearing out and the new one in": the second half without its verb."""
    note = work.note
    if not any(f.action == "remove" and f.status == "done" for f in facts) or any(f.action in ("fit", "replace") for f in facts):
        return []
    for at in range(1, len(note.norms)):
        here = at + (note.norms[at] in ("the", "a"))
        if note.norms[at - 1] not in ("and", ",") or note.word(here) != "new" or _is_unreal(work, at):
            continue
        end = next((i for i in range(here + 2, min(here + 6, len(note.norms))) if note.norms[i] in ("in", "on")), None)
        if end is not None and note.kind(end + 1) in ("", "punct") and not work.scopes.negated[at]:
            return [Action(action="fit", status="done", span=note.span(at, end + 1), rule="actions:new-ones")]
    return []


def _stated(work: Work, facts: list[Action]) -> list[Action]:
    """ "the guard is back on", "the old seal's out": where a thing is now tells what was done to it."""
    note = work.note
    found: list[Action] = []
    ends = {n.end for n in work.names} | {t.end for t in work.of_kind("fastener")} | {i + 1 for i, w in enumerate(note.norms) if w in THEM}
    for at in range(1, len(note.norms)):
        if note.norms[at] not in ("is", "'s", "are", "'re") or at not in ends or _is_unreal(work, at) or work.scopes.negated[at]:
            continue
        now = at + 1 + (note.word(at + 1) in ("now", "all", "both", "finally", "already"))
        end = now + 1
        if note.word(now) == "back" and note.word(now + 1) in ("on", "in", "together"):
            action, end = "fit", now + 2
        elif note.word(now) in ("off", "out") and (note.kind(end) in ("", "punct") or note.word(end) in AFTER_STATE):
            action = "remove"
        else:
            continue
        if not any(f.action == action for f in [*facts, *found]):
            found.append(Action(action=action, status="done", span=note.span(at, end), rule="actions:stated"))
    return found


def _is_unreal(work: Work, at: int) -> bool:
    scopes = work.scopes
    return bool(scopes.asked[at] or scopes.bought[at] or scopes.chatter[at] or scopes.planned[at] or scopes.supposed[at] or scopes.reported[at])


def _takes_up_to(work: Work, verb: Verb) -> bool:
    """ "take the bolts up to a hundred and twenty": what is taken up to a torque is tightened."""
    at = verb.particle
    torque = work.quantities.get(at + 2) if at is not None and work.note.norms[at : at + 2] == ["up", "to"] else None
    return verb.action == "adjust" and torque is not None and torque.family == "torque"


def _pours(work: Work, verb: Verb) -> bool:
    """ "put one point two litres of oil back": what is put by the litre fills."""
    volume = work.quantities.get(verb.end)
    return verb.action == "fit" and verb.row.phrase in ("put", "putting") and volume is not None and volume.family == "volume"


def _status(work: Work, verb: Verb) -> str | None:
    note, scopes, at = work.note, work.scopes, verb.start
    if scopes.asked[at] or scopes.bought[at] or scopes.chatter[at] or _is_condition(work, verb) or _sets_a_tool(work, verb):
        return None
    if verb.row.phrase in ("do", "did", "done", "doing") and note.word(verb.particle or 0) == "them" and not _torque_follows(work, at):
        return None
    if verb.action == "align" and "line" in verb.row.phrase[:4] and _in_mark(work, at):
        return None
    if work.note.norms[max(0, at - 2) : at] == ["do", "not"] and verb.tense == "base":
        return None
    if scopes.negated[at] and _negation_near(work, at):
        return "not done" if not scopes.supposed[at] and not scopes.reported[at] else None
    if scopes.negated[at] and verb.tense in ("base", "present"):
        return None
    if scopes.planned[at]:
        return None if _is_past_in_plan(work, verb) else "todo"
    if scopes.supposed[at] or scopes.reported[at]:
        return None
    return _by_tense(work, verb)


def _by_tense(work: Work, verb: Verb) -> str | None:
    note, at = work.note, verb.start
    before = note.word(at - 1)
    if verb.tense == "past":
        return None if before in PASSIVE or _describes(work, verb) else "done"
    if verb.tense == "ing":
        if note.word(at - 1) in ("finished", "done", "finish", "been"):
            return "done"
        if before in BE or (at > 1 and note.word(at - 2) in BE and before in ("just", "now", "still", "only", "all")):
            return "doing" if "was" not in (before, note.word(at - 2)) else "done"
        opens = at == 0 or note.kind(at - 1) == "punct" or before in DOING_AFTER
        return "doing" if opens and before not in NOT_DOING_AFTER else None
    if verb.tense == "base":
        return "done" if (note.word(at - 2), before) in DONE_BEFORE_BASE else None
    return None


def _in_mark(work: Work, at: int) -> bool:
    """ "marks lined up" says how the marks stand."""
    return any(0 <= at - h.end <= 6 and work.note.sentence[h.start] == work.note.sentence[at] for h in work.note.of("marks", role="subject"))


def _sets_a_tool(work: Work, verb: Verb) -> bool:
    """ "torque wrench set to 25": the tool was set, no part of the machine."""
    return verb.action == "adjust" and any(t.kind == "tool" and t.end == verb.start for t in work.things)


def _describes(work: Work, verb: Verb) -> bool:
    """A past form that describes the noun after it: "a welded bracket", "sealed bearing"."""
    note = work.note
    if verb.particle is not None:
        return False
    after = verb.end
    names_it = any(n.first <= after < n.end or n.start == after for n in work.names) or any(t.start == after for t in work.things)
    before = note.word(verb.start - 1)
    return names_it and (
        before in ("the", "a", "an", "with", "of", "this", "that", "on", "in", "and a") or bool(note.starting("descriptions", verb.start - 1))
    )


def _is_condition(work: Work, verb: Verb) -> bool:
    """ "stripped" with no "down" or "off" is a thread's state, "cracked" a casting's."""
    return verb.particle is None and any(h.start == verb.start and h.end > verb.end for h in work.note.hits.get("conditions", ()))


def _torque_follows(work: Work, at: int) -> bool:
    end = work.note.end_of(work.note.sentence, at)
    return any(at < start < end and q.family == "torque" for start, q in work.quantities.items())


def _negation_near(work: Work, at: int) -> bool:
    return any(0 <= at - hit.end <= REACH and hit.row.phrase not in UNWILLING for hit in work.note.of("negations", scope="clause")) or any(
        0 <= at - hit.end <= 1 for hit in work.note.of("negations", scope="word")
    )


def _is_past_in_plan(work: Work, verb: Verb) -> bool:
    """A plain past form inside a plan ("when he's fitted it") is no plan, unless something wants it ("needs tightened")."""
    note = work.note
    if verb.tense != "past" or (verb.row.phrase in BOTH_FORMS and note.piece[verb.start] != note.piece[verb.start - 1]):
        return False
    return note.word(verb.start - 1) not in ("be", "needs", "need", "wants", "get", "getting") and not any(
        hit.end == verb.start for hit in note.hits.get("todos", ())
    )


def _finished(work: Work, facts: list[Action]) -> list[Action]:
    """ "thread repair in the block done": the noun of an action that is finished."""
    note = work.note
    found: list[Action] = []
    for row_hit in note.hits.get("actions", ()):
        if row_hit.row["tense"] not in ("base", "ing") or row_hit.row["particles"] or any(v.start == row_hit.start for v in work.verbs):
            continue
        if (
            work.scopes.asked[row_hit.start]
            or work.scopes.negated[row_hit.start]
            or work.scopes.chatter[row_hit.start]
            or work.scopes.planned[row_hit.start]
        ):
            continue
        if any(t.start <= row_hit.start < t.end for t in work.things):
            continue
        end = min(note.end_of(note.piece, row_hit.start), row_hit.end + 6)
        if any(w in FINISHED for w in note.norms[row_hit.end : end]) and not any(f.action == row_hit.row["action"] for f in [*facts, *found]):
            span = note.span(row_hit.start, row_hit.end)
            found.append(
                Action(action=row_hit.row["action"], status="done", span=span, rule=f"actions:noun-done (actions.csv row {row_hit.row.line})")
            )
    return found
