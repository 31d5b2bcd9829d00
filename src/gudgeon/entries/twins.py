"""Which twin a part of a note is: by its side, its end, its number, or what stands there, once the session knows the others."""

from __future__ import annotations

from dataclasses import replace

from gudgeon.domain import Angle, Condition, Fact, Fastener, Measure, Part, Torque
from gudgeon.entries.drafts import words_of
from gudgeon.entries.joint_words import singular
from gudgeon.entries.ledger import Ledger
from gudgeon.entries.place_words import ordinal
from gudgeon.entries.spoken import Scene
from gudgeon.entries.vocabulary import Vocabulary

_BACK = "back"
_HEADING = 5
"""Words before a colon that can be a name, at most."""
_TWO = 2
_SAME_BEHIND = frozenset(("the", "same", "likewise", "ditto", "identical", "identically", "as", "too"))


def told_apart(scene: Scene, words: Vocabulary, ledger: Ledger) -> Scene:
    """The scene with the places of its parts as the session's other parts show them."""
    scene = _sides_named(_twins_told(_split_places(scene, words, ledger), words, ledger), words, ledger)
    return _ends_placed(_place_in_heading(scene, words), words)


def _split_places(scene: Scene, words: Vocabulary, ledger: Ledger) -> Scene:
    """ "The bottom bracket" is the bracket at the bottom once a top bracket was told."""
    facts = list(scene.facts)
    for i, fact in enumerate(facts):
        beside = [f for f in scene.facts if isinstance(f, Part) and f is not fact]
        kin = isinstance(fact, Part) and any(
            words_of(f.name)[:1] == words_of(fact.name)[:1] for f in beside
        )  # "bogie side frames", by the bogie pivot
        if isinstance(fact, Part) and not fact.place and not kin and (sided := _of_known_side(fact.name, words, ledger)):
            facts[i] = replace(fact, name=sided[1], place=sided[0])
            facts = [_of(f, sided[1], sided[0]) if getattr(f, "part", None) == fact.name else f for f in facts]
            continue
        first, _, rest = fact.name.partition(" ") if isinstance(fact, Part) else ("", "", "")
        if isinstance(fact, Part) and first == "end" and fact.place and _stands_across(rest, fact.place, words, ledger):
            facts[i] = replace(fact, name=rest)
            facts = [_of(f, rest, fact.place) if getattr(f, "part", None) == fact.name else f for f in facts]
            continue
        if not isinstance(fact, Part) or not rest or fact.place or first not in words.places or ledger.same_part(fact.name):
            continue
        across = words.opposite(first)
        if across and any(across in (d.place or "").split() for d in ledger.same_part(rest)):
            facts[i] = replace(fact, name=rest, place=first)
            facts = [_of(f, rest, first) if getattr(f, "part", None) == fact.name else f for f in facts]
    return replace(scene, facts=tuple(facts)) if facts != list(scene.facts) else scene


def _place_in_heading(scene: Scene, words: Vocabulary) -> Scene:
    """ "Tailplane front attachment: 160 in-lb": what a note opens with is a part, at the place named inside of it."""
    colon = next((i for i, t in enumerate(scene.tokens) if t.norm == ":"), 0)
    heading = scene.tokens[:colon]
    inner = [i for i, t in enumerate(heading) if t.norm in words.places]
    if not _TWO < len(heading) <= _HEADING or len(inner) != 1 or inner[0] in (0, colon - 1) or "correct start" in scene.line.senses:
        return scene
    said = [t for i, t in enumerate(heading) if i != inner[0]]
    if any(t.kind != "word" or words.role("word", t.norm) or "'" in t.norm for t in said):
        return scene
    end, middle = heading[-1].end, heading[inner[0]].start
    early = [f for f in scene.facts if f.span[0] < end]
    if any(not isinstance(f, Part) or f.span[1] > middle for f in early) or not any(isinstance(f, (Torque, Fastener)) for f in scene.facts):
        return scene
    name, place = " ".join((*(t.norm for t in said[:-1]), singular(said[-1].norm))), heading[inner[0]].norm
    part, old = Part(name=name, place=place, span=(heading[0].start, end), rule="named by its shape"), {f.name for f in early if isinstance(f, Part)}
    facts = (_of(f, name, place) if getattr(f, "part", None) in old else f for f in scene.facts if f not in early)
    return replace(scene, facts=(part, *facts))


