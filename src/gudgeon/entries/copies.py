""" "Same on the right": what one joint got, another gets too."""

from __future__ import annotations

import re
from dataclasses import replace
from itertools import pairwise

from gudgeon.domain import Compound, Condition, Fastener, Part, Tool, Torque
from gudgeon.entries.bench import Bench, said
from gudgeon.entries.drafts import Draft, copy_of, on_note, same_torque, take_fastener, words_of
from gudgeon.entries.joint_words import singular
from gudgeon.entries.ledger import Ledger
from gudgeon.entries.mentions import Mention, Scene
from gudgeon.entries.vocabulary import Cue

_PLACE_WORD = re.compile(r"number \S+|\S+")
_SHORT = 5
_MOST_TWINS = 24
_CALLED = 4
"""Words of what "the same as" goes on with, at most."""
_LISTING = frozenset(
    (
        "as",
        "well",
        "too",
        "also",
        "nos",
        "no",
        ".",
        ":",
        "and",
        ",",
        "&",
        "to",
        "is",
        "are",
        "got",
        "get",
        "gets",
        "had",
        "all",
        "exactly",
        "then",
        "number",
        "numbers",
    )
)
_TO_COME = frozenset(("will", "'ll", "would", "should", "to"))
_LIKE = 3
"""How many times a value another one may be, to be meant instead of it."""
_GIVEN = frozenset(("gets", "get", "got", "had", "has", "have", "takes", "take", "wants"))
_BEING = frozenset(("'s", "is", "are", "isn't", "hasn't", "wants", "needs"))
_ALSO = frozenset(("the", "same", "too", "also", "as", "likewise", "identical", "had", "has", "got", "done"))
_JOINING = frozenset(("on", "for", "with", "as", "to", "there", "here", "goes", "one", "the"))


def copy_joints(scene: Scene, cue: Cue, bench: Bench) -> bool:
    """Copy the joint meant by "same" to the one named now; True when something was copied, and the copy is then the current joint."""
    model, targets = _who(scene, cue, bench)
    if model is None and _names_model(scene, cue, bench):
        return False
    copied = False
    current = bench.ledger.current
    if not targets and current is not None and current.fastener and not current.turned and len(scene.tokens) <= _SHORT:
        targets = [Mention(0, 0, part=current.part, place=current.place)]
        earlier = [d for d in bench.ledger.drafts if d.turned and d is not current]
        return bool(earlier) and _copy(max(earlier, key=bench.ledger.age), targets[0], scene, bench)
    for mention in targets or _numbers(scene, cue, bench):
        for source in _sources(mention, model, scene, bench):
            stranger = model is None and mention.part is not None and source.part != mention.part and _before_is_own(scene, mention)
            copied |= not stranger and _copy(source, replace(mention, place=_twin_place(source, mention, bench)), scene, bench)
    return copied


def _names_model(scene: Scene, cue: Cue, bench: Bench) -> bool:
    """Whether "same as the …" goes on with words that name a joint; when it is not understood, nothing is copied."""
    if bench.section is not None and bench.section.opened == scene.index and bench.section.twin is not None:
        return False
    follower = scene.tokens[cue.end] if cue.end < len(scene.tokens) else None
    at = cue.end + (follower is not None and follower.norm in {"the", "that", "those"})
    told = at < len(scene.tokens) and at > cue.end and scene.tokens[at].norm not in bench.words.places
    return scene.tokens[cue.end - 1].norm == "as" and told


def _model_called(scene: Scene, cue: Cue, bench: Bench) -> Draft | None:
    """The joint that "the same as" calls by one word of its name: "jupiter arm collar the same as saturn's"."""
    after = scene.tokens[cue.end - (scene.tokens[cue.end - 1].norm == "as") :]
    if not after or after[0].norm != "as":
        return None
    said = [singular(t.norm) for t in after[1 : 1 + _CALLED] if t.kind == "word" and t.norm not in {"the", "that", "on", "one", "'s"}]
    if len(said) != 1:
        return None
    found = [d for d in bench.ledger.recent() if d.turned and said[0] in words_of(d.part)]
    return found[0] if len({(d.part, d.place) for d in found}) == 1 else None


