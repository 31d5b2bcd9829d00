"""What is added to the last value a note later: its unit alone ("newton metres that is"), or that it is taken back ("scratch that")."""

from __future__ import annotations

from dataclasses import replace

from gudgeon.domain import Question, Todo, Torque, TorqueDone
from gudgeon.entries.bench import Bench, Figure, said
from gudgeon.entries.drafts import Draft
from gudgeon.entries.spoken import Scene
from gudgeon.units import to_nm

_LONGEST = 9
_ON_THOSE = 3
_THOSE = frozenset(("those", "them", "these", "that", "it", "each", "both", "all"))
_SOON = 2
_MOST_COUNTED = 16
_SAME = 1e-6
_GOES_ON = frozenset(("", ".", ",", "i", "it", "one", "that", "no", "sorry", "wrong", "please", "last"))


def add_unit(scene: Scene, bench: Bench) -> bool:
    """Give the unit that a note says alone to the value of the note before that lacks one; False when the note says more than a unit."""
    unit = scene.line.unit_alone
    if unit is None:
        return False
    if bench.figure is not None and bench.figure.note == scene.index - 1:
        done = replace(bench.figure.value, unit=unit, nm=to_nm(bench.figure.value.value, unit))
        bench.add_torque(bench.figure.draft, done, f"its unit was said in note {scene.index + 1}")
        bench.figure.draft.step(scene.index, f"the unit was said: {said(done)}")
        return True
    for draft, torque in _last_said(scene, bench):
        if torque.unit is None:
            full = replace(torque, unit=unit, nm=to_nm(torque.value, unit))
            draft.torques[draft.torques.index(torque)] = full
            draft.step(scene.index, f"the unit was said: {said(full)}")
            break
    return True


def take_bare(scene: Scene, bench: Bench) -> bool:
    """ "Thirty five on those", right behind a joint that has no value: a torque whose unit was not said; False when the note says more.

    A figure up to sixteen may be how many there are.
    """
    draft, words = bench.ledger.current, [t.norm for t in scene.tokens if t.kind != "punct"]
    figure = scene.tokens[0].figure if scene.tokens else None
    if draft is None or figure is None or len(words) != _ON_THOSE or words[1] not in {"on", "for"} or words[2] not in _THOSE or scene.facts:
        return False
    fresh = draft.fastener is not None and not draft.turned and not draft.left_undone and 0 < scene.index - draft.opened <= _SOON
    if not fresh or figure.form not in {"cardinal", "decimal", "mixed"} or figure.value <= _MOST_COUNTED:
        return False
    bench.add_torque(draft, TorqueDone(value=figure.value, unit=None, nm=None, note=scene.index), "said of those named right before")
    return True


def take_repeated(scene: Scene, bench: Bench) -> None:
    """ "Starboard forward, sixty five as well": the very figure that a twin got is a torque in the twin's unit."""
    named = [m for m in scene.mentions if m.place]
    bare = [t for t in scene.tokens if t.figure is not None and not any(f.span[0] <= t.start < f.span[1] for f in scene.facts)]
    bare = [t for t in bare if not any(m.start <= t.start < m.end for m in scene.mentions)]
    if len(named) != 1 or len(bare) != 1 or len(scene.tokens) > _LONGEST or any(isinstance(f, (Torque, Question, Todo)) for f in scene.facts):
        return
    place, near = named[0].place or "", bench.ledger.twin_part(named[0].place or "")
    part = named[0].part or (near.part if near else None)
    if part is None or bare[0].start < named[0].end:
        return
    axes, own = bench.words.axes(place), set(place.split())
    twins = [d for d in bench.ledger.same_part(part) if d.place and set(d.place.split()) != own and bench.words.axes(d.place) & axes]
    told = [t for d in twins for t in d.torques if t.unit and abs(t.value - (bare[0].value or 0)) < _SAME]
    if not told:
        return
    draft = bench.joint(replace(named[0], part=part), scene.index)
    if not (draft.turned or draft.left_undone):
        bench.ledger.current = draft
        value = replace(told[0], note=scene.index, heard=(), angle_heard=(), replaces=None, angle_deg=None)
        bench.add_torque(draft, value, "the figure that its twin got")


def take_back(scene: Scene, bench: Bench) -> bool:
    """Take out the values of the note before when this one only says "scratch that"; False when it says more."""
    cue = next((c for c in scene.cues if c.sense == "take back"), None)
    follower = scene.tokens[cue.end].norm if cue is not None and cue.end < len(scene.tokens) else ""
    if (
        cue is None
        or scene.facts
        or scene.mentions
        or follower not in _GOES_ON
        or len(scene.tokens) > _LONGEST
        or any(t.figure for t in scene.tokens)
    ):
        return False
    found = _last_said(scene, bench)
    for draft, torque in found:
        draft.torques.remove(torque)
        draft.history.append(f"note {scene.index + 1}: {said(torque)}, said in note {(torque.note or 0) + 1}, was taken back")
        draft.step(scene.index, f"{said(torque)} taken back")
        bench.ledger.current = draft
    return bool(found)


def _last_said(scene: Scene, bench: Bench) -> list[tuple[Draft, TorqueDone]]:
    """The torques of the note right before, in the entry spoken of last."""
    current = bench.ledger.current
    return [(current, t) for t in current.torques if t.note == scene.index - 1] if current else []


def last_figure(scene: Scene, bench: Bench) -> Figure | None:
    """The bare figure that a note about a joint still without a torque ends with: "screw yoke two bolts fifty five"."""
    draft, token = bench.ledger.current, next((t for t in reversed(scene.tokens) if t.kind != "punct"), None)
    figure = token.figure if token is not None else None
    if draft is None or token is None or figure is None or figure.form not in {"cardinal", "decimal", "mixed"} or draft.turned or not draft.fastener:
        return None
    if scene.index not in draft.notes or any(f.span[1] > token.start for f in scene.facts):
        return None
    before = next((t.norm for t in reversed(scene.tokens) if t.end <= token.start), "")
    return Figure(draft, TorqueDone(value=figure.value, unit=None, nm=None, note=scene.index), scene.index, before in {"to", "at", "got", "had"})
