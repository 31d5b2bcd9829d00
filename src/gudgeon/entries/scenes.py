"""From a note's text and facts to a scene: what it says for sure, what it only asks or plans, and its joining words."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import TypeVar

from gudgeon.domain import Angle, Condition, Fact, Fastener, Measure, Part, Question, ReadNote, Torque
from gudgeon.entries.ledger import Ledger
from gudgeon.entries.lines import Line
from gudgeon.entries.mentions import Sorter
from gudgeon.entries.named_like import (
    parts_named_like_fasteners,
    parts_named_like_tools,
    pins_with_nuts,
    screws_with_nuts,
    sockets_with_bolts,
)
from gudgeon.entries.names import (
    counted_threads,
    headed_parts,
    is_no_part,
    its_parts,
    lettered_parts,
    numbered_parts,
    parts_again,
    said_again,
)
from gudgeon.entries.place_words import ordinal, spelt_as_before
from gudgeon.entries.places import BarePlace, bare_places
from gudgeon.entries.shapes import unknown_before, unknown_name, with_names
from gudgeon.entries.spoken import ASIDES, Mention, Scene
from gudgeon.entries.tools import kept_for
from gudgeon.entries.twins import told_apart
from gudgeon.entries.vocabulary import Vocabulary

_Placed = TypeVar("_Placed", bound=Fact | Mention)
_TALK = "right"
_OPENING = frozenset(("first", "next", "now", "then"))
_RECENT = 12
_TWO = 2
_LOOKED = frozenset(("inside", "behind", "under", "underneath", "beneath"))


def build_scene(index: int, note: ReadNote, words: Vocabulary, line: Line, ledger: Ledger) -> Scene:
    """The scene of a note. Parts and fasteners inside a question, a plan or a thing to buy are put aside; values never are.

    ``ledger`` knows the session's parts, so that "that bracket" is understood when the reader left it out.
    """
    scene = Scene(index, line, tuple(sorted((_spelt(f, ledger) for f in note.facts), key=_span)), (), ())
    scene = told_apart(_without_no_parts(scene, words), words, ledger)
    scene = lettered_parts(_without_own_clamp(scene, ledger))
    scene = its_parts(sockets_with_bolts(screws_with_nuts(pins_with_nuts(scene)), words))
    scene = headed_parts(scene, ledger.used_words, words)
    scene = numbered_parts(parts_named_like_fasteners(parts_named_like_tools(scene, words, ledger.heads), words))
    more: list[Fact] = [*said_again(scene), *counted_threads(scene), *parts_again(scene, ledger.heads, ledger.used_words, words)]
    scene = _with_facts(scene, sorted((*scene.facts, *more), key=_span))
    scene = its_parts(lettered_parts(with_names(lettered_parts(scene) if more else scene, words, ledger)))
    aside = [f for f in scene.facts if isinstance(f, (Part, Fastener)) and _is_aside(f, scene)]
    live = _with_facts(scene, [f for f in scene.facts if f not in aside])
    sorter = Sorter(live, words)
    kept_at = next((line.tokens[c.at].start for c in line.cues if c.sense == "keep"), None)
    places = [p for p in bare_places(line.tokens, live.facts, words) if (kept_at is None or p.span[0] < kept_at) and not _is_talk(p, line, ledger)]
    named = sorter.run(places)
    mentions = tuple(
        m for m in named if m.part or m.fastener or m.size or ledger.knows_place(m.place) or _is_one(m, line) or _has_twin(m, named, words)
    )
    mentions = tuple(_without_talk(_spelt(m, ledger), scene, ledger) for m in named)
    mentions = tuple(_under_heading(m, scene, ledger) for m in mentions) if len(mentions) == 1 else mentions
    mentions = _of_the_heading(mentions, live) if len(mentions) > 1 else mentions
    asides = Sorter(_with_facts(scene, aside), words).run(()) if aside else ()
    unknown = None if asides or any(m.part or m.place or m.size for m in mentions) else unknown_name(live, words, ledger)
    if not asides and mentions and all(_is_place_alone(m) for m in mentions) and unknown_before(live, words, ledger, mentions[0].start):
        mentions, unknown = (), unknown_name(live, words, ledger)
    mentions = tuple(replace(m, stranger=unknown) for m in mentions) if unknown else mentions
    return Scene(index, line, live.facts, mentions, asides, frozenset(sorter.secondary), unknown)


def _without_no_parts(scene: Scene, words: Vocabulary) -> Scene:
    """The note without the parts that are none; what was said of one of them is said of no part."""
    none = [f for f in scene.facts if isinstance(f, Part) and is_no_part(f, scene, words)]
    named = {f.name for f in none} - {f.name for f in scene.facts if isinstance(f, Part) and f not in none}
    left = (f for f in scene.facts if f not in none)
    facts = [replace(f, part=None) if isinstance(f, (Torque, Angle, Measure, Condition)) and f.part in named else f for f in left]
    return _with_facts(scene, facts)


def _spelt(said: _Placed, ledger: Ledger) -> _Placed:
    """A fact or a joint with its place as the session wrote it first."""
    place = getattr(said, "place", None)
    if not place or not place.count("side"):
        return said
    told = spelt_as_before(place, [d.place for d in ledger.recent() if d.place])
    return replace(said, place=told) if told != place else said  # type: ignore[arg-type]


def _without_own_clamp(scene: Scene, ledger: Ledger) -> Scene:
    """ "Second pass 22 kgf·m, and that's the clamp done": the clamp that is worked on, and no fastener of it."""
    current = ledger.current
    if current is None or not (current.part or "").endswith(" clamp"):
        return scene
    facts = [f for f in scene.facts if not (isinstance(f, Fastener) and f.fastener == "clamp" and not f.count)]
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
    part = next((f.span[1] for f in scene.facts if isinstance(f, Part) and f.name == mention.part and f.span[0] >= mention.start), 0)
    behind = next((t.norm for t in tokens if part and t.start > part), "")  # "blade one's up", and later blade two
    if mention.part and not mention.place and (behind == "one" or "first" in {t.norm for t in (led, *inside) if t is not None}):
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
