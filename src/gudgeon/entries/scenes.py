"""From a note's text and facts to a scene: what it says for sure, what it only asks or plans, and its joining words."""

from __future__ import annotations

from collections.abc import Container
from dataclasses import replace

from gudgeon.domain import Buy, Fact, Fastener, Part, Question, ReadNote, Todo
from gudgeon.entries.joint_words import singular
from gudgeon.entries.mentions import ASIDES, Mention, Scene, Sorter
from gudgeon.entries.places import bare_places
from gudgeon.entries.tools import kept_for
from gudgeon.entries.vocabulary import ReadTokens, Vocabulary

_POINTING = frozenset(("the", "that", "those", "these", "this", "its"))
_SIDES = frozenset(("left", "right", "front", "rear", "upper", "lower", "inner", "outer"))


def build_scene(index: int, note: ReadNote, words: Vocabulary, read: ReadTokens, known: Container[str] = frozenset()) -> Scene:
    """The scene of a note. Parts and fasteners inside a question, a plan or a thing to buy are put aside; values never are.

    ``known`` holds what the session's parts are ("lid", "bracket"), so that "that bracket" is understood when the reader left it out.
    """
    tokens = tuple(read(note.text))
    facts = tuple(sorted(note.facts, key=lambda f: f.span))
    scene = Scene(index, note.text, tokens, facts, words.cues(tokens), (), ())
    facts = tuple(f for f in facts if not (isinstance(f, Part) and _is_no_part(f, scene, words)))
    scene = replace(scene, facts=tuple(sorted((*facts, *_echoes(scene), *_parts_again(scene, known)), key=lambda f: f.span)))
    facts = scene.facts
    aside = [f for f in facts if isinstance(f, (Part, Fastener)) and _is_aside(f, scene)]
    live = tuple(f for f in facts if f not in aside)
    scene = replace(scene, facts=live)
    sorter = Sorter(scene, words)
    mentions = sorter.run(bare_places(tokens, live, words))
    aside_scene = replace(scene, facts=tuple(aside))
    asides = Sorter(aside_scene, words).run(()) if aside else ()
    return replace(scene, mentions=mentions, asides=asides, secondary=frozenset(sorter.secondary))


def _is_no_part(part: Part, scene: Scene, words: Vocabulary) -> bool:
    """A place by itself, or a word of a joining phrase ("it stays on"), is no part."""
    if all(word in words.places for word in part.name.split()):
        return True
    start, end = part.span
    phrases = (c for c in scene.cues if c.end - c.at > 1)
    return any(scene.tokens[c.at].start <= start and end <= scene.tokens[c.end - 1].end for c in phrases)


def _echoes(scene: Scene) -> list[Fastener]:
    """Fasteners named again in the same note ("2 bolts, 1 nut. Bolts 50 Nm"), which the reader reports once."""
    said = {f.fastener for f in scene.facts if isinstance(f, Fastener)}
    covered = [f.span for f in scene.facts if isinstance(f, (Part, Fastener, Buy, Todo, Question))]
    return [
        Fastener(fastener=singular(t.norm), span=(t.start, t.end), rule="said again")
        for t in scene.tokens
        if t.kind == "word" and singular(t.norm) in said and not any(start <= t.start < end for start, end in covered)
    ]


def _parts_again(scene: Scene, known: Container[str]) -> list[Part]:
    """Parts of the session pointed at again, by their last word alone, behind "the", "that", "those" or a place."""
    found: list[Part] = []
    pointing = False
    for token in scene.tokens:
        head = singular(token.norm) if token.kind == "word" else ""
        if pointing and head in known and not any(f.span[0] <= token.start < f.span[1] for f in scene.facts):
            found.append(Part(name=head, span=(token.start, token.end), rule="named again"))
        pointing = token.norm in _POINTING or (pointing and bool(token.norm in _SIDES))
    return found


def _is_aside(fact: Part | Fastener, scene: Scene) -> bool:
    if isinstance(fact, Part) and kept_for(scene, fact):
        return True
    start, end = fact.span
    inside = any(isinstance(f, ASIDES) and f.span[0] <= start and end <= f.span[1] for f in scene.facts)
    return inside and not _serves_value(fact, scene)


def _serves_value(fact: Part | Fastener, scene: Scene) -> bool:
    """Whether a value applied in this note was said of this part, so that it is no mere plan."""
    if isinstance(fact, Fastener):
        return any(f.kind in {"torque", "angle", "condition"} for f in scene.facts)
    return any(getattr(f, "part", None) == fact.name for f in scene.facts if not isinstance(f, (Part, Fastener)))


def asked_mention(scene: Scene) -> Mention | None:
    """The joint a question of this note is about, or None when it names none."""
    spans = [f.span for f in scene.facts if isinstance(f, Question)]
    inside = (m for m in (*scene.asides, *scene.mentions) if any(start <= m.start < end for start, end in spans))
    return next((m for m in inside if m.part or m.fastener), None)


def live_values(scene: Scene) -> list[Fact]:
    """The facts that can stand in an entry, in the order they were said."""
    return [f for f in scene.facts if f.kind in {"torque", "angle", "measure", "condition"}]
