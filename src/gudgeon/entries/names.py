"""Parts and fasteners that a note names in ways the reader leaves out: again, by their last word, or by where the name stands."""

from __future__ import annotations

from collections.abc import Container
from dataclasses import replace
from itertools import pairwise

from gudgeon.domain import Angle, Buy, Fact, Fastener, Measure, Part, Question, Todo, Torque
from gudgeon.entries.joint_words import singular
from gudgeon.entries.place_words import ordinal
from gudgeon.entries.spoken import Scene
from gudgeon.entries.vocabulary import NUMBERING, Vocabulary
from gudgeon.notes import Token

_MOST_TWINS = 24
_THINNEST, _THICKEST = 3, 36
"""Metric threads that people name by a bare number, in millimetres (common practice, no source)."""
_LONGEST_NAME = 4
_PAIR = 2
_LETTERED = frozenset("BCDEF")
"""Letters that tell twins apart, beside "A"."""
_DESCRIBED = [[noun, "with", article] for noun in ("thing", "one", "bit") for article in ("the", "a")]
"""Words before what only describes a thing whose name did not come to mind."""
_TOLD = frozenset(("torque", "angle", "measure", "condition"))
_STEPS = frozenset(("step", "stage", "pass", "round", "go", "lap"))
_LIKENED = [["like", "a"], ["like", "an"]]
"""Words before what something is only likened to: "across and across like a clock face"."""
_POINTING = frozenset(("the", "that", "those", "these", "this", "its"))


def is_no_part(part: Part, scene: Scene, words: Vocabulary) -> bool:
    """A place by itself, a word of a joining phrase ("it stays on"), or what only describes one ("the thing with the spring"), is no part."""
    led = [t.norm for t in scene.tokens if t.end <= part.span[0]][-3:]
    if led in _DESCRIBED or (led[-2:] in _LIKENED and "same" not in led):
        return True
    if part.name == "joint" and part.state == "new":
        return True  # a gasket: "new joint, anti-seize"
    first, _, last = part.name.rpartition(" ")
    after = next((t.norm for t in scene.tokens if t.start >= part.span[1]), "")
    if last == "stay" and words.role("hand tool", first.split()[-1] if first else "") and after in {"in", "on", "out", "with", "here"}:
        return True  # "same spanner stays in my hand"
    if last == "felt" and after in {"every", "it", "that", "like", "the", "all"}:
        return True  # "my shoulder felt every one of them"
    if words.role("read", part.name) == "only":
        return True  # "six newton metres on the sticker"
    if part.name in _STEPS:
        return True  # "forty newton metres on the first step"
    plain = all(words.role("word", word) for word in part.name.split())
    behind = next((t.norm for t in scene.tokens if t.start >= part.span[1]), "")
    if plain and (behind == ":" or led[-1:] == ["same"]):
        return True  # "item: motor", "the very same treatment"
    if all(word in words.places or singular(word) in words.places for word in part.name.split()):
        return True
    inside = [t for t in scene.tokens if t.end > part.span[0]][: len(part.name.split()) + 1]
    if len(inside) > 1 and " ".join(t.norm for t in inside[-2:]) in words.alone and part.span[1] <= inside[-2].end:
        return True
    if part.rule.startswith("parts:measured") and all(words.role("word", word) for word in part.name.split()):
        return True
    start, end = part.span
    phrases = (c for c in scene.cues if c.end - c.at > 1)
    return any(scene.tokens[c.at].start <= start and end <= scene.tokens[c.end - 1].end for c in phrases)


