""" "Same on the right": what one joint got, another gets too."""

from __future__ import annotations

import re
from dataclasses import replace

from gudgeon.domain import Compound, Torque
from gudgeon.entries.bench import Bench
from gudgeon.entries.copied_values import copy_changed, copy_values, fill, other_figure, without_stages
from gudgeon.entries.drafts import Draft, copy_of, take_fastener, words_of
from gudgeon.entries.ledger import Ledger
from gudgeon.entries.sameness import model_and_targets, names_model, numbers_before
from gudgeon.entries.spoken import Mention, Scene
from gudgeon.entries.vocabulary import Cue

_PLACE_WORD = re.compile(r"number \S+|\S+")
_SHORT = 8


def copy_joints(scene: Scene, cue: Cue, bench: Bench) -> bool:
    """Copy the joint meant by "same" to the one named now; True when something was copied, and the copy is then the current joint."""
    model, targets = model_and_targets(scene, cue, bench)
    if model is None and names_model(scene, cue, bench):
        return False
    copied = False
    current = bench.ledger.current
    bolted = current is not None and (current.fastener or any(m.fastener for m in scene.mentions))
    if not targets and current is not None and bolted and not current.turned and len(scene.tokens) <= _SHORT:
        targets = [Mention(0, 0, part=current.part, place=current.place)]
        earlier = [d for d in bench.ledger.drafts if d.turned and d is not current]
        return bool(earlier) and _copy(max(earlier, key=bench.ledger.age), targets[0], scene, bench)
    for mention in targets or numbers_before(scene, cue, bench):
        for source in _sources(mention, model, scene, bench):
            stranger = model is None and mention.part is not None and source.part != mention.part and _before_is_own(scene, mention)
            copied |= not stranger and _copy(source, replace(mention, place=_twin_place(source, mention, bench)), scene, bench)
    return copied


def _sources(target: Mention, model: Mention | None, scene: Scene, bench: Bench) -> list[Draft]:
    """The joints to copy from: those of the model, else of the target's part at another place, else of the current joint."""
    ledger = bench.ledger
    if model is not None:
        found = ledger.find(model, note=-1)
        drafts = ledger.group(found) if found else []
    else:
        kin = [d for d in ledger.same_part(target.part) if _elsewhere(d, target)] if target.part else []
        kin.sort(key=lambda d: (not d.says_something, target.fastener is not None and d.fastener != target.fastener.fastener))
        if kin and not (kin[0].turned or (kin[0].measures and scene.index - max(kin[0].notes) <= 1)):
            kin.sort(key=lambda d: not d.turned)
        twin = ledger.twin_part(target.place) if not target.part and target.place else None
        if twin is not None and not _elsewhere(twin, target):
            kin = [d for d in ledger.same_part(twin.part) if _elsewhere(d, target)]
            twin = None
        if twin is not None and not (twin.turned or twin.measures):
            kin = [d for d in ledger.same_part(twin.part) if d.turned and _elsewhere(d, target)]
            _settle(kin, twin, bench)
        kin = kin or _called_shorter(target, ledger)
        if not kin and not twin and target.part and _has_its_own(target, scene, bench):
            return []
        source = kin[0] if kin else twin or ledger.current
        if source is None or (source.part == target.part and not _elsewhere(source, target)):
            return []
        drafts = [source] if source.is_part_alone else sorted((*ledger.group(source), *_siblings(source, target, ledger)), key=ledger.age)
    if target.fastener is not None:
        kind = target.fastener.fastener
        return [d for d in drafts if d.fastener in (kind, None)] or drafts[:1]
    return drafts


def _called_shorter(target: Mention, ledger: Ledger) -> list[Draft]:
    """ "Rear shuttle box ditto", after "shuttle box front plate": the one joint across whose name holds the words."""
    across = ledger.words.opposite(target.place) if target.place else None
    if not target.part or not across:
        return []
    said = set(words_of(target.part))
    found = [d for d in ledger.recent() if d.turned and said < set(words_of(d.part)) and across in (d.place or "").split()]
    return found if len({(d.part, d.place) for d in found}) == 1 else []


