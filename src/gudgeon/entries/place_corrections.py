""" "Sorry, that was the left one", "no, that was the motor feet": the last values were said of another place, or of another part."""

from __future__ import annotations

from gudgeon.domain import TorqueDone
from gudgeon.entries.bench import Bench, said
from gudgeon.entries.changes import change_of
from gudgeon.entries.copies import twin_at
from gudgeon.entries.corrections import replace_torque
from gudgeon.entries.drafts import Draft
from gudgeon.entries.spoken import Scene

_START = 4
_NEAR = 3
_REACH = 6
_SAID = frozenset(("was", "were", "meant", "mean"))
_AFTER = frozenset(("one", "ones", "side", "hand", "not", "the", "left", "right", "front", "rear", "upper", "lower", "number", ",", "."))
_BEFORE = frozenset(("the", "that", "was", "were", "is", "'s", "on", "of", "for", "ones", "one", "those", "it", "in", "fact", "actually"))


def correct_place(scene: Scene, bench: Bench) -> bool:
    """Move the torques of the last note of the current joint to the place or part named now; False when the note does not say so."""
    draft = bench.ledger.current
    if draft is None or not draft.torques or not _is_cued(scene):
        return False
    last = max(t.note or 0 for t in draft.torques)
    if scene.index - last > _NEAR:
        return False
    moved = [t for t in draft.torques if (t.note or 0) == last]
    target = _twin_meant(draft, scene, bench) or (_part_meant(draft, scene, bench) if scene.index - last == 1 else None)
    if target is None:
        return False
    change = change_of(scene) if target.part != draft.part and _is_named_again(draft, scene) else None
    if change is not None:
        replace_torque(draft, moved[-1], change, scene.index)
    _move(moved if change is None else moved[-1:], draft, target, scene, bench)
    bench.ledger.current = target if change is None else draft
    return True


def _move(moved: list[TorqueDone], draft: Draft, target: Draft, scene: Scene, bench: Bench) -> None:
    for torque in moved:
        if torque in draft.torques:
            draft.torques.remove(torque)
        target.torques.append(torque)
        draft.history.append(f"note {scene.index + 1}: {said(torque)} was corrected to belong to {target.name()}")
        target.step(torque.note or 0, f"{said(torque)}, said first of {draft.name()}")
    target.step(scene.index, f"corrected to be this {'place' if target.part == draft.part else 'joint'}")
    bench.ledger.touch(target)


def _is_cued(scene: Scene) -> bool:
    return any(c.sense == "correct" or (c.sense == "correct start" and c.at < _START) for c in scene.cues) and not scene.has("same", "back", "open")


def _twin_meant(draft: Draft, scene: Scene, bench: Bench) -> Draft | None:
    """The same part at the one place that the note names ("the left, not the right"), when it says nothing else of the work."""
    if not draft.place or any(f.kind not in {"part", "fastener"} for f in scene.facts):
        return None
    refused = [scene.tokens[c.end - 1].end for c in scene.cues if c.sense == "not value"]
    places = [m for m in scene.mentions if m.place and not any(0 <= m.start - at <= _REACH for at in refused)]
    if len(places) != 1 or set((places[0].place or "").split()) == set(draft.place.split()):
        return None
    led_in = any(t.norm in _SAID and t.end <= places[0].start and places[0].start - t.end <= _REACH for t in scene.tokens)
    ends = all(t.norm in _AFTER for t in scene.tokens if t.start >= places[0].end)
    if not led_in or not ends or not bench.words.axes(places[0].place or "") & bench.words.axes(draft.place):
        return None
    return twin_at(draft, places[0].place or "", scene.index, bench.ledger)


def _part_meant(draft: Draft, scene: Scene, bench: Bench) -> Draft | None:
    """Another part that "that was the …" names, when no value was said of it here."""
    mention = next((m for m in scene.mentions if m.part), None)
    cue = next((c for c in scene.cues if c.sense in {"names last", "names waiting"}), None)
    if mention is None or cue is None or any(f.kind in {"torque", "angle"} for f in scene.facts):
        return None
    between = scene.between(scene.tokens[cue.at].start, mention.start)
    found = bench.ledger.find(mention, note=scene.index)
    if found is draft or mention.start < scene.tokens[cue.at].start or not set(between) <= _BEFORE | bench.words.places.keys():
        return None
    target = found or bench.ledger.open(mention, note=scene.index)
    target.fastener = target.fastener or draft.fastener
    return target


def _is_named_again(draft: Draft, scene: Scene) -> bool:
    """Whether the joint that gave its value away is named with another one: "the coupling ones were ninety"."""
    return any(m.part == draft.part for m in scene.mentions)