def headed_parts(scene: Scene, used: Container[str], words: Vocabulary) -> Scene:
    """ "Pit buffer: foot bolts 120 Nm", "front wheel, axle nut": what is so called is the buffer's foot, the wheel's axle.

    Not where the part is known by its own name already, nor behind a place and a colon, which head all that follows.
    """
    facts = list(scene.facts)
    parts = [f for f in facts if isinstance(f, Part)]
    for heading, part in pairwise(parts):
        said = _POINTING | {"both", *(heading.place or "").split()}
        counted = {t.norm for f in facts if isinstance(f, Fastener) for t in scene.tokens if f.count and t.start == f.span[0]}
        between = [w for w in scene.between(heading.span[1], part.span[0]) if w not in said | counted]
        first = scene.tokens[0].start == heading.span[0]
        colon = next((t.norm for t in scene.tokens if t.start >= part.span[1]), "") == ":"
        placed = bool(part.place) and (heading.place is not None or between != [","] or not colon)  # not "safety gear, left block:"
        if between not in ([":"], [","], ["-"], ["–"]) or not first or (heading.place and between == [":"]) or placed:
            continue
        if len(part.name.split()) > 1 or (part.name in used and not part.place) or part.name in heading.name.split():
            continue
        job = words.role("job", part.name)
        if "part_nouns" not in part.rule or job == "apart" or len(heading.name.split()) >= _LONGEST_NAME:
            continue  # "cross beam: tie bolts" are the beam's
        bolt = next((f for f in facts if isinstance(f, Fastener) and f.span[0] <= part.span[1] + 1 <= f.span[1] and f.span[1] > part.span[1]), None)
        valued = any(isinstance(f, Torque) and f.span[0] == part.span[1] + 1 for f in facts) and words.role("job", part.name) and between == [":"]
        if valued and len(heading.name.split()) < _LONGEST_NAME:
            bolt = Fastener(fastener="fastener", span=part.span, rule="")  # "latch bar: pivot 25 Nm"
        if part.place and any(isinstance(f, (Torque, Fastener)) for f in facts):
            bolt = bolt or Fastener(fastener="fastener", span=part.span, rule="", count=1)
        if bolt is None or (bolt.count is None and between == [","] and not heading.place):
            continue
        name = f"{heading.name if job or part.place else heading.name.split()[-1]} {part.name}"
        told = replace(part, name=name, place=heading.place or part.place)
        facts = [told if f is part else f for f in facts if f is not heading]
        facts = [replace(f, part=name) if isinstance(f, (Torque, Angle)) and f.part in (part.name, heading.name) else f for f in facts]
        return replace(scene, facts=tuple(facts))
    return scene


def said_again(scene: Scene) -> list[Fastener]:
    """Fasteners named again in the same note ("2 bolts, 1 nut. Bolts 50 Nm"), which the reader reports once."""
    said = {f.fastener for f in scene.facts if isinstance(f, Fastener)}
    covered = [f.span for f in scene.facts if isinstance(f, (Part, Fastener, Buy, Todo, Question))]
    found: list[Fastener] = []
    for i, token in enumerate(scene.tokens):
        kind = singular(token.norm) if token.kind == "word" else ""
        if kind not in said or any(start <= token.start < end for start, end in covered):
            continue
        figure = scene.tokens[i - 1].figure if i and not any(f.span[1] > scene.tokens[i - 1].start >= f.span[0] for f in scene.facts) else None
        count = int(figure.value) if figure is not None and figure.form == "cardinal" and figure.value == int(figure.value) else None
        start = scene.tokens[i - 1].start if count else token.start
        found.append(Fastener(fastener=kind, span=(start, token.end), rule="said again", count=count))
    return found


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
    always = not scene.line.senses.isdisjoint(("correct", "correct start"))
    told = any(f.kind in _TOLD for f in scene.facts) or ("not value" in scene.line.senses and any(t.figure for t in scene.tokens))
    first = scene.tokens[0] if scene.tokens else None
    sided = first is not None and (ordinal(first) is not None or first.norm in words.places)
    pointed, places, name = always or told or sided, list[Token](), list[Token]()
    before: Token | None = None
    for token in scene.tokens:
        word = singular(token.norm) if token.kind == "word" else ""
        covers = next((f for f in scene.facts if f.span[0] <= token.start < f.span[1]), None)
        inner = isinstance(covers, Fastener) and (token.end < covers.span[1] or (bool(name) and not covers.count))
        free = bool(word) and (covers is None or inner)
        if pointed and free and word in heads and not (found and found[-1].span[1] > token.start):
            said = " ".join(singular(t.norm) for t in (*name, token))
            place = " ".join(f"number {n}" if (n := ordinal(t)) else t.norm for t in places) or None
            found.append(Part(name=said, place=place, span=((places or name or [token])[0].start, token.end), rule="named again"))
        number = _twin_number(scene, token) if free and word in heads else None
        if number is not None and not (found and found[-1].span[1] > token.start):
            found.append(Part(name=word, place=f"number {number}", span=(token.start, token.end), rule="named again"))
        if token.norm in _POINTING or (token.norm == "'s" and before is not None and before.figure) or (told and token.norm in {".", ";"}):
            pointed, places, name = True, [], []
        elif pointed and not name and (token.norm in words.places or ordinal(token)):
            places.append(token)
        elif pointed and free and word in used:
            name.append(token)
        else:
            pointed, places, name = always, [], []
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


