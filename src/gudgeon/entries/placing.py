"""Every value of a note goes to its joint, to the part itself, or waits."""

from __future__ import annotations

from dataclasses import replace

from gudgeon.domain import Angle, Condition, Fact, Measure, Torque, TorqueDone
from gudgeon.entries.bench import NEAR, Bench, Inherited, angle_done, said, torque_done
from gudgeon.entries.changes import is_cued
from gudgeon.entries.drafts import Draft, same_torque, words_of
from gudgeon.entries.joint_words import singular
from gudgeon.entries.linking import link, points_back
from gudgeon.entries.pairs import others_meant
from gudgeon.entries.scenes import live_values
from gudgeon.entries.spoken import Mention, Scene
from gudgeon.entries.waiting import put_turn
from gudgeon.units import to_nm

_SECOND = 2
_TEN = 10
_SOON = 3
"""How many notes after a question "it's forty" still answers it."""


def place_values(scene: Scene, bench: Bench) -> list[Draft]:
    """Every value of a note goes to its joint; gives back the entries of sizes measured in it."""
    measured: list[Draft] = []
    for fact in live_values(scene):
        if isinstance(fact, (Torque, Angle)):
            if not _is_untouched(fact, scene):
                place_turn(fact, scene, bench)
        elif isinstance(fact, Measure):
            draft = _place_measure(fact, scene, bench)
            measured.extend([draft] if draft else [])
        elif isinstance(fact, Condition):
            _place_condition(fact, scene, bench)
    return measured


def _is_untouched(fact: Torque | Angle, scene: Scene) -> bool:
    """Whether a value is of what was left alone; not where that is another joint, named behind it: "two bolts ten Nm, rear bolts not touched"."""
    left = [scene.tokens[c.at].start for c in scene.cues if c.sense == "untouched"]
    if left and all(scene.sentence(fact.span[0]) < scene.sentence(at) for at in left):
        return False  # "left wheel: 4 nuts @ 70 Nm. Right one not touched yet"
    other = [m for m in scene.mentions if m.fastener and left and fact.span[1] <= m.start < left[0]]
    return bool(left) and not (other and any(m.fastener and m.start < fact.span[0] for m in scene.mentions))


def place_turn(fact: Torque | Angle, scene: Scene, bench: Bench) -> None:
    """Put a torque or turn to the joint named with it, else to the one asked about, else to the one worked on; else it waits."""
    value = torque_done(fact, scene.index) if isinstance(fact, Torque) else angle_done(fact, scene.index)
    value = _with_tens(value, fact, scene, bench) if isinstance(value, TorqueDone) else value
    mention = link(fact, scene) or _named_last(scene)
    if mention is not None and not (mention.part or mention.place or mention.size) and scene.has("lost"):
        bench.wait(value, scene)  # "two bolts were done to 25 Nm, I failed to write down where"
        return
    if mention is not None:
        draft = bench.joint(mention, scene.index)
        if isinstance(value, TorqueDone) and value.unit is None and (is_cued(scene) or _is_as_told(value, draft, scene, bench)):
            value = _with_unit(value, draft, bench)
        others = others_meant(draft, mention, scene, bench)
        put_turn(draft, value, bench, "its joint was named in the same note")
        for other in others:
            put_turn(other, value, bench, f"said of this joint too, as of {draft.name()}")
        bench.ledger.current = draft
        if mention.part is None and not mention.place and isinstance(value, TorqueDone) and value in draft.torques:
            bench.inherited = Inherited(draft, value, scene.index, bolted=True)
        if draft.part is None and draft.unclear is None and not draft.stranger:
            draft.unclear = f"{said(value)} was said of the {draft.fastener or 'joint'}, and no part was named"
        return
    answered = _answered(fact, scene, bench) or _going_on(fact, bench)
    draft_or_none = answered or bench.target(scene, fact.span[0], earlier=points_back(fact, scene))
    if draft_or_none is None:
        bench.wait(value, scene)
        return
    if answered is not None and isinstance(value, TorqueDone) and any(same_torque(t, value) for t in answered.torques):
        answered.step(scene.index, f"{said(value)} confirmed")
        return
    others = others_meant(draft_or_none, None, scene, bench)
    for other in others:
        put_turn(other, value, bench, f"said of this joint too, as of {draft_or_none.name()}")
    put_turn(draft_or_none, value, bench, f"no joint named, so the one being worked on: {draft_or_none.name()}")
    bench.ledger.current = draft_or_none
    if isinstance(value, TorqueDone):
        bench.inherited = Inherited(draft_or_none, value, scene.index)


def _with_tens(value: TorqueDone, fact: Torque | Angle, scene: Scene, bench: Bench) -> TorqueDone:
    """ "Done to thirty" and then, after a breath, "five newton metres" are thirty five."""
    tens, opens = bench.figure, bool(scene.tokens) and scene.tokens[0].start == fact.span[0]
    if tens is None or not tens.led or tens.note != scene.index - 1 or not opens or not 0 < value.value < _TEN or value.value % 1 or value.nm is None:
        return value
    if tens.value.value % _TEN or not _TEN < tens.value.value < _TEN * _TEN or scene.tokens[0].text.isdigit():
        return value
    whole = tens.value.value + value.value
    return replace(value, value=whole, nm=value.nm * whole / value.value)


