"""From a note's text and facts to a scene: what it says for sure, what it only asks or plans, and its joining words."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from gudgeon.domain import Angle, Condition, Fact, Fastener, Measure, Part, Question, ReadNote, Torque
from gudgeon.entries.joint_words import singular
from gudgeon.entries.ledger import Ledger
from gudgeon.entries.lines import Line
from gudgeon.entries.mentions import Sorter
from gudgeon.entries.names import (
    counted_threads,
    headed_parts,
    is_no_part,
    its_parts,
    lettered_parts,
    numbered_parts,
    parts_again,
    parts_named_like_fasteners,
    parts_named_like_tools,
    said_again,
    screws_with_nuts,
    sockets_with_bolts,
)
from gudgeon.entries.places import BarePlace, bare_places, ordinal
from gudgeon.entries.shapes import unknown_before, unknown_name, with_names
from gudgeon.entries.spoken import ASIDES, Mention, Scene
from gudgeon.entries.tools import kept_for
from gudgeon.entries.vocabulary import Vocabulary

_TALK = "right"
_BACK = "back"
_OPENING = frozenset(("first", "next", "now", "then"))
_RECENT = 12
_HEADING = 5
"""Words before a colon that can be a name, at most."""
_TWO = 2
_SAME_BEHIND = frozenset(("the", "same", "likewise", "ditto", "identical", "identically", "as", "too"))
_LOOKED = frozenset(("inside", "behind", "under", "underneath", "beneath"))


def build_scene(index: int, note: ReadNote, words: Vocabulary, line: Line, ledger: Ledger) -> Scene:
    """The scene of a note. Parts and fasteners inside a question, a plan or a thing to buy are put aside; values never are.

    ``ledger`` knows the session's parts, so that "that bracket" is understood when the reader left it out.
    """
    scene = Scene(index, line, tuple(sorted(note.facts, key=_span)), (), ())
    scene = _without_no_parts(scene, words)
    scene = _sides_named(_twins_told(_split_places(scene, words, ledger), words, ledger), words, ledger)
    scene = lettered_parts(scene)
    scene = its_parts(sockets_with_bolts(screws_with_nuts(scene), words))
    scene = _ends_placed(_place_in_heading(scene, words), words)
    scene = headed_parts(scene, ledger.used_words, words)
    scene = numbered_parts(parts_named_like_fasteners(parts_named_like_tools(scene, words, ledger.heads), words))
    more: list[Fact] = [*said_again(scene), *counted_threads(scene), *parts_again(scene, ledger.heads, ledger.used_words, words)]
    scene = _with_facts(scene, sorted((*scene.facts, *more), key=_span))
    scene = lettered_parts(with_names(lettered_parts(scene) if more else scene, words, ledger))
    aside = [f for f in scene.facts if isinstance(f, (Part, Fastener)) and _is_aside(f, scene)]
    live = _with_facts(scene, [f for f in scene.facts if f not in aside])
    sorter = Sorter(live, words)
    kept_at = next((line.tokens[c.at].start for c in line.cues if c.sense == "keep"), None)
    places = [p for p in bare_places(line.tokens, live.facts, words) if (kept_at is None or p.span[0] < kept_at) and not _is_talk(p, line, ledger)]
    named = sorter.run(places)
    mentions = tuple(
        m for m in named if m.part or m.fastener or m.size or ledger.knows_place(m.place) or _is_one(m, line) or _has_twin(m, named, words)
    )
    mentions = tuple(_without_talk(m, scene, ledger) for m in named)
    mentions = tuple(_under_heading(m, scene, ledger) for m in mentions) if len(mentions) == 1 else mentions
    mentions = _of_the_heading(mentions, live) if len(mentions) > 1 else mentions
    asides = Sorter(_with_facts(scene, aside), words).run(()) if aside else ()
    unknown = None if asides or any(m.part or m.place or m.size for m in mentions) else unknown_name(live, words, ledger)
    if not asides and mentions and all(_is_place_alone(m) for m in mentions) and unknown_before(live, words, ledger, mentions[0].start):
        mentions, unknown = (), unknown_name(live, words, ledger)
    mentions = tuple(replace(m, stranger=unknown) for m in mentions) if unknown else mentions
    return Scene(index, line, live.facts, mentions, asides, frozenset(sorter.secondary), unknown)


def _split_places(scene: Scene, words: Vocabulary, ledger: Ledger) -> Scene:
    """ "The bottom bracket" is the bracket at the bottom once a top bracket was told."""
    facts = list(scene.facts)
    for i, fact in enumerate(facts):
        if isinstance(fact, Part) and not fact.place and (sided := _of_known_side(fact.name, words, ledger)):
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
    told = said[1] == "side" or any(d.place and words.axes(d.place) & axis for d in ledger.same_part(rest))
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
            return replace(scene, facts=tuple(sorted((*scene.facts, twin), key=_span)))
        part = next((f for f in scene.facts if isinstance(f, Part) and before == "," and f.span[1] == scene.tokens[at - 1].start), None)
        current = ledger.current
        name = part.name if part else current.part if current and current.place and words.axes(current.place) & {noun.norm} else None
        if name is None:
            return scene
        named = [f for f in scene.facts if isinstance(f, Part) and (f is part or token.start <= f.span[0] < noun.end)]
        names = {f.name for f in named}
        facts: list[Fact] = [Part(name=name, place=place, span=(part.span[0] if part else token.start, noun.end), rule="a side of it was named")]
        facts += [_of(f, name, place) if getattr(f, "part", None) in names else f for f in scene.facts if f not in named]
        return replace(scene, facts=tuple(sorted(facts, key=_span)))
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
    return replace(scene, facts=tuple(sorted(facts, key=_span)))


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


def _without_no_parts(scene: Scene, words: Vocabulary) -> Scene:
    """The note without the parts that are none; what was said of one of them is said of no part."""
    none = [f for f in scene.facts if isinstance(f, Part) and is_no_part(f, scene, words)]
    named = {f.name for f in none} - {f.name for f in scene.facts if isinstance(f, Part) and f not in none}
    left = (f for f in scene.facts if f not in none)
    facts = [replace(f, part=None) if isinstance(f, (Torque, Angle, Measure, Condition)) and f.part in named else f for f in left]
    return _with_facts(scene, facts)


def _is_one(mention: Mention, line: Line) -> bool:
    """Whether a place alone points at one of several: "inner one 16 Nm"."""
    after = next((t.norm for t in line.tokens if t.start >= mention.end), "")
    return mention.place is not None and after in {"one", "ones"}


def _has_twin(mention: Mention, named: Sequence[Mention], words: Vocabulary) -> bool:
    """Whether a place alone stands beside its opposite: "eleven newton metres front and nine newton metres rear"."""
    across = words.opposite(mention.place) if mention.place else None
    return across is not None and any(m.place == across for m in named)


def _without_talk(mention: Mention, scene: Scene, ledger: Ledger) -> Mention:
    """ "Right motor first" opens a job, unless a left motor was spoken of: then it is the right one."""
    tokens = scene.tokens
    led = next((t for t in reversed(tokens) if t.end <= mention.start), None)
    inside = [t for t in tokens if mention.start <= t.start < mention.end]
    if mention.part and not mention.place and "first" in {t.norm for t in (led, *inside) if t is not None}:
        return replace(mention, maybe_place="number 1")
    if mention.place != _TALK or not mention.part or mention.start != tokens[0].start or tokens[0].norm != _TALK:
        return mention
    if len(tokens) > 1 and tokens[1].norm in {"hand", "side"}:
        return mention
    opens = any(t.norm in _OPENING for t in tokens if mention.start < t.start and scene.sentence(t.start) == 0)
    if not opens or _is_sided(ledger) or ledger.same_part(mention.part, _TALK):
        return mention
    return replace(mention, place=None, maybe_place=_TALK)


def _under_heading(mention: Mention, scene: Scene, ledger: Ledger) -> Mention:
    """ "Pole 5 ditto", after "pole 4 roller bracket": the roller bracket of pole 5."""
    current = ledger.current
    if not mention.part or mention.fastener or not scene.has("same") or current is None or current.part is None or not current.place:
        return mention
    numbered = (mention.place or "").startswith("number") and current.place.startswith("number")
    heads = mention.part in ledger.headings and not ledger.same_part(mention.part) and current.part != mention.part
    return replace(mention, part=None, by_place=True) if numbered and heads else mention


def _of_the_heading(mentions: tuple[Mention, ...], scene: Scene) -> tuple[Mention, ...]:
    """ "Hanger 17 grip: spring 62 mm. Clamp bolt 48 Nm": the bolt is the grip's, not that of the spring, of which only a size was told."""
    colon = next((t.start for t in scene.tokens if t.norm == ":"), None)
    if colon is None or not mentions[0].part or mentions[0].end > colon or mentions[0].fastener:
        return mentions
    head, found = mentions[0], [mentions[0]]
    for this in mentions[1:]:
        named = next((f for f in scene.facts if isinstance(f, Part) and f.name == this.part), None)
        bolt = this.fastener
        sized = named and bolt and any(isinstance(f, Measure) and named.span[1] <= f.span[0] < bolt.span[0] for f in scene.facts)
        if bolt is None or not sized or this.part == head.part:
            found.append(this)
            continue
        found.append(replace(this, fastener=None, end=bolt.span[0] - 1))
        found.append(Mention(*bolt.span, part=head.part, place=head.place, fastener=bolt, some=this.some))
    return tuple(found)


