"""Which of the joints that a note names a value was said of."""

from __future__ import annotations

from dataclasses import replace

from gudgeon.domain import Angle, Fact, Fastener, Part, Torque
from gudgeon.entries.drafts import means, places_agree, words_of
from gudgeon.entries.lines import BREAKS
from gudgeon.entries.spoken import TOWARDS, Mention, Scene

_CLOSE = 3
_TOLD = 7
_TWO = 2
_MOST_COUNTED = 12
_SOME_OF = frozenset(("pair", "ones", "one", "two", "set", "at"))
"""What may stand between a place and its value: "the north end pair sixty newton metres"."""
_SAID_OF = frozenset(("measure", "condition", "torque", "angle"))
_POINTED_BACK = frozenset(("both", "all", "each", "every", "these", "those", "them", "it", "that", "this", "everything"))
"""What "on" goes on with when the joint was named before: "4.5 Nm on both, belt has 8 mm of give"."""


def link(fact: Fact, scene: Scene) -> Mention | None:
    """The joint of this note that a value was said of, or None when the note names none for it."""
    named, place = getattr(fact, "part", None), getattr(fact, "place", None)
    if isinstance(fact, (Torque, Angle)) and points_back(fact, scene):
        return _nearest(fact, scene, [m for m in scene.mentions if m.start < fact.span[0]])
    placed = _placed_before(fact, scene)
    if placed is not None and place and not places_agree(place, placed.place):
        return placed
    behind = _placed_behind(fact, scene) if place is None else None
    if behind is not None:
        return behind
    if named and words_of(named) in scene.secondary:
        named, place = None, None
    if scene.same_at is not None and fact.span[1] <= scene.same_at:
        mentions = [m for m in scene.mentions if m.start < scene.same_at]
        return _nearest(fact, scene, mentions)
    mentions = list(scene.mentions)
    last = (_overtaking(fact, scene, mentions) or _at_home(fact, scene, mentions)) if named else None
    if last is not None:
        return last
    if named:
        own = [m for m in mentions if m.part and (means(words_of(m.part), words_of(named)) or means(words_of(named), words_of(m.part)))]
        fitting = [m for m in own if places_agree(place, m.place)] or []
        if not fitting:
            return Mention(*fact.span, part=named, place=place, fastener=_loose_fastener(fact, mentions))
        chosen = _nearest(fact, scene, fitting) or fitting[0]
        nearer = _nearer(fact, chosen, scene, mentions)
        if nearer is not None:
            return nearer
        return replace(chosen, place=place) if place and not chosen.place and place != chosen.maybe_place else chosen
    if place:
        fitting = [m for m in mentions if m.place == place]
        near = _nearest(fact, scene, fitting or mentions)
        return near if fitting else replace(near, place=place) if near else Mention(*fact.span, place=place)
    return _nearest(fact, scene, mentions)


def _placed_before(fact: Fact, scene: Scene) -> Mention | None:
    """The twin whose place stands right before a value: "pintle nuts upper 45, lower 40 Nm"."""
    if not isinstance(fact, (Torque, Angle)):
        return None
    named = [m for m in scene.mentions if m.by_place and m.part and m.place and m.end <= fact.span[0]]
    near = [m for m in named if set(scene.between(m.end, fact.span[0])) <= _SOME_OF]
    return near[-1] if near else None


def _placed_behind(fact: Fact, scene: Scene) -> Mention | None:
    """The twin whose place stands right behind a value: "guard, 4 bolts. 95 Nm on the front pair, 70 Nm on the rear pair"."""
    if not isinstance(fact, (Torque, Angle)) or fact.part is None:
        return None
    for mention in scene.mentions:
        if not (mention.by_place and mention.part and mention.place) or mention.start < fact.span[1]:
            continue
        gap = scene.between(fact.span[1], mention.start)
        same = means(words_of(mention.part), words_of(fact.part)) or means(words_of(fact.part), words_of(mention.part))
        said = sum(mention.start <= t.start < mention.end for t in scene.tokens)
        ends = not gap and mention.end >= scene.tokens[-1].start and said > 1  # "8 Nm port side"
        if same and (gap in (["on", "the"], ["for", "the"], ["on"], ["for"]) or ends) and not _has_own_figure(mention, scene):
            return mention
    return None


def _nearer(fact: Fact, chosen: Mention, scene: Scene, mentions: list[Mention]) -> Mention | None:
    """A fastened joint named between the value and the part it was read with, at which nothing is fastened: "lid hinge, back leaf: 3 screws"."""
    if chosen.fastener is not None or not isinstance(fact, (Torque, Angle)):
        return None
    here = scene.sentence(fact.span[0])
    between = [m for m in mentions if m.part and m.fastener and chosen.start < m.start <= fact.span[0] and scene.sentence(m.start) == here]
    return between[-1] if between and scene.sentence(chosen.start) == here else None


