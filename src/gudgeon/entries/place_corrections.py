""" "Sorry, that was the left one": the last values were said of another place."""

from __future__ import annotations

from gudgeon.entries.bench import Bench, said
from gudgeon.entries.copies import twin_at
from gudgeon.entries.mentions import Scene

_START = 4
_NEAR = 3
_REACH = 6
_SAID = frozenset(("was", "were", "meant", "mean"))
_AFTER = frozenset(("one", "ones", "side", "hand", "not", "the", "left", "right", "front", "rear", "upper", "lower", "number", ",", "."))


def correct_place(scene: Scene, bench: Bench) -> bool:
    """Move the torques of the last note of the current joint to the place named now; False when the note does not say so."""
    draft = bench.ledger.current
    place = _place_meant(scene)
    if draft is None or place is None or not draft.place or not draft.torques or set(place.split()) == set(draft.place.split()):
        return False
    last = max(t.note or 0 for t in draft.torques)
    if scene.index - last > _NEAR or not bench.words.axes(place) & bench.words.axes(draft.place):
        return False
    moved = [t for t in draft.torques if (t.note or 0) == last]
    target = twin_at(draft, place, scene.index, bench.ledger)
    for torque in moved:
        draft.torques.remove(torque)
        target.torques.append(torque)
        draft.history.append(f"note {scene.index + 1}: {said(torque)} was corrected to belong to {target.name()}")
        target.step(last, f"{said(torque)}, said first of {draft.name()}")
    target.step(scene.index, "corrected to be this place")
    bench.ledger.current = target
    return True


def _place_meant(scene: Scene) -> str | None:
    """The one place a correcting note names ("the left, not the right"), when it says nothing else of the work."""
    cued = any(c.sense == "correct" or (c.sense == "correct start" and c.at < _START) for c in scene.cues)
    if not cued or any(f.kind not in {"part", "fastener"} for f in scene.facts) or scene.has("same", "back", "open"):
        return None
    refused = [scene.tokens[c.end - 1].end for c in scene.cues if c.sense == "not value"]
    places = [m for m in scene.mentions if m.place and not any(0 <= m.start - at <= _REACH for at in refused)]
    if len(places) != 1:
        return None
    led_in = any(t.norm in _SAID and t.end <= places[0].start and places[0].start - t.end <= _REACH for t in scene.tokens)
    ends = all(t.norm in _AFTER for t in scene.tokens if t.start >= places[0].end)
    return places[0].place if led_in and ends else None
