"""Parts named like a tool or a fastener: a brake caliper, leg sockets, a clamp beam, a lifting screw, a hinge pin with a nut of its own."""

from __future__ import annotations

from collections.abc import Container
from dataclasses import replace
from itertools import takewhile

from gudgeon.domain import Angle, Fastener, Part, Tool, Torque
from gudgeon.entries.joint_words import singular
from gudgeon.entries.spoken import Scene
from gudgeon.entries.vocabulary import Vocabulary
from gudgeon.notes import Token

_LONGEST_NAME = 4
_PAIR = 2


def pins_with_nuts(scene: Scene) -> Scene:
    """ "Centre pin castle nut, 35 foot pound": a pin that has a nut of its own is the part."""
    pin = next((f for f in scene.facts if isinstance(f, Fastener) and f.fastener == "pin"), None)
    nut = next((f for f in scene.facts if pin and isinstance(f, Fastener) and f.fastener == "nut" and f.span[0] == pin.span[1] + 1), None)
    led = [t for t in scene.tokens if pin and t.end <= pin.span[0]]
    named = any(isinstance(f, Part) and f.span[0] < nut.span[0] for f in scene.facts) if nut else True
    clamp = next((f for f in scene.facts if isinstance(f, Fastener) and f.fastener == "clamp" and not f.count and not f.thread), None)
    held = next((f for f in scene.facts if clamp and isinstance(f, Part) and f.span[1] + 1 == clamp.span[0]), None)
    bolts = next((f for f in scene.facts if clamp and isinstance(f, Fastener) and f.count and f.span[0] > clamp.span[1]), None)
    if (
        clamp
        and held
        and bolts
        and scene.sentence(clamp.span[0]) == scene.sentence(bolts.span[0])
        and {"with", ":"} & set(scene.between(clamp.span[1], bolts.span[0]))
    ):
        name = f"{held.name} clamp"  # "number 1 stock clamp is on with 8 M20 bolts"
        facts = [replace(f, name=name, span=(f.span[0], clamp.span[1])) if f is held else f for f in scene.facts if f is not clamp]
        return replace(scene, facts=tuple(replace(f, part=name) if isinstance(f, (Torque, Angle)) and f.part == held.name else f for f in facts))
    host = next((f for f in scene.facts if pin and isinstance(f, Part) and f.span[1] + 1 == pin.span[0]), None)
    if pin and nut and host and not pin.count and not pin.thread and not any(t.norm.endswith("s") for t in led[-1:]):
        name = f"{host.name} pin"  # "buck hinge pin nut"
        facts = [replace(f, name=name, span=(f.span[0], pin.span[1])) if f is host else f for f in scene.facts if f is not pin]
        return replace(scene, facts=tuple(replace(f, part=name) if isinstance(f, (Torque, Angle)) and f.part == host.name else f for f in facts))
    if pin is None or nut is None or pin.count or named or len(led) != 1 or led[0].kind != "word" or led[0].end + 1 != pin.span[0]:
        return scene
    part = Part(name=f"{led[0].norm} pin", span=(led[0].start, pin.span[1]), rule="a pin with a nut of its own")
    return replace(scene, facts=tuple(sorted((part, *(f for f in scene.facts if f is not pin)), key=lambda f: f.span)))


def parts_named_like_tools(scene: Scene, words: Vocabulary, heads: Container[str]) -> Scene:
    """A brake caliper is a part, not the measuring tool, where it has a place or fasteners and nothing was measured, or was told as a part before."""
    if any(f.kind == "measure" for f in scene.facts):
        return scene
    if not any(isinstance(f, Tool) and words.role("part tool", f.tool) for f in scene.facts):
        return scene
    bolted = any(isinstance(f, Fastener) for f in scene.facts)
    facts = list(scene.facts)
    for i, fact in enumerate(facts):
        if not isinstance(fact, Tool) or fact.size is not None or not words.role("part tool", fact.tool):
            continue
        sides: list[Token] = []
        for token in reversed([t for t in scene.tokens if t.end <= fact.span[0]]):
            if token.norm not in words.alone:
                break
            sides.insert(0, token)
        if bolted or sides or fact.tool in heads:
            start = sides[0].start if sides else fact.span[0]
            place = " ".join(t.norm for t in sides) or None
            facts[i] = Part(name=fact.tool, place=place, span=(start, fact.span[1]), rule="named like a tool")
    return replace(scene, facts=tuple(facts))


