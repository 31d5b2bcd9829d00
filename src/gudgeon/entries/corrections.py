"""Corrections notes later: "sorry, those lid bolts were sixteen not eighteen" changes the entry and keeps what was said first."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise

from gudgeon.domain import Fastener, Measure, Tool, ToolUsed, Torque, TorqueDone
from gudgeon.entries.bench import Bench, said
from gudgeon.entries.changes import SMALL, Change, change_of, is_cued
from gudgeon.entries.drafts import Draft, places_agree, words_of
from gudgeon.entries.joint_words import singular
from gudgeon.entries.ledger import Ledger
from gudgeon.entries.shapes import unknown_subject
from gudgeon.entries.spoken import JOINING, Mention, Scene

_LAST = 12
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
    drafts, named = _candidates(scene, bench)
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


def _candidates(scene: Scene, bench: Bench) -> tuple[list[Draft], Mention | None]:
    """Entries a correction may mean, the likeliest first, and the joint named in it."""
    ledger = bench.ledger
    named = _set_right(scene, ledger)
    recent = sorted(ledger.drafts[-_LAST * 3 :], key=ledger.age, reverse=True)[:_LAST]
    if named is None:
        pointed = _pointed_at(scene, recent)
        if pointed:
            return pointed, Mention(0, 0, part=pointed[0].part)
        sided = _at_side_said(scene, recent, bench)
        if sided is not None:
            return sided, Mention(0, 0, place=sided[0].place if sided else None)
        return [] if unknown_subject(scene, bench.words, ledger) else recent, None
    if named.size:
        sized = ledger.sized(named)
        return ([sized] if sized else []), named
    if named.part:
        both = _sharing_a_word(named, recent) if scene.has("both") and not named.place else []
        found = (
            [d for place in _places_named(named, scene) for d in ledger.same_part(named.part, place) if d.says_something]
            or (both if len(both) > 1 else [])
            or _at_numbers(named, scene, bench)
            or [d for d in ledger.same_part(named.part, named.place) if d.says_something]
            or _unplaced_twin(named, bench)
            or _sharing_a_word(named, recent)
            or _heard_of(named, recent, scene)
            or ledger.same_part(named.part, named.place)
        )
    elif named.place:
        found = ledger.with_place(named.place) or _only_at(named.place, recent)
    else:
        found = recent
    kind = named.fastener.fastener if named.fastener else None
    alike = [d for d in found if kind is None or d.fastener == kind]
    if not named.part and not named.place and named.fastener and named.fastener.count and not named.some:
        alike = [d for d in alike if d.count in (None, named.fastener.count)]
    if kind is not None and not alike and "ones" in {t.norm for t in scene.tokens}:
        return found, named
    if alike or kind is None:
        return alike, named
    return [d for d in found if d.fastener is None or len({x.part for x in found}) == 1], named


def _places_named(named: Mention, scene: Scene) -> list[str]:
    """The places of a part that a note sets right at several: "seat rails, front and rear, were 22"; empty when it names one or none."""
    alike = [m for m in scene.mentions if m.place and m.part == named.part]
    own = {*words_of(named.part), *(w for m in alike for w in (m.place or "").split()), "on", "the", "number"}
    gaps = [[w for w in scene.between(a.end, b.start) if w not in own] for a, b in pairwise(alike)]
    listed = all(not set(gap) - JOINING or ("so" in gap and {"has", "have", "had", "did"} & set(gap)) for gap in gaps)
    places = list(dict.fromkeys(m.place for m in alike if m.place))
    return places if listed and len(places) > 1 else []


def _set_right(scene: Scene, ledger: Ledger) -> Mention | None:
    """The joint that a note sets right: that of the sentence with "thirteen, not fourteen" in it, else the first."""
    named = [m for m in scene.mentions if m.part or m.place or m.fastener or m.size]
    told = (c for c in scene.cues if c.sense == "not value" and any(t.figure for t in scene.tokens[c.end : c.end + 1]))
    against = [scene.sentence(scene.tokens[c.at].start) for c in told]
    change = change_of(scene) if len(named) > 1 else None
    if change is not None and change.old is not None:
        holding = [m for m in named if m.part and any(t.value == change.old for d in ledger.same_part(m.part) for t in d.torques)]
        if len({m.part for m in holding}) == 1 and holding[0].part != named[0].part:
            return holding[0]  # "wiped the dial and it's ninety five I gave those rollers, not ninety"
    chosen = next((m for m in named if against and m.part and scene.sentence(m.start) == against[0]), next(iter(named), None))
    placed = [m for m in named if chosen and chosen.part and not chosen.place and m.part == chosen.part and m.place]
    return placed[0] if len(placed) == 1 else chosen


def _at_numbers(named: Mention, scene: Scene, bench: Bench) -> list[Draft]:
    """The joints of a part at several numbers listed: "rope grips on hangers 12 and 13"."""
    if not named.part or (named.place and not named.place.startswith("number")):
        return []
    at = next((i for i, t in enumerate(scene.tokens) if t.figure and f"number {t.value:g}" == named.place), None)
    if named.place is None:
        at = next((i + 1 for i, t in enumerate(scene.tokens[:-1]) if t.norm in {"numbers", "nos"} and scene.tokens[i + 1].figure), None)
    values = []
    while at is not None and at < len(scene.tokens) and scene.tokens[at].figure and scene.tokens[at].value is not None:
        values.append(scene.tokens[at].value)
        at += 2 if at + 1 < len(scene.tokens) and scene.tokens[at + 1].norm in JOINING else len(scene.tokens)
    found = [d for value in values for d in bench.ledger.same_part(named.part, f"number {value:g}") if d.turned]
    return found if len(values) > 1 and len(found) == len(values) else []


def _only_at(place: str, recent: list[Draft]) -> list[Draft]:
    """Recent entries at a place, when all of them are of one part."""
    found = [d for d in recent if d.turned and d.place and set(d.place.split()) == set(place.split())]
    return found if len({d.part for d in found}) == 1 else []


def _unplaced_twin(named: Mention, bench: Bench) -> list[Draft]:
    """The one joint of a part whose place was not said, when its other twins are told by theirs."""
    twins = bench.ledger.same_part(named.part) if named.part and named.place else []
    bare = [d for d in twins if d.turned and not d.place]
    return bare if len(bare) == 1 and any(d.turned and d.place for d in twins) else []


def _sharing_a_word(named: Mention, recent: list[Draft]) -> list[Draft]:
    """Recent entries whose part is named more loosely, or more fully: "that winch" for the winch base."""
    said = set(words_of(named.part))
    within = ((d, set(words_of(d.part))) for d in recent if d.turned)
    alike = [d for d, name in within if name and (said <= name or name <= said) and places_agree(named.place, d.place)]
    return [d for d in alike if d.place or not named.place]


def _heard_of(named: Mention, recent: list[Draft], scene: Scene) -> list[Draft]:
    """Recent entries that were named together with this part: "the bell housing ones" after "gearbox to bell housing"."""
    said = set(words_of(named.part))
    own = set((named.place or "").split()) & {t.norm for t in scene.tokens}  # a place that only a heading gave binds nothing
    found = [d for d in recent if d.turned and said <= d.heard and (not own or places_agree(named.place, d.place))]
    return found if len({(d.part, d.place) for d in found}) == 1 and (found[0].place or not named.place) else []


def _pointed_at(scene: Scene, recent: list[Draft]) -> list[Draft]:
    """Recent entries of the one part that a word behind "the" or "that" belongs to: "a hundred and fifteen on the discharge"."""
    said = {singular(after.norm) for before, after in pairwise(scene.tokens) if before.norm in {"the", "that", "those"}}
    found = [d for d in recent if d.turned and said & set(words_of(d.part))]
    return found if len({d.part for d in found}) == 1 else []


def _at_side_said(scene: Scene, recent: list[Draft], bench: Bench) -> list[Draft] | None:
    """ "Correction: upper is 55": the last joint at the side that is said with the value; None when no side of a recent joint is."""
    figure = next((t for t in scene.tokens if t.figure is not None), None)
    if figure is None:
        return None
    here = scene.sentence(figure.start)
    sides = [t.norm for t in scene.tokens if scene.sentence(t.start) == here and t.norm in bench.words.alone]
    turned = [d for d in recent if d.turned and d.place]
    told = {side for side in sides if any(side in (d.place or "").split() for d in turned)}
    if len(told) != 1:
        return None
    side = told.pop()
    return [d for d in turned if side in (d.place or "").split()][:1]


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
    if scene.has("both") or sum(bool(m.by_place) for m in scene.mentions) > 1 or (named and _places_named(named, scene)):
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