def _ends_placed(scene: Scene, words: Vocabulary) -> Scene:
    """ "Aileron pushrod end left: lock nut": a part's end, and the place of the whole."""
    tokens = scene.tokens
    for at in range(len(tokens) - 2):
        part = next((f for f in scene.facts if isinstance(f, Part) and not f.place and f.span[1] + 1 == tokens[at].start), None)
        if part is None or tokens[at].norm != "end" or tokens[at + 1].norm not in words.places or tokens[at + 2].norm not in {":", ",", "."}:
            continue
        name, place = f"{part.name} end", tokens[at + 1].norm
        told = replace(part, name=name, place=place, span=(part.span[0], tokens[at + 1].end))
        facts = [told if f is part else _of(f, name, place) if getattr(f, "part", None) == part.name else f for f in scene.facts]
        return replace(scene, facts=tuple(facts))
    return scene


def _stands_across(name: str, place: str, words: Vocabulary, ledger: Ledger) -> bool:
    """Whether a part was told at the opposite place: "rear end flange", after the shaft flange at the front end."""
    across = words.opposite(place)
    return bool(name and across) and any(across in (d.place or "").split() for d in ledger.same_part(name))


def _of_known_side(name: str, words: Vocabulary, ledger: Ledger) -> tuple[str, str] | None:
    """ "Fan side bearing cap", once the drive side's was told: the side, and the part."""
    said = name.split()
    if len(said) <= _TWO or said[1] not in {"side", "end"}:
        return None
    rest, axis = " ".join(said[_TWO:]), {said[1]}
    kin = any(words_of(d.part)[:1] == (said[0],) for d in ledger.recent() if d.part)  # "bogie side frames", after the bogie pivot
    if said[1] == "side" and words.role("sided", rest.split()[0]):
        return None  # "trolley side plate"
    told = (said[1] == "side" and not kin) or any(d.place and words.axes(d.place) & axis for d in ledger.same_part(rest))
    return (f"{said[0]} {said[1]}", rest) if told else None


def _twins_told(scene: Scene, words: Vocabulary, ledger: Ledger) -> Scene:
    """ "Back wheel nuts" after the front ones, "the second spindle": "back" right before a part is its place once a front one was told (a back panel
    alone is a name), and an ordinal is a number.
    """
    facts = list(scene.facts)
    for i, fact in enumerate(facts):
        before = next((t for t in scene.tokens if t.start == fact.span[0] and ordinal(t)), None)
        before = before or next((t for t in reversed(scene.tokens) if t.end <= fact.span[0]), None)
        if not isinstance(fact, Part) or fact.place or before is None:
            continue
        back = before.norm == _BACK and any(words.opposite(_BACK) in (d.place or "").split() for d in ledger.same_part(fact.name))
        place = _BACK if back else f"number {ordinal(before)}" if ordinal(before) else None
        if place is None:
            continue
        facts[i] = replace(fact, place=place, span=(before.start, fact.span[1]))
        facts = [_of(f, fact.name, place) if getattr(f, "part", None) == fact.name and not getattr(f, "place", None) else f for f in facts]
    return replace(scene, facts=tuple(facts)) if facts != list(scene.facts) else scene


def _sides_named(scene: Scene, words: Vocabulary, ledger: Ledger) -> Scene:
    """ "Grab cylinder, rod end: lock nut", "base end: 2 bolts": any word with "side" or "end" between pauses is a place of the part before it."""
    for at, token in enumerate(scene.tokens[:-1]):
        noun, behind = scene.tokens[at + 1], scene.tokens[at + 2].norm if at + 2 < len(scene.tokens) else ""
        before = scene.tokens[at - 1].norm if at else ""
        place = f"{token.norm} {noun.norm}"
        plain = token.kind != "word" or words.role("word", token.norm) or token.norm in words.places or place in words.places
        if noun.norm not in {"side", "end"} or plain:
            continue
        placed = _placed_on_side(scene, at, place) or _twin_on_side(scene, at, place, words, ledger)
        if placed is not None:
            return placed
        after_value = any(isinstance(f, Torque) and at and f.span[1] == scene.tokens[at - 1].end for f in scene.facts)
        copied = (at == 0 or after_value) and "same" in scene.line.senses and behind in _SAME_BEHIND
        if not (behind == ":" or copied) or not (before in {"", ",", "."} or after_value):
            continue
        if after_value and not any(isinstance(f, Part) and f.span[0] >= token.start for f in scene.facts):
            part = next((f for f in reversed(scene.facts) if isinstance(f, Part) and f.span[1] <= token.start), None)
            if part is None:
                return scene
            twin = Part(name=part.name, place=place, span=(token.start, noun.end), rule="a side of it was named")
            return replace(scene, facts=tuple(sorted((*scene.facts, twin), key=lambda f: f.span)))
        part = next((f for f in scene.facts if isinstance(f, Part) and before == "," and f.span[1] == scene.tokens[at - 1].start), None)
        current = ledger.current
        name = part.name if part else current.part if current and current.place and words.axes(current.place) & {noun.norm} else None
        if name is None:
            return scene
        named = [f for f in scene.facts if isinstance(f, Part) and (f is part or token.start <= f.span[0] < noun.end)]
        names = {f.name for f in named}
        facts: list[Fact] = [Part(name=name, place=place, span=(part.span[0] if part else token.start, noun.end), rule="a side of it was named")]
        facts += [_of(f, name, place) if getattr(f, "part", None) in names else f for f in scene.facts if f not in named]
        return replace(scene, facts=tuple(sorted(facts, key=lambda f: f.span)))
    return scene