def _numbers(scene: Scene, cue: Cue, bench: Bench) -> list[Mention]:
    """ "Two, three and four the same", after number one: the twins named by their bare numbers before the cue."""
    current = bench.ledger.current
    if current is None or not (current.place or "").startswith("number"):
        return []
    values: list[float] = []
    same = {at for c in scene.cues if c.sense == "same" for at in range(c.at, c.end)}
    for token in (t for i, t in enumerate(scene.tokens) if i not in same):
        if token.figure is not None:
            values += [piece.value for piece in token.figure.splits[0]] if token.figure.splits else [token.figure.value]
        elif token.norm not in _LISTING:
            return []
    return [Mention(0, 0, part=current.part, place=f"number {value:g}") for value in values if value == int(value) and 0 < value <= _MOST_TWINS]


def same_cue(scene: Scene) -> Cue | None:
    """The cue that says "same" of a joint, not of a tool, a time or an order."""
    if scene.has("untouched"):
        return None
    norms = [t.norm for t in scene.tokens]
    refused = {at for cue in scene.cues if cue.sense == "not same" for at in range(cue.at, cue.end)}
    for cue in scene.cues:
        if cue.sense != "same" or refused.intersection(range(cue.at, cue.end)):
            continue
        if any(one in _TO_COME and other == "be" for one, other in pairwise(norms[max(cue.at - 3, 0) : cue.at + 1])):
            continue  # "the right side will be the same": a plan
        last = scene.tokens[cue.end - 1]
        follower = scene.tokens[cue.end].start if cue.end < len(scene.tokens) else -1
        named = any(f.span[0] <= follower < f.span[1] for f in scene.facts if isinstance(f, (Tool, Fastener, Part, Compound)))
        given = cue.at > 0 and scene.tokens[cue.at - 1].norm in _GIVEN
        if named and last.norm not in _JOINING and not given:
            continue
        return cue
    return None


def without_model(scene: Scene, cue: Cue) -> Scene:
    """The note without the joint that another is only said to be the same as; a fastener named behind it is the other's."""
    at = scene.tokens[cue.at].start
    model = next((m for m in scene.mentions if m.part and m.start >= at), None)
    own = [m for m in scene.mentions if m.part and m.start < at]
    if scene.tokens[cue.end - 1].norm != "as" or model is None or not own:
        return scene
    last = own[-1]
    fuller = replace(last, fastener=last.fastener or model.fastener, end=last.end)
    mentions = tuple(fuller if m is last else m for m in scene.mentions if m is not model)
    return replace(scene, mentions=mentions, secondary=scene.secondary | {words_of(model.part)})


def _who(scene: Scene, cue: Cue, bench: Bench) -> tuple[Mention | None, list[Mention]]:
    """The joint that is the model, when it was named ("same as the left"), and the joints that get the same."""
    named = [m for m in scene.mentions if m.part or m.place or (m.job and m.fastener)]
    named = [m for m in named if not _is_told_apart(m, cue, named, scene)]
    at = scene.tokens[cue.at].start
    called = _model_called(scene, cue, bench)
    before = [m for m in named if m.start < at]
    if called is not None and before:
        return Mention(at, at, part=called.part, place=called.place), before[-1:]
    if scene.tokens[cue.end - 1].norm == "as":
        after = [m for m in named if m.start >= at]
        before = [m for m in named if m.start < at]
        if after and (before or bench.ledger.current):
            current = bench.ledger.current
            own = before or [Mention(at, at, part=current.part, place=current.place)] if current else before
            return after[0], own
    if scene.has("other"):
        place = bench.words.opposite(bench.ledger.current.place) if bench.ledger.current else None
        if place and not any(m.place for m in named):
            part = named[0].part if named else None
            return None, [Mention(at, at, part=part, place=place, fastener=named[0].fastener if named else None)]
    return None, named


