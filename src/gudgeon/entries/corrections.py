"""Corrections notes later: "sorry, those lid bolts were sixteen not eighteen" changes the entry and keeps what was said first."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise

from gudgeon.domain import Fastener, Measure, Tool, ToolUsed, Torque, TorqueDone
from gudgeon.entries.bench import Bench, said
from gudgeon.entries.changes import SMALL, Change, change_of, is_cued
from gudgeon.entries.corrected import candidates, places_named
from gudgeon.entries.drafts import Draft, words_of
from gudgeon.entries.joint_words import singular
from gudgeon.entries.spoken import JOINING, Mention, Scene

_NEAR = 6
_PAIR = 2


def correct(scene: Scene, bench: Bench) -> bool:
    """Apply a correction to the entries it means; False when the note corrects nothing that stands in an entry."""
    if scene.has("swap") and _swap(scene, bench):
        return True
    change = change_of(scene) if not _is_counted_again(scene) else None
    cued = is_cued(scene)
    if not cued and (change is None or change.old is None):
        return False
    drafts, named = candidates(scene, bench)
    if change is not None and change.old is not None and _correct_all_named(change, scene, bench):
        return True
    if change is not None and _correct_value(change, drafts, named, scene, bench):
        return True
    if not cued:
        return False
    return _correct_measure(drafts, named, scene) or _correct_kind(drafts, named, scene)


def _is_counted_again(scene: Scene) -> bool:
    """ "Did I say four screws, I've counted again and it's five": how many there are, and no value."""
    counted = any(t.norm in {"counted", "count", "recounted"} for t in scene.tokens)
    return counted and any(t.norm in {"bolts", "screws", "nuts", "studs"} for t in scene.tokens)


def _swap(scene: Scene, bench: Bench) -> bool:
    """ "I had those crossed": the values of the last two joints of one kind change places, unless the note says other values."""
    turned = [d for d in sorted(bench.ledger.recent(), key=bench.ledger.age, reverse=True) if d.torques]
    said_words = {singular(t.norm) for t in scene.tokens if t.kind == "word"}
    named = [d for d in turned if said_words & (set(words_of(d.part)) | set((d.place or "").split()) | {d.job})]
    pair = [d for d in (named if len(named) > 1 else turned) if len(d.torques) == 1][:_PAIR]
    if len(pair) < _PAIR or pair[0].fastener != pair[1].fastener:
        return False
    (one, other), figures = (d.torques[0] for d in pair), {t.value for t in scene.tokens if t.figure is not None}
    if not figures <= {one.value, other.value, None}:
        return False
    for draft, old, new in ((pair[0], one, other), (pair[1], other, one)):
        draft.torques[0] = replace(new, note=scene.index, replaces=old.value)
        draft.history.append(f"note {scene.index + 1}: {said(old)} was corrected to {said(new)}: two joints had been mixed up")
        draft.step(scene.index, f"corrected to {said(new)}")
    return True


def _correct_value(change: Change, drafts: list[Draft], named: Mention | None, scene: Scene, bench: Bench) -> bool:
    if change.old is not None:
        holding = [(d, t) for d in drafts for t in d.torques if abs(t.value - change.old) < SMALL]
        if not holding and change.fact is None:
            return _correct_other(change, drafts, scene)
        chosen = _all_meant(holding, named, scene)
    else:
        chosen = [
            (d, t) for d, t in _last_torque(drafts, named, scene, bench.ledger.current) if named or change.fact or _is_like(change.new, t.value)
        ]
        chosen = _with_twins(chosen, scene, bench)
    chosen = [(d, t) for d, t in chosen if change.unit in (None, t.unit)]
    threads = [f.thread for f in scene.facts if isinstance(f, Fastener) and f.thread]
    for draft, torque in chosen:
        if torque in draft.torques:  # one draft may have been found by two of its names
            replace_torque(draft, torque, change, scene.index)
        draft.thread = draft.thread or (threads[0] if threads else None)
    return bool(chosen)


def _with_twins(chosen: list[tuple[Draft, TorqueDone]], scene: Scene, bench: Bench) -> list[tuple[Draft, TorqueDone]]:
    """ "Motors should be 16, both sides": the twin that had the same value is meant too."""
    if len(chosen) != 1 or not chosen[0][0].place or not scene.has("both"):
        return chosen
    draft, torque = chosen[0]
    axes = bench.words.axes(draft.place or "")
    twins = [d for d in bench.ledger.same_part(draft.part) if d is not draft and d.place and bench.words.axes(d.place) & axes]
    same = [(d, t) for d in twins for t in d.torques[-1:] if abs(t.value - torque.value) < SMALL and t.unit == torque.unit]
    return [*chosen, *same] if len(same) == 1 else chosen


def _correct_all_named(change: Change, scene: Scene, bench: Bench) -> bool:
    """ "140, not 130, on the wallower clamp and the spur wheel clamp": every one of several parts, when each holds the old value."""
    named = [m for m in scene.mentions if m.part and not m.by_place]
    if len({m.part for m in named}) < _PAIR or any(set(scene.between(a.end, b.start)) - JOINING for a, b in pairwise(named)):
        return False
    holding = [
        [(d, t) for d in bench.ledger.same_part(m.part, m.place) for t in d.torques if abs(t.value - (change.old or 0)) < SMALL] for m in named
    ]
    if not all(holding):
        return False
    for found in holding:
        replace_torque(*found[0], change, scene.index)
    return True


def _all_meant(holding: list[tuple[Draft, TorqueDone]], named: Mention | None, scene: Scene) -> list[tuple[Draft, TorqueDone]]:
    """The latest entry that holds the old value; with "both", every one of the same part."""
    if not holding:
        return []
    first = holding[0][0]
    same = [d for d, _ in holding if _is_kin(d, first)]
    if _all_of(len(same), scene) or any(t.norm in {"numbers", "nos"} for t in scene.tokens):
        return [(d, t) for d, t in holding if _is_kin(d, first) and d.fastener == first.fastener]
    if scene.has("both") or sum(bool(m.by_place) for m in scene.mentions) > 1 or (named and places_named(named, scene)):
        return [(d, t) for d, t in holding if _is_kin(d, first) and d.fastener == first.fastener]
    return [(d, t) for d, t in holding if d is first][-1:]


def _all_of(count: int, scene: Scene) -> bool:
    """ "They were thirty five on all three blades": as many as there are of them."""
    return count > 1 and any(one.norm == "all" and other.value == count for one, other in pairwise(scene.tokens))


def _is_kin(one: Draft, other: Draft) -> bool:
    """Whether two joints are of one part, be it named more fully once: "brake arm pivot left", "right arm"."""
    first, second = set(words_of(one.part)), set(words_of(other.part))
    return first <= second or second <= first


def _is_begun(current: Draft | None) -> bool:
    """Whether another joint is worked on and has no value yet, so that a value alone is its first and corrects nothing."""
    return current is not None and current.fastener is not None and not current.turned


def _last_torque(drafts: list[Draft], named: Mention | None, scene: Scene, current: Draft | None) -> list[tuple[Draft, TorqueDone]]:
    """Without the old value: the last torque of the joint named, or of the note before when none was named."""
    mistaken = {"wrong", "misread", "mistake"} & {scene.tokens[i].norm for c in scene.cues if c.sense == "correct" for i in range(c.at, c.end)}
    if scene.has("redo") and not mistaken:
        return []
    turned = [d for d in drafts if d.torques]
    if named is not None and named.part is None and named.place is None:
        turned = [d for d in turned if scene.index - (d.torques[-1].note or 0) <= _NEAR]
    if not turned or (named is not None and drafts[0] is not turned[0] and not drafts[0].is_part_alone):
        return []
    draft = turned[0]
    if named is None and (scene.index - (draft.torques[-1].note or 0) > 2 or (current is not draft and _is_begun(current))):
        return []
    return [(draft, draft.torques[-1])]


def _is_like(new: float, old: float) -> bool:
    """Whether a bare figure can be a correction of a value at all."""
    return old / 3 <= new <= old * 3


def replace_torque(draft: Draft, old: TorqueDone, change: Change, note: int) -> None:
    """Put the value meant in place of the one taken back; the history keeps both."""
    fact = change.fact
    unit = fact.unit if fact and fact.unit else old.unit
    scaled = old.nm * change.new / old.value if old.nm is not None and old.value else None
    nm = fact.nm if fact and fact.unit else scaled
    new = replace(old, value=change.new, unit=unit, nm=nm, low=None, high=None, replaces=old.value, heard=(), mended=None, note=note)
    if fact is not None:
        new = replace(new, stage=fact.stage or old.stage, hedged=fact.hedged, low=fact.low, high=fact.high)
        new = replace(new, angle_deg=fact.angle_deg, angle_heard=fact.angle_heard) if fact.angle_deg else new
    draft.torques[draft.torques.index(old)] = new
    draft.history.append(f"note {note + 1}: {said(old)}, said in note {(old.note or 0) + 1}, was corrected to {said(new)}")
    draft.step(note, f"corrected to {said(new)}")


def _correct_other(change: Change, drafts: list[Draft], scene: Scene) -> bool:
    """A count, turn, measure or tool size that holds the value taken back."""
    old, new, note = change.old, change.new, scene.index
    for draft in drafts:
        for i, measure in enumerate(draft.measures):
            if old is not None and abs(measure.value - old) < SMALL:
                draft.measures[i] = replace(measure, value=new, heard=(), note=note)
                _tell(draft, note, f"{measure.quantity or 'size'} {old:g} {measure.unit}", f"{new:g} {measure.unit}")
                return True
        for i, angle in enumerate(draft.angles):
            if angle.angle_deg == old:
                draft.angles[i] = replace(angle, angle_deg=new, heard=(), note=note)
                _tell(draft, note, f"{old:g} degrees", f"{new:g} degrees")
                return True
        if draft.count == old and new == int(new):
            draft.count = int(new)
            draft.doubt("count", ())
            _tell(draft, note, f"a count of {old:g}", f"{new:g}")
            return True
        if draft.tool and draft.tool.size == old:
            draft.tool = replace(draft.tool, size=new, heard=())
            _tell(draft, note, f"{draft.tool.tool} {old:g}", f"{new:g}")
            return True
    return False


def _correct_measure(drafts: list[Draft], named: Mention | None, scene: Scene) -> bool:
    facts = [f for f in scene.facts if isinstance(f, Measure)]
    if len(facts) != 1:
        return False
    fact = facts[0]
    for draft in drafts[:3] if named is None else drafts:
        fits = [m for m in draft.measures if m.unit == fact.unit and (fact.quantity in (None, m.quantity) or len(draft.measures) == 1)]
        if fits:
            old = fits[-1]
            draft.measures[draft.measures.index(old)] = replace(old, value=fact.value, heard=fact.heard, note=scene.index)
            _tell(draft, scene.index, f"{old.quantity or 'size'} {old.value:g} {old.unit}", f"{fact.value:g} {fact.unit}")
            return True
    return False


def _correct_kind(drafts: list[Draft], named: Mention | None, scene: Scene) -> bool:
    """A thread, count or tool said anew; only for the joint named, or the one of the last notes."""
    draft = next((d for d in drafts if d.fastener or d.turned), None)
    if draft is None or any(isinstance(f, Torque) for f in scene.facts):
        return False
    done = False
    threads = [t for t in scene.tokens if t.thread is not None]
    thread = threads[0].thread.name if threads and threads[0].thread else None
    if thread and draft.thread and draft.thread != thread:
        _tell(draft, scene.index, draft.thread, thread)
        draft.thread, done = thread, True
    for fact in scene.facts:
        if isinstance(fact, Fastener) and fact.count and draft.count and fact.count != draft.count and not (named and named.some):
            _tell(draft, scene.index, f"a count of {draft.count}", str(fact.count))
            draft.count, done = fact.count, True
            draft.doubt("count", fact.heard)
        if isinstance(fact, Tool) and draft.tool and fact.size and fact.tool == draft.tool.tool and fact.size != draft.tool.size:
            _tell(draft, scene.index, f"{draft.tool.tool} {draft.tool.size}", f"{fact.size:g}")
            draft.tool, done = ToolUsed(tool=fact.tool, size=fact.size, size_unit=fact.size_unit, heard=fact.heard), True
    return done


def _tell(draft: Draft, note: int, old: str, new: str) -> None:
    draft.history.append(f"note {note + 1}: {old} was corrected to {new}")
    draft.step(note, f"{old} corrected to {new}")