def _is_place_alone(mention: Mention) -> bool:
    return bool(mention.by_place and mention.place and not (mention.part or mention.fastener or mention.size))


def _is_talk(place: BarePlace, line: Line, ledger: Ledger) -> bool:
    """ "Right same again on the cover": no side, where none was spoken of; "left the same" neither; nor is a bolt's number a place."""
    if _counts_bolt(place, line, ledger):
        return True
    first = place.span[0] == line.tokens[0].start and place.place == _TALK and len(line.tokens) > 1
    if first and line.tokens[1].norm == "," and not _is_sided(ledger):
        return True  # "right, lock nuts then"
    tokens, words = line.tokens, {_TALK, ledger.words.opposite(_TALK)}
    starts = place.span[0] == tokens[0].start and place.place in words and len(tokens) > 1 and tokens[1].norm in {"the", "same"}
    return starts and "same" in line.senses and not _is_sided(ledger)


def _counts_bolt(place: BarePlace, line: Line, ledger: Ledger) -> bool:
    """Whether one of the fasteners is meant, and no other joint: "the third one is stripped", of three bolts."""
    current = ledger.current
    nth = next((ordinal(t) for t in line.tokens if t.start == place.span[0]), None)
    if nth is None or current is None or not current.fastener or not current.count or (current.place or "").startswith("number"):
        return False
    return nth <= current.count