def _settle(kin: list[Draft], faulty: Draft, bench: Bench) -> None:
    """Once the right one gets the same, what was told without a place is the left one, of which only a fault was said."""
    if not kin or kin[0].place is not None or kin[0].part != faulty.part or faulty.place is None:
        return
    base = kin[0]
    bench.ledger.rename(base, part=base.part, place=faulty.place)
    base.conditions += [c for c in faulty.conditions if c not in base.conditions]
    base.how += faulty.how
    base.notes += [n for n in faulty.notes if n not in base.notes]
    bench.faults = [replace(f, draft=base) if f.draft is faulty else f for f in bench.faults]
    bench.ledger.drop(faulty)


def _side(place: str | None, target: Mention, ledger: Ledger) -> list[str]:
    """The words of a place that tell twins apart as the target's place does: "left" of "left top" beside "right"."""
    kind = ledger.words.axes(target.place or "")
    return [w for w in _place_words(place) if ledger.words.axes(w) & kind]


def _place_words(place: str | None) -> list[str]:
    """The words of a place, "number 2" as one."""
    return _PLACE_WORD.findall(place or "")


def _siblings(source: Draft, target: Mention, ledger: Ledger) -> list[Draft]:
    """The joints at the source's side that have a further place of their own: "left top" beside "left bottom"."""
    side = _side(source.place, target, ledger)
    if not side or len(_place_words(target.place)) > 1:
        return []
    beside = [d for d in ledger.same_part(source.part) if d.place != source.place and set(side) <= set(_place_words(d.place))]
    return [d for d in beside if not d.is_part_alone and d.says_something]


def _twin_place(source: Draft, target: Mention, bench: Bench) -> str | None:
    """The target's place, with what else the source's place says: "right top", when the right gets the same as "left top"."""
    side = _side(source.place, target, bench.ledger)
    further = _place_words(source.place)
    if len(side) != 1 or len(further) < 2 or len(_place_words(target.place)) > 1:
        return target.place
    return " ".join((target.place or "") if w == side[0] else w for w in further)


def _has_its_own(target: Mention, scene: Scene, bench: Bench) -> bool:
    """Whether a joint said to get the same has values already, or its heading's twin had no such joint, so that the current one is no model."""
    known = [d for d in bench.ledger.same_part(target.part, target.place) if d.turned]
    current, section = bench.ledger.current, bench.section
    headed = section is not None and section.opened == scene.index and section.twin is not None
    return bool(headed or known) and current is not None and current.part != target.part


def _elsewhere(draft: Draft, target: Mention) -> bool:
    """Whether a draft stands at another place than the target, or its fastener does another job there."""
    if target.job and draft.job and target.job != draft.job:
        return True
    return target.place is not None and (draft.place is None or set(draft.place.split()) != set(target.place.split()))