def lettered_parts(scene: Scene) -> Scene:
    """ "Flange B: four bolts": a capital letter right behind a part tells it from its twin, as a place does."""
    facts = list(scene.facts)
    for i, fact in enumerate(facts):
        if not isinstance(fact, Part) or fact.place is not None:
            continue
        name, _, last = fact.name.rpartition(" ")
        held = next((t for t in scene.tokens if t.end == fact.span[1]), None)
        behind = next((t for t in scene.tokens if t.start == fact.span[1] + 1), None)
        letter = held if name and len(last) == 1 else behind
        if letter is None or not (letter.text in _LETTERED or (letter.text == "A" and not _is_shouted(scene))):
            continue
        plain = name if letter is held else fact.name
        facts[i] = replace(fact, name=plain, place=letter.text, span=(fact.span[0], letter.end))
        facts = [_lettered(f, fact, plain, letter.text) for f in facts]
    return replace(scene, facts=tuple(facts)) if facts != list(scene.facts) else scene


def _is_shouted(scene: Scene) -> bool:
    """Whether a note is written in capitals, so that "A" may be an article."""
    return all(t.text == t.text.upper() for t in scene.tokens)


def _lettered(fact: Fact, part: Part, name: str, place: str) -> Fact:
    """A value said of the part stands at the lettered one, when it was the last one named before it."""
    said_of = isinstance(fact, (Torque, Angle, Measure)) and fact.part == part.name and fact.place is None and fact.span[0] > part.span[0]
    return replace(fact, part=name, place=place) if said_of and isinstance(fact, (Torque, Angle, Measure)) else fact


def its_parts(scene: Scene) -> Scene:
    """ "New pulley pin in, its keeper screw 5 Nm": the keeper is that of the part named before it in the sentence."""
    for part in [f for f in scene.facts if isinstance(f, Part)]:
        led = [t for t in scene.tokens if t.end <= part.span[0]][-2:]
        before = next((t.norm for t in reversed(led) if t.figure is None), "")
        here = scene.sentence(part.span[0])
        whole = [f for f in scene.facts if isinstance(f, Part) and f.span[1] < part.span[0] and scene.sentence(f.span[0]) == here]
        bolted = any(isinstance(f, Fastener) and f.span[0] <= part.span[1] + 1 <= f.span[1] for f in scene.facts)
        owned = before == "'s" and bool(whole) and whole[-1].span[1] + 2 >= part.span[0] - 1
        if (before != "its" and not owned) or not whole or not bolted or part.place or " " in part.name:
            continue
        name = f"{whole[-1].name} {part.name}"
        facts = [replace(f, part=name) if isinstance(f, (Torque, Angle, Measure)) and f.part == part.name else f for f in scene.facts]
        return replace(scene, facts=tuple(replace(part, name=name, place=whole[-1].place) if f is part else f for f in facts))
    return scene


def _twin_number(scene: Scene, token: Token) -> int | None:
    """The number of a part that was told before: "cap two the same", "arm number two", "number one arm"."""
    at = next(i for i, t in enumerate(scene.tokens) if t is token)
    marked = at + 1 < len(scene.tokens) and scene.tokens[at + 1].norm in NUMBERING
    led = at > 1 and scene.tokens[at - 2].norm in NUMBERING
    figure = scene.tokens[at - 1] if led else scene.tokens[at + 1 + marked] if at + 1 + marked < len(scene.tokens) else None
    behind = scene.tokens[at + 2].norm if at + 2 < len(scene.tokens) else ""
    if not (marked or led or ("same" in scene.line.senses and behind != "'s")):
        return None
    if figure is None or figure.figure is None or figure.figure.form != "cardinal" or not 0 < figure.figure.value <= _MOST_TWINS:
        return None
    return int(figure.figure.value)