def _twin_on_side(scene: Scene, at: int, place: str, words: Vocabulary, ledger: Ledger) -> Scene | None:
    """ "Fan side bearing cap", once the drive side's was told: the part behind the side is at that side."""
    start, behind = scene.tokens[at].start, scene.tokens[at + 1].end + 1
    part = next((f for f in scene.facts if isinstance(f, Part) and not f.place and f.span[0] == behind), None)
    if part is None:
        return None
    clamp = next((f for f in scene.facts if isinstance(f, Fastener) and not f.count and f.span[0] == part.span[1] + 1), None)
    names = [f"{part.name} {clamp.fastener}", part.name] if clamp else [part.name]
    axis = {scene.tokens[at + 1].norm}
    name = next((n for n in names if any(d.place and words.axes(d.place) & axis for d in ledger.same_part(n))), None)
    if name is None:
        return None
    told = replace(part, name=name, place=place, span=(start, clamp.span[1] if clamp and name != part.name else part.span[1]))
    left = [f for f in scene.facts if not (isinstance(f, Part) and start <= f.span[0] < behind) and not (f is clamp and name != part.name)]
    facts = [told if f is part else _of(f, name, place) if getattr(f, "part", None) == part.name else f for f in left]
    return replace(scene, facts=tuple(sorted(facts, key=lambda f: f.span)))


def _placed_on_side(scene: Scene, at: int, place: str) -> Scene | None:
    """ "Rope clamp on the car side", "rope clamp, car side, three nuts": the side is the place of the part before it."""
    tokens = scene.tokens
    led = at > 1 and tokens[at - 1].norm == "the" and tokens[at - 2].norm in {"on", "at"}
    start = tokens[at - 2].start if led else tokens[at].start
    near = [f for f in scene.facts if isinstance(f, Part) and 0 < start - f.span[1] <= len(", ")]
    clamps = [f for f in scene.facts if isinstance(f, Fastener) and not f.count and 0 < start - f.span[1] <= len(", ")]
    part = near[-1] if near else None
    if part is None and clamps:
        part = next((f for f in reversed(scene.facts) if isinstance(f, Part) and f.span[1] <= clamps[-1].span[1]), None)
    behind = tokens[at + 2] if at + 2 < len(tokens) else None
    goes_on = behind is None or behind.figure is not None or any(isinstance(f, Fastener) and f.span[0] == behind.start for f in scene.facts)
    close = bool(near) and near[-1].span[1] + 1 == tokens[at].start and goes_on
    if part is None or part.place or not (led or close or (at and tokens[at - 1].norm == ",")):
        return None
    span, end = part.span, tokens[at + 1].end
    facts = [f for f in scene.facts if not (isinstance(f, Part) and f is not part and tokens[at].start <= f.span[0] < end)]
    facts = [replace(part, place=place) if f is part else _of(f, part.name, place) if getattr(f, "part", None) == part.name else f for f in facts]
    return replace(scene, facts=tuple(facts)) if span[1] <= tokens[at].start else None


def _of(fact: Fact, part: str, place: str) -> Fact:
    if isinstance(fact, (Torque, Angle, Measure)):
        return replace(fact, part=part, place=place)
    return replace(fact, part=part) if isinstance(fact, Condition) else fact