def _is_told_apart(mention: Mention, cue: Cue, named: list[Mention], scene: Scene) -> bool:
    """Whether a joint behind "the same" and a comma has a fault of its own: "base bolts same, spindle collar missing"."""
    at, after = scene.tokens[cue.at].start, scene.tokens[cue.end - 1].end
    if mention.start >= after and any(m.start < at for m in named) and _goes_its_own_way(mention, scene):
        return True
    if mention.start < after or not any(m.start < at for m in named) or "," not in scene.between(after, mention.start):
        return False
    return any(isinstance(f, Condition) and f.span[0] >= mention.end for f in scene.facts)


def _goes_its_own_way(mention: Mention, scene: Scene) -> bool:
    """Whether something else is told of a joint: "number two's the same, number three's waiting for a bush"."""
    behind = [t.norm for t in scene.tokens if t.start >= mention.end][:2]
    return len(behind) > 1 and behind[0] in _BEING and behind[1] not in _ALSO


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
    if target.job and draft.job:
        return target.job != draft.job
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
        _fill(draft, source)
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
    other = None if own_torque else _other_figure(scene)
    if other is not None:
        _copy_changed(source, draft, other, note)
    elif not own_torque:
        _copy_values(source, draft, note, latest_only=not fresh)
    if source.is_part_alone:
        draft.measures.extend(replace(m, note=note) for m in source.measures if fresh)
    ledger.current = draft
    ledger.touch(draft)
    return True


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
        same_kind = draft.fastener in (source.fastener, None) and draft.is_part_alone == source.is_part_alone
        if same_kind and (draft.place == place or (place is not None and draft.place and set(draft.place.split()) == set(place.split()))):
            return draft
    return None


def _fill(draft: Draft, source: Draft) -> None:
    draft.fastener = draft.fastener or source.fastener
    draft.count = draft.count or source.count
    draft.thread = draft.thread or source.thread
    draft.tool = draft.tool or source.tool
    draft.compound = draft.compound or source.compound


def _other_figure(scene: Scene) -> float | None:
    """The bare figure that ends what is said to be the same with a difference: "the same but with rubbers so fifteen"."""
    behind = [t for t in scene.tokens if t.start > (scene.same_at or 0) and t.kind != "punct"]
    differs = any(t.norm in {"but", "except", "only"} for t in behind)
    last = behind[-1] if behind else None
    if last is None or not differs or last.figure is None or last.figure.form != "cardinal":
        return None
    return None if any(f.span[0] <= last.start < f.span[1] for f in scene.facts) else last.value


def _copy_changed(source: Draft, draft: Draft, value: float, at: int) -> None:
    """The model's one torque at another value; nothing where it has several, or the figure can be no torque beside it."""
    if len(source.torques) != 1 or not source.torques[0].value / _LIKE <= value <= source.torques[0].value * _LIKE:
        draft.how.append(f"note {at + 1}: the same as on {source.name()}, but {value:g}: no value was taken over")
        return
    old = source.torques[0]
    nm = old.nm * value / old.value if old.nm is not None and old.value else None
    new = replace(on_note(old, at), value=value, nm=nm, low=None, high=None, heard=(), angle_heard=(), replaces=None)
    draft.torques.append(new)
    draft.how.append(f"note {at + 1}: {said(new)}: as on {source.name()}, but for the value")


def _copy_values(source: Draft, draft: Draft, at: int, *, latest_only: bool) -> None:
    """The model's torques and turns; only those of its last note when the copy has values already."""
    last = max((note or 0 for note in (*(t.note for t in source.torques), *(a.note for a in source.angles))), default=0)
    for torque in source.torques:
        if latest_only and (torque.note or 0) != last:
            continue
        if not any(same_torque(t, torque) for t in draft.torques):
            draft.torques.append(replace(on_note(torque, at), heard=(), angle_heard=(), replaces=None))
            draft.how.append(f"note {at + 1}: {said(torque)}, as on {source.name()}")
    for angle in source.angles:
        if not (latest_only and (angle.note or 0) != last) and not any(a.angle_deg == angle.angle_deg for a in draft.angles):
            draft.angles.append(replace(angle, heard=(), note=at))
