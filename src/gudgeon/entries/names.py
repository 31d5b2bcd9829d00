"""Parts and fasteners that a note names in ways the reader leaves out: again, by their last word, or by where the name stands."""

from __future__ import annotations

from collections.abc import Callable, Container
from dataclasses import replace
from itertools import pairwise, takewhile

from gudgeon.domain import Buy, Fastener, Part, Question, Todo, Tool, Torque
from gudgeon.entries.joint_words import singular
from gudgeon.entries.mentions import ASIDES, Scene
from gudgeon.entries.vocabulary import Vocabulary
from gudgeon.notes import Token

_LEAD_IN = 2
_MORE_WORDS = 2
_MOST_TWINS = 24
_THINNEST, _THICKEST = 3, 36
"""Metric threads that people name by a bare number, in millimetres (common practice, no source)."""
_LONGEST_NAME = 4
_POINTING = frozenset(("the", "that", "those", "these", "this", "its"))


def is_no_part(part: Part, scene: Scene, words: Vocabulary) -> bool:
    """A place by itself, or a word of a joining phrase ("it stays on"), is no part."""
    if all(word in words.places for word in part.name.split()):
        return True
    start, end = part.span
    phrases = (c for c in scene.cues if c.end - c.at > 1)
    return any(scene.tokens[c.at].start <= start and end <= scene.tokens[c.end - 1].end for c in phrases)


def said_again(scene: Scene) -> list[Fastener]:
    """Fasteners named again in the same note ("2 bolts, 1 nut. Bolts 50 Nm"), which the reader reports once."""
    said = {f.fastener for f in scene.facts if isinstance(f, Fastener)}
    covered = [f.span for f in scene.facts if isinstance(f, (Part, Fastener, Buy, Todo, Question))]
    return [
        Fastener(fastener=singular(t.norm), span=(t.start, t.end), rule="said again")
        for t in scene.tokens
        if t.kind == "word" and singular(t.norm) in said and not any(start <= t.start < end for start, end in covered)
    ]


def counted_threads(scene: Scene) -> list[Fastener]:
    """Fasteners named by count and size alone, in a note that says a value of them: "the eight tens are twenty five"."""
    if not any(f.kind in {"torque", "angle", "tool"} for f in scene.facts):
        return []
    found: list[Fastener] = []
    for count, size in pairwise(scene.tokens):
        thread = _thread_of(size)
        if thread is None or count.figure is None or count.figure.form != "cardinal":
            continue
        covered = any(f.span[0] < size.end and count.start < f.span[1] for f in scene.facts)
        if not covered and count.figure.value == int(count.figure.value):
            span = (count.start, size.end)
            found.append(Fastener(fastener="fastener", span=span, rule="count and size", count=int(count.figure.value), thread=thread))
    return found


def _thread_of(token: Token) -> str | None:
    """The thread that "tens" or "M12s" means."""
    if token.thread is not None:
        return token.thread.name if token.norm.endswith("s") else None
    if token.figure is not None and token.figure.form == "plural" and _THINNEST <= token.figure.value <= _THICKEST:
        return f"M{token.figure.value:g}"
    return None


def parts_again(scene: Scene, heads: Container[str], used: Container[str], words: Vocabulary) -> list[Part]:
    """Parts of the session pointed at again behind "the", "that", "those": by their last word (``heads``) and words of their names (``used``)."""
    found: list[Part] = []
    pointed, places, name = False, list[Token](), list[Token]()
    before: Token | None = None
    for token in scene.tokens:
        word = singular(token.norm) if token.kind == "word" else ""
        free = bool(word) and not any(f.span[0] <= token.start < f.span[1] for f in scene.facts)
        if pointed and free and word in heads and not (found and found[-1].span[1] > token.start):
            said = " ".join(singular(t.norm) for t in (*name, token))
            place = " ".join(t.norm for t in places) or None
            found.append(Part(name=said, place=place, span=((places or name or [token])[0].start, token.end), rule="named again"))
        number = _twin_number(scene, token) if free and word in heads and "same" in scene.line.senses else None
        if number is not None and not (found and found[-1].span[1] > token.start):
            found.append(Part(name=word, place=f"number {number}", span=(token.start, token.end), rule="named again"))
        if token.norm in _POINTING or (token.norm == "'s" and before is not None and before.figure):
            pointed, places, name = True, [], []
        elif pointed and token.norm in words.places and not name:
            places.append(token)
        elif pointed and free and word in used:
            name.append(token)
        else:
            pointed, places, name = False, [], []
        before = token
    return found


