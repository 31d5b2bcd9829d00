"""What is added to the last value a note later: its unit alone ("newton metres that is"), or that it is taken back ("scratch that")."""

from __future__ import annotations

from dataclasses import replace

from gudgeon.domain import TorqueDone
from gudgeon.entries.bench import Bench, said
from gudgeon.entries.drafts import Draft
from gudgeon.entries.mentions import Scene
from gudgeon.units import to_nm

_LONGEST = 9
_GOES_ON = frozenset(("", ".", ",", "i", "it", "one", "that", "no", "sorry", "wrong", "please", "last"))


def add_unit(scene: Scene, bench: Bench) -> bool:
    """Give the unit that a note says alone to the value of the note before that lacks one; False when the note says more than a unit."""
    unit = scene.line.unit_alone
    if unit is None:
        return False
    for draft, torque in _last_said(scene, bench):
        if torque.unit is None:
            full = replace(torque, unit=unit, nm=to_nm(torque.value, unit))
            draft.torques[draft.torques.index(torque)] = full
            draft.step(scene.index, f"the unit was said: {said(full)}")
            break
    return True


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