def _is_sided(ledger: Ledger) -> bool:
    """Whether a left or a right one was spoken of lately."""
    return any(d.place and ledger.words.axes(d.place) & ledger.words.axes(_TALK) for d in ledger.drafts[-_RECENT:])


def _span(fact: Fact) -> tuple[int, int]:
    return fact.span


def _with_facts(scene: Scene, facts: Sequence[Fact]) -> Scene:
    return scene if len(facts) == len(scene.facts) else Scene(scene.index, scene.line, tuple(facts), (), ())


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
    """The joint a question of this note is about, named in it or right before it; None when the note names none."""
    spans = [f.span for f in scene.facts if isinstance(f, Question)]
    inside = (m for m in (*scene.asides, *scene.mentions) if any(start <= m.start < end for start, end in spans) and not _is_looked_into(m, scene))
    before = [m for m in scene.mentions if (m.part or m.fastener) and any(m.end <= start for start, _ in spans)]
    near = [m for m in before if any(scene.sentence(m.start) == scene.sentence(start) for start, _ in spans)]
    return next((m for m in inside if m.part or m.fastener), near[-1] if near else None)


def _is_looked_into(mention: Mention, scene: Scene) -> bool:
    """Whether a thing is only where something is to be found: "have a look inside the mudguard"."""
    led = [t.norm for t in scene.tokens if t.end <= mention.start and t.norm not in {"the", "a", "that", "this"}]
    return led[-1:] != [] and led[-1] in _LOOKED


def live_values(scene: Scene) -> list[Fact]:
    """The facts that can stand in an entry, in the order they were said."""
    return [f for f in scene.facts if f.kind in {"torque", "angle", "measure", "condition"}]