def numbered_parts(scene: Scene) -> Scene:
    """ "Bearing cap one two nuts" is cap number 1 with two nuts: a number right behind a part, run together with the count."""
    facts = list(scene.facts)
    for i, (part, fastener) in enumerate(pairwise(scene.facts)):
        if not (isinstance(part, Part) and isinstance(fastener, Fastener)) or part.place is not None:
            continue
        run = next((t for t in scene.tokens if t.start == part.span[1] + 1), None)
        pieces = run.figure.splits[0] if run is not None and run.figure and run.figure.splits else ()
        if len(pieces) != 2 or max(p.value for p in pieces) > _MOST_TWINS or fastener.span[0] not in {p.start for p in pieces}:
            continue
        if run is not None and fastener.count in {run.value, pieces[1].value}:
            facts[i] = replace(part, place=f"number {pieces[0].value:g}")
            facts[i + 1] = replace(fastener, count=int(pieces[1].value), span=(pieces[1].start, fastener.span[1]))
    return replace(scene, facts=tuple(facts)) if facts != list(scene.facts) else scene


def parts_named_like_tools(scene: Scene, words: Vocabulary) -> Scene:
    """A brake caliper is a part, not the measuring tool, where it has a place or fasteners and nothing was measured."""
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
        if bolted or sides:
            start = sides[0].start if sides else fact.span[0]
            place = " ".join(t.norm for t in sides) or None
            facts[i] = Part(name=fact.tool, place=place, span=(start, fact.span[1]), rule="named like a tool")
    return replace(scene, facts=tuple(facts))


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
    if not 1 <= len(name) < _LONGEST_NAME or scene.tokens[0].norm.endswith("s"):
        return scene
    said = " ".join((*(t.norm for t in scene.tokens if t.end <= fact.span[1]), *(t.norm for t in name[:-1]), singular(name[-1].norm)))
    part = Part(name=said, span=(fact.span[0], name[-1].end), rule="named like a fastener")
    return replace(scene, facts=(part, *scene.facts[1:]))


def longer_name(scene: Scene, words: Vocabulary) -> Scene:
    """The first part of a note with the words that stand before it at the note's start: "pug mill auger coupling"."""
    part = next((f for f in scene.facts if isinstance(f, Part)), None)
    if part is None or part.place is not None:
        return scene
    before = [t for t in scene.tokens if t.end <= part.span[0]]
    if not before or not _can_name(before[-1], scene, words):
        return scene
    more = _name_at_end(before, scene, words)
    if not more or more[0].place or len(more[0].name.split()) > _MORE_WORDS:
        return scene
    start = more[0].span[0]
    said = scene.between(start, part.span[0])
    longer = replace(part, name=" ".join((*said, part.name)), span=(start, part.span[1]))
    return replace(scene, facts=tuple(longer if f is part else f for f in scene.facts))


def _twin_number(scene: Scene, token: Token) -> int | None:
    """The number right behind a part's name: "cap two the same"."""
    after = next((t for t in scene.tokens if t.start > token.start), None)
    if after is None or after.figure is None or after.figure.form != "cardinal" or not 0 < after.figure.value <= _MOST_TWINS:
        return None
    return int(after.figure.value)


def named_by_shape(scene: Scene, words: Vocabulary) -> list[Part]:
    """A part that no list knows, named by where it stands: "feed dog two screws", "presser foot next", "now the shuttle race"."""
    if any(isinstance(f, ASIDES) for f in scene.facts):
        return []
    headed = _headed(scene, words)
    if headed:
        return headed
    fastener = next((f for f in scene.facts if isinstance(f, Fastener)), None)
    jobs = _named_by_job(scene, words)
    if jobs:
        return jobs
    parts = [f.span[0] for f in scene.facts if isinstance(f, Part)]
    if fastener is not None:
        return _before_fastener(fastener, scene, words) if not any(start < fastener.span[1] for start in parts) else []
    return _opened(scene, words) if not parts else []


def _headed(scene: Scene, words: Vocabulary) -> list[Part]:
    """A name that a note opens with before a colon: "Left wing root: two main pins"."""
    colon = next((i for i, t in enumerate(scene.tokens) if t.norm == ":"), None)
    if colon is None or not any(f.kind in {"fastener", "torque"} for f in scene.facts):
        return []
    if any(isinstance(f, Part) and f.span[0] < scene.tokens[colon].start for f in scene.facts):
        return []
    return _name_at_end(list(scene.tokens[:colon]), scene, words)