def _copy(source: Draft, target: Mention, scene: Scene, bench: Bench) -> bool:
    ledger, note = bench.ledger, scene.index
    place = source.place if target.job and not target.part and not target.place else target.place
    known = ledger.same_part(target.part) if target.part else []
    part = known[0].part if known else source.part if _is_called(target, source) else target.part or source.part
    draft = _existing(source, part, place, target.job, bench)
    if (
        draft is None
        and ledger.current is not None
        and (ledger.current.part, ledger.current.place) == (part, place)
        and _is_free(ledger.current, target)
    ):
        draft = ledger.current
    if draft is source or (draft is not None and draft.turned and words_of(draft.part) != words_of(source.part) and not scene.has("redo")):
        return False
    own_torque = any(isinstance(f, Torque) and f.span[0] > (scene.same_at or 0) for f in scene.facts) or _before_is_own(scene, target)
    fresh = draft is None or not (draft.turned or draft.measures)
    if draft is None:
        draft = ledger.add(copy_of(source, part=part, place=place, note=note))
    elif fresh:
        fill(draft, source)
    if target.fastener is not None:
        if target.fastener.fastener != draft.fastener:
            draft.fastener, draft.count, draft.thread = None, None, None
        if target.fastener.count is not None and not target.some:
            draft.count = None
        take_fastener(draft, target.fastener, some=target.some)
    if fresh and any(isinstance(f, Compound) for f in scene.facts):
        draft.compound = None
    draft.job = draft.job or target.job
    draft.step(note, f"said to be the same as {source.name()}")
    other = None if own_torque else other_figure(scene)
    if other is not None:
        copy_changed(source, draft, other, note)
    elif own_torque and (stages := _other_stages(scene)):
        copy_values(without_stages(source, stages), draft, note, latest_only=False)
    elif not own_torque:
        copy_values(source, draft, note, latest_only=not fresh)
    if source.is_part_alone:
        draft.measures.extend(replace(m, note=note) for m in source.measures if fresh)
    ledger.current = draft
    ledger.touch(draft)
    return True


def _other_stages(scene: Scene) -> set[int]:
    """The stages that differ: "ditto, but stage two only 260 Nm"; empty when nothing is said of stages."""
    behind = [f for f in scene.facts if isinstance(f, Torque) and f.span[0] > (scene.same_at or 0)]
    stages = {f.stage for f in behind if f.stage}
    differs = any(t.norm in {"but", "except", "only"} for t in scene.tokens if t.start > (scene.same_at or 0))
    return stages if differs and len(stages) == len(behind) else set()


def _is_called(target: Mention, source: Draft) -> bool:
    """Whether a twin is called by a word of its model's name: "house end block the same" after "river end plummer block cap"."""
    return bool(target.place and source.place and target.part) and set(words_of(target.part)) < set(words_of(source.part))


def twin_at(source: Draft, place: str, note: int, ledger: Ledger) -> Draft:
    """The joint of the same part and fastener at another place: the one that stands there, or a new one without values."""
    found = [d for d in ledger.same_part(source.part, place) if d.fastener in (source.fastener, None) and not d.is_part_alone]
    return found[0] if found else ledger.add(copy_of(source, part=source.part, place=place, note=note))


def copy_all(source: Draft, place: str, note: int, ledger: Ledger) -> Draft:
    """Another joint with all that one got in this note, at another place."""
    draft = ledger.add(copy_of(source, part=source.part, place=place, note=note))
    draft.torques, draft.angles = list(source.torques), list(source.angles)
    draft.measures, draft.conditions = list(source.measures), list(source.conditions)
    draft.step(note, f"said together with {source.name()}")
    return draft


def _before_is_own(scene: Scene, target: Mention) -> bool:
    """Whether a torque before "the same" is the target's own: "the right one 50 as well, same again", "50 on the right one, same again"."""
    at = scene.same_at or 0
    torques = [f for f in scene.facts if isinstance(f, Torque) and f.span[0] < at]
    return any(target.start <= f.span[0] or (f.part is not None and (f.part, f.place) == (target.part, target.place)) for f in torques)


def _is_free(draft: Draft, target: Mention) -> bool:
    return not draft.turned and (target.job is None or draft.job in (None, target.job))


def _existing(source: Draft, part: str | None, place: str | None, job: str | None, bench: Bench) -> Draft | None:
    for draft in bench.ledger.same_part(part, place):
        if job and draft.job and job != draft.job:
            continue
        unnamed = source.fastener is None and source.turned and draft.turned
        same_kind = (unnamed or draft.fastener in (source.fastener, None)) and draft.is_part_alone == source.is_part_alone
        if same_kind and (draft.place == place or (place is not None and draft.place and set(draft.place.split()) == set(place.split()))):
            return draft
    return None