def _going_on(fact: Torque | Angle, bench: Bench) -> Draft | None:
    """ "Second round 160 newton metres", talk after the first: the one joint that got the stage before and not this one."""
    stage, current = fact.stage, bench.ledger.current
    if not isinstance(fact, Torque) or not stage or stage < _SECOND or (current and any(t.stage == stage - 1 for t in current.torques)):
        return None
    if current is not None and current.fastener and not current.turned:
        return None
    begun = [d for d in bench.ledger.drafts[-NEAR:] if d.torques and d.torques[-1].stage == stage - 1 and not d.complete]
    return begun[0] if len(begun) == 1 else None


def _is_as_told(value: TorqueDone, draft: Draft, scene: Scene, bench: Bench) -> bool:
    """ "Same on the lower roller, that one's nut got sixteen too": the twin's figure again."""
    return scene.has("same") and any(t.value == value.value for d in bench.ledger.same_part(draft.part) if d is not draft for t in d.torques)


def _with_unit(value: TorqueDone, draft: Draft, bench: Bench) -> TorqueDone:
    """A correcting value without a unit takes that of the joint's twin: "starboard base nuts only got seventeen"."""
    unit = next((t.unit for d in bench.ledger.same_part(draft.part) for t in d.torques if t.unit), None)
    return replace(value, unit=unit, nm=to_nm(value.value, unit)) if unit else value


def _named_last(scene: Scene) -> Mention | None:
    """The joint named after the value: "60 Nm. That's what the drop arm nut has had"."""
    return next((m for m in scene.mentions if m.part or m.fastener), None) if scene.has("names last") else None


def _answered(fact: Torque | Angle, scene: Scene, bench: Bench) -> Draft | None:
    """The joint that a value said to be the answer belongs to: the one asked about, else the only one that still lacks its torque."""
    if not isinstance(fact, Torque) or not scene.has("answer", "confirm"):
        return None
    now = bench.asked_now
    if now is not None and scene.index - now.note <= _SOON:
        bench.asked_now = None
        return now.draft
    if not scene.has("answer"):
        return None
    asked, bench.asked = bench.asked, None
    if asked is not None:
        return asked
    lacking = [d for d in bench.ledger.drafts[-NEAR:] if d.fastener and not d.turned and not d.left_undone]
    return lacking[0] if len(lacking) == 1 else None


def _place_measure(fact: Measure, scene: Scene, bench: Bench) -> Draft | None:
    mention = link(fact, scene)
    current = bench.ledger.current
    if mention is None:
        if current is None or current.part is None or _speaks_of_another(fact, scene, bench):
            return None
        mention = Mention(*fact.span, part=current.part, place=current.place)
    elif not mention.part and current is not None and mention.place is None:
        mention = replace(mention, part=current.part, place=current.place)
    station = bench.station
    under = station is not None and mention.part is not None and mention.place is None and words_of(mention.part) != station.part
    if station is not None and under:
        mention = replace(mention, place=station.place)
    draft = bench.joint(replace(mention, fastener=None, size=None), scene.index, alone=True)
    if draft.part is None:
        return None
    if station is not None and under and draft not in station.measured:
        station.measured.append(draft)
        draft.step(station.note, f"under {' '.join(station.part)} {station.place}")
    bench.add_measure(draft, fact, scene.index)
    bench.ledger.current = draft
    return draft


def _speaks_of_another(fact: Measure, scene: Scene, bench: Bench) -> bool:
    """Whether the note opens with a thing no rule knows ("belt gives twelve millimetres"), so that its size is not the current part's."""
    first = scene.tokens[0]
    known = set(words_of(fact.quantity)) | {"gap", "play", "wobble", "clearance"}
    plain = first.kind != "word" or bench.words.role("word", first.norm) or first.norm in bench.words.places
    covered = any(f.span[0] <= first.start < f.span[1] for f in scene.facts)
    return not (plain or covered or singular(first.norm) in known)


def _place_condition(fact: Condition, scene: Scene, bench: Bench) -> None:
    mention = link(fact, scene)
    role = bench.words.role("condition", fact.condition)
    current = bench.ledger.current
    if mention is None or not (mention.part or mention.fastener or mention.place):
        if current is not None:
            alone = role == "part" and current.part is not None
            draft = bench.joint(Mention(*fact.span, part=current.part, place=current.place), scene.index, alone=True) if alone else current
            bench.add_condition(draft, fact, scene.index)
        return
    on_fastener = mention.fastener is not None and (role != "part" or _right_before(mention, fact, scene))
    if not on_fastener and role == "thread":
        joint = bench.ledger.find(replace(mention, fastener=None), note=scene.index)
        on_fastener = joint is not None
    draft = bench.joint(mention if on_fastener else replace(mention, fastener=None), scene.index, alone=not on_fastener)
    bench.add_condition(draft, fact, scene.index)
    bench.ledger.current = draft


def _right_before(mention: Mention, fact: Fact, scene: Scene) -> bool:
    """Whether a fault is said of the fastener itself: "the union is weeping"."""
    fastener = mention.fastener
    return fastener is not None and fastener.span[1] <= fact.span[0] and len(scene.between(fastener.span[1], fact.span[0])) <= 3