def _named_by_job(scene: Scene, words: Vocabulary) -> list[Part]:
    """Later fasteners of a note, each behind a value and told by its job: "pivot bolt 40 Nm, adjuster bolt 22 Nm"."""
    found: list[Part] = []
    fasteners = [f for f in scene.facts if isinstance(f, Fastener)]
    values = [f.span for f in scene.facts if isinstance(f, Torque)]
    for fastener in [*fasteners[1:], *said_again(scene)]:
        start = max((end for _, end in values if end <= fastener.span[0]), default=None)
        if start is None or any(isinstance(f, Part) and start <= f.span[0] <= fastener.span[0] for f in scene.facts):
            continue
        between = [t for t in scene.tokens if start <= t.start and t.end <= fastener.span[0]]
        while between and (between[0].kind == "punct" or between[0].norm in {"and", "then", "the"}):
            between.pop(0)
        if 1 <= len(between) <= _MORE_WORDS and all(_can_name(t, scene, words) for t in between):
            said = " ".join(t.norm for t in between)
            found.append(Part(name=said, span=(between[0].start, between[-1].end), rule="named by its job"))
    return found


def names_in_full(scene: Scene, part_of: Callable[[str], tuple[str, ...] | None], heads: Container[str]) -> Scene:
    """A part named with one word fewer than before, where the word follows: "the right main bearing" with "cap" behind it."""
    facts = list(scene.facts)
    for i, fact in enumerate(facts):
        after = next((t for t in scene.tokens if t.start >= fact.span[1]), None)
        if not isinstance(fact, Part) or after is None or singular(after.norm) not in heads or after.start - fact.span[1] != 1:
            continue
        said = f"{fact.name} {singular(after.norm)}"
        if part_of(said) == tuple(singular(w) for w in said.split()) and not any(f.span[0] <= after.start < f.span[1] for f in facts):
            facts[i] = replace(fact, name=said, span=(fact.span[0], after.end))
    return replace(scene, facts=tuple(facts)) if facts != list(scene.facts) else scene


def _before_fastener(fastener: Fastener, scene: Scene, words: Vocabulary) -> list[Part]:
    before = [t for t in scene.tokens if t.end <= fastener.span[0]]
    while before and (before[-1].kind == "punct" or words.role("join", before[-1].norm)):
        before.pop()
    counted = any(t.kind == "figure" for t in scene.tokens if fastener.span[0] <= t.start < fastener.span[1])
    found = _name_at_end(before, scene, words)
    pointed = bool(found) and any(t.norm in _POINTING and t.end < found[0].span[0] and t.end + 2 > found[0].span[0] for t in scene.tokens)
    return found if counted or pointed else []


def _opened(scene: Scene, words: Vocabulary) -> list[Part]:
    """A name between the start of the note and "next", or between "now the" and a pause."""
    for cue in scene.cues:
        if cue.sense in {"names last", "names waiting"} and cue.at > 0:
            return _name_at_end(list(scene.tokens[: cue.at]), scene, words)
        if cue.sense == "open" and scene.tokens[cue.at].norm == "next" and _pauses(scene, cue.end):
            return _name_at_end(list(scene.tokens[: cue.at]), scene, words)
        if cue.sense == "open" and cue.at < _LEAD_IN:
            start = next((i for i in range(cue.end, len(scene.tokens)) if scene.tokens[i].norm not in _POINTING), len(scene.tokens))
            end = next((i for i in range(start, len(scene.tokens)) if not _can_name(scene.tokens[i], scene, words)), len(scene.tokens))
            if start > cue.end and end > start and _pauses(scene, end):
                return _name_at_end(list(scene.tokens[start:end]), scene, words)
    return []


def _pauses(scene: Scene, at: int) -> bool:
    return at >= len(scene.tokens) or scene.tokens[at].kind in {"punct", "figure"}


def _name_at_end(tokens: list[Token], scene: Scene, words: Vocabulary) -> list[Part]:
    """The name that the tokens end with, when everything before it is only leading in."""
    name: list[Token] = []
    while tokens and tokens[-1].kind == "punct":
        tokens.pop()
    while tokens and _can_name(tokens[-1], scene, words):
        name.insert(0, tokens.pop())
    plain = all(t.kind == "punct" or words.role("word", t.norm) or t.norm in words.places for t in tokens)
    if not (plain and 1 <= len(name) <= _LONGEST_NAME):
        return []
    said = " ".join((*(t.norm for t in name[:-1]), singular(name[-1].norm)))
    start, sides = name[0].start, list[str]()
    while tokens and tokens[-1].norm in words.places:
        start = tokens[-1].start
        sides.insert(0, tokens.pop().norm)
    return [Part(name=said, place=" ".join(sides) or None, span=(start, name[-1].end), rule="named by its shape")]


def _can_name(token: Token, scene: Scene, words: Vocabulary) -> bool:
    if token.kind != "word" or "'" in token.norm or words.role("word", token.norm) or token.norm in words.places or words.role("size", token.norm):
        return False
    return not any(f.span[0] <= token.start < f.span[1] for f in scene.facts)