def _overtaking(fact: Fact, scene: Scene, mentions: list[Mention]) -> Mention | None:
    """A joint named after an earlier value of the sentence, which this value follows: "left bolt 14 foot pounds, right one 12"."""
    start = fact.span[0]
    earlier = [f.span[1] for f in scene.facts if f.kind == fact.kind and f.span[1] <= start]
    near = [m for m in mentions if m.start <= start and m.firm and not m.size]
    if not earlier or not near or near[-1].start < earlier[-1] or scene.sentence(near[-1].start) != scene.sentence(start):
        return None
    last, named = near[-1], words_of(getattr(fact, "part", None))
    other = bool(last.part and last.fastener) and not (means(words_of(last.part), named) or means(named, words_of(last.part)))
    return last if other or (last.by_place and last.place != getattr(fact, "place", None)) else None


def _at_home(fact: Fact, scene: Scene, mentions: list[Mention]) -> Mention | None:
    """The joint named before a value in its own sentence, when the part it was read with was named in another: "west likewise, but 38 ft-lb"."""
    named, place, here = words_of(getattr(fact, "part", None)), getattr(fact, "place", None), scene.sentence(fact.span[0])
    parts = (f for f in scene.facts if isinstance(f, Part) and scene.sentence(f.span[0]) == here)
    if any(places_agree(place, f.place) and (means(named, words_of(f.name)) or means(words_of(f.name), named)) for f in parts):
        return None
    near = [m for m in mentions if m.part and m.firm and m.start <= fact.span[0] and scene.sentence(m.start) == here]
    return near[-1] if near else None


def _loose_fastener(fact: Fact, mentions: list[Mention]) -> Fastener | None:
    before = [m for m in mentions if m.part is None and m.fastener and m.start <= fact.span[0]]
    return before[-1].fastener if before else None


def points_back(fact: Fact, scene: Scene) -> bool:
    """Whether "on both", "on all four" right behind a value means what was named before it, and not what is named next."""
    end = fact.span[1]
    after = next((m for m in scene.mentions if m.start >= end), None)
    gap = scene.between(end, after.start) if after is not None else []
    if after is None or len(gap) < _TWO or gap[0] not in TOWARDS or gap[1] not in _POINTED_BACK or "of" in gap:
        return False
    own = any(f.span[0] >= after.end and f.kind in _SAID_OF and getattr(f, "part", None) == after.part for f in scene.facts)
    return "and" in gap or not BREAKS.isdisjoint(gap) or (own and after.part is not None and after.fastener is None)


def _has_own_figure(mention: Mention, scene: Scene) -> bool:
    """Whether a figure follows a place, as its own value: "the left cylinder fifty newton metres, to the right forty five"."""
    behind = next((t for t in scene.tokens if t.start >= mention.end), None)
    if not mention.by_place or behind is None or behind.figure is None or behind.norm in {"pair", "couple"}:
        return False
    then = next((t for t in scene.tokens if t.start >= behind.end), None)
    if (
        behind.figure.value <= _MOST_COUNTED
        and behind.norm.isalpha()
        and (then is None or then.kind == "punct" or then.norm in {"and", "are", "were"})
    ):
        return False  # "95 Nm on the front two, 70 on the rear two"
    return not any(isinstance(f, Fastener) and f.span[0] <= behind.start < f.span[1] for f in scene.facts)


def _nearest(fact: Fact, scene: Scene, mentions: list[Mention]) -> Mention | None:
    """Before the value in its sentence, or right after it behind "on", "for", "to"; else the nearest that can be meant."""
    start, end = fact.span
    here = scene.sentence(start)
    before = [m for m in mentions if m.start <= start and m.firm]
    after = next((m for m in mentions if m.start > start), None)
    if after is not None and scene.sentence(after.start) == here:
        gap = scene.between(end, after.start)
        others = any(end <= f.span[0] and f.span[1] <= after.start and f.kind == fact.kind for f in scene.facts)
        if gap and gap[0] in TOWARDS and len(gap) <= 6 and not others and not _has_own_figure(after, scene):
            return after
    if before and scene.sentence(before[-1].start) == here:
        return before[-1]
    near = after is not None and after.firm and scene.sentence(after.start) == here
    if after is None or not near:
        return before[-1] if before else None
    gap = scene.between(end, after.start)
    told = "that" in gap and gap[-1] in {"the", "'s", "is", "a"}  # "46 Nm on the next one, that's the steam trap cap"
    if (told and len(gap) <= _TOLD) or (not scene.has("next") and len(gap) <= _CLOSE):
        return after
    return before[-1] if before else None
