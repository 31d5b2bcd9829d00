"""The side that a note begins with, and that heads what follows: "front left now", "left side first", "South side now. Screw gland …"."""

from __future__ import annotations

from gudgeon.entries.bench import Bench
from gudgeon.entries.heading_words import FILLER, NOUNS, VALUES
from gudgeon.entries.spoken import Scene

_OPENING = frozenset(("now", "first", "next"))


def side_of_sentence(scene: Scene, bench: Bench) -> str | None:
    """The side that a note begins with: "front left now the caliper's off", or in its first sentence: "South side now. Screw gland the same."."""
    return _side_now(scene, bench) or _side_said_first(scene, bench)


def _side_now(scene: Scene, bench: Bench) -> str | None:
    """ "Front left now", "left side first": a place and an opening word, where a part is named behind it or nothing is said of a joint."""
    at = next((i for i, t in enumerate(scene.tokens) if t.norm not in FILLER), len(scene.tokens))
    end = next((i for i in range(at, len(scene.tokens)) if scene.tokens[i].norm not in bench.words.places), len(scene.tokens))
    sides = [t.norm for t in scene.tokens[at:end]]
    noun = end < len(scene.tokens) and scene.tokens[end].norm in NOUNS - {"end"}
    opens = scene.tokens[end + noun].norm if end + noun < len(scene.tokens) else ""
    if not sides or opens not in _OPENING or sides == ["back"] or any(t.figure for t in scene.tokens[: end + noun]):
        return None
    place, behind = " ".join(sides), scene.tokens[end + noun].end
    across = bench.words.opposite(place)
    told = any(across in (d.place or "").split() for d in bench.ledger.recent()) or any(s.place == across for s in bench.sections)
    if sides == ["right"] and not noun and not told:
        return None  # "right now the lid": talk
    current = bench.ledger.current
    twin = current is not None and current.place and bench.words.axes(current.place) & bench.words.axes(place)
    named = any(m.part and m.end > behind for m in scene.mentions)
    return place if named or not (twin or any(f.kind in VALUES or f.kind == "fastener" for f in scene.facts)) else None


def _side_said_first(scene: Scene, bench: Bench) -> str | None:
    first = [t for t in scene.tokens if scene.sentence(t.start) == 0]
    pauses = [i for i, t in enumerate(first[:-1]) if t.norm == ","]
    led = first[: pauses[-1]] if pauses else []
    first = [t for t in first[len(led) :] if t.kind != "punct"]
    sides = [t.norm for t in first if t.norm in bench.words.places]
    if not first or len(sides) != 1 or any(scene.sentence(f.span[0]) == 0 for f in scene.facts if f.kind != "part" or f.span[0] >= first[0].start):
        return None
    if any(f.kind != "part" for f in scene.facts if f.span[0] < first[0].start):
        return None
    at = next(i for i, t in enumerate(first) if t.norm in bench.words.places)
    others = [t for t in first if t.norm not in FILLER and t.norm not in bench.words.places]
    if sides[0] in {"top", "bottom"} and at + 1 < len(first) and first[at + 1].norm == "end":
        return None  # half of an engine: "standby set, top end."
    noun = at + 1 < len(first) and first[at + 1].norm in NOUNS
    goes_on = any(m.part and scene.sentence(m.start) > 0 for m in scene.mentions)
    return sides[0] if noun and goes_on and len(others) <= (0 if led else 1) and not any(t.figure and t.norm not in _OPENING for t in first) else None