def sockets_with_bolts(scene: Scene, words: Vocabulary) -> Scene:
    """ "Leg sockets: 8 bolts": a tool's word in the plural, with a name before it and a colon and fasteners behind it, is a part."""
    for i, fact in enumerate(scene.facts[:-1]):
        behind = scene.facts[i + 1]
        if not isinstance(fact, Tool) or fact.size is not None or not isinstance(behind, Fastener) or not behind.count:
            continue
        at = next((j for j, t in enumerate(scene.tokens) if t.start >= fact.span[0]), 0)
        word = scene.tokens[at]
        short = word.norm not in (fact.tool, fact.tool + "s") and behind.span[0] == word.end + 2  # "chip breaker, 4 bolts": no breaker bar
        pause = scene.tokens[at + 1].norm if at + 1 < len(scene.tokens) else ""
        colon = (pause == ":" or (pause == "," and short)) and word.end == fact.span[1]
        name = scene.tokens[at - 1] if at else None
        opens = at == 1 or (at > 1 and scene.tokens[at - 2].norm == ".")
        if name is None or not (colon and opens and (word.norm.endswith("s") or short) and _can_name(name, scene, words)):
            continue
        part = Part(name=f"{name.norm} {singular(word.norm)}", span=(name.start, word.end), rule="named like a tool")
        return replace(scene, facts=(*scene.facts[:i], part, *scene.facts[i + 1 :]))
    return scene


def parts_named_like_fasteners(scene: Scene, words: Vocabulary) -> Scene:
    """A clamp beam is a beam: a fastener's word at a note's start, uncounted, with the rest of a name behind it."""
    fact = next(iter(scene.facts), None)
    if (
        not isinstance(fact, Fastener)
        or fact.count is not None
        or fact.thread is not None
        or not scene.tokens
        or fact.span[0] > scene.tokens[0].start
    ):
        return scene
    rest = [t for t in scene.tokens if t.start >= fact.span[1]]
    name = list(takewhile(lambda t: _can_name(t, scene, words), rest))
    if not 1 <= len(name) < _LONGEST_NAME or any(t.norm.endswith("s") for t in scene.tokens if t.end <= fact.span[1]):
        return scene
    said = " ".join((*(t.norm for t in scene.tokens if t.end <= fact.span[1]), *(t.norm for t in name[:-1]), singular(name[-1].norm)))
    part = Part(name=said, span=(fact.span[0], name[-1].end), rule="named like a fastener")
    return replace(scene, facts=(part, *scene.facts[1:]))


def screws_with_nuts(scene: Scene) -> Scene:
    """ "Lifting screw, front, top nut 70 Nm": a screw that does something and has a nut of its own is the part."""
    held = [f for f in scene.facts if isinstance(f, Fastener)]
    if len(held) < _PAIR or len(scene.tokens) < _PAIR or not scene.tokens[0].norm.endswith("ing") or held[0].span[0] != scene.tokens[1].start:
        return scene
    screw, nut = held[0], held[1]
    own = nut.fastener == "nut" and screw.fastener != "nut" and scene.sentence(screw.span[0]) == scene.sentence(nut.span[0])
    if (
        not own
        or screw.count
        or screw.thread
        or scene.tokens[1].norm.endswith("s")
        or any(isinstance(f, Part) and f.span[0] < nut.span[0] for f in scene.facts)
    ):
        return scene
    part = Part(name=f"{scene.tokens[0].norm} {screw.fastener}", span=(scene.tokens[0].start, screw.span[1]), rule="a screw with a nut of its own")
    return replace(scene, facts=tuple(sorted((part, *(f for f in scene.facts if f is not screw)), key=lambda f: f.span)))


def _can_name(token: Token, scene: Scene, words: Vocabulary) -> bool:
    if token.kind != "word" or "'" in token.norm or words.role("word", token.norm) or token.norm in words.places or words.role("size", token.norm):
        return False
    return not any(f.span[0] <= token.start < f.span[1] for f in scene.facts)
