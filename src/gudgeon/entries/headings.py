"""A side said by itself ("right side now:") heads the parts named after it, until another side is named."""

from __future__ import annotations

from dataclasses import replace

from gudgeon.entries.bench import Bench, Heading
from gudgeon.entries.mentions import Mention, Scene

_FILLER = frozenset(
    ("the", "on", "to", "and", "so", "now", "next", "then", "first", "over", "moving", "onto", "doing", "start", "starting", "with")
    # what stands around a side that is all a note says
) | frozenset(("side", "hand", "end", "ok", "okay", "well", "we", "are", "is", "'s"))
_NOUNS = frozenset(("side", "hand", "end"))
_REACH = 15
"""How many notes a heading holds."""


def under_heading(scene: Scene, bench: Bench) -> Scene:
    """The note with the heading's place on the parts that say none; a note that only names a side becomes the heading."""
    if _heads(scene, bench):
        return scene
    heading = bench.heading
    if heading is None or scene.index - heading.note > _REACH or any(_leaves(m, heading, bench) for m in scene.mentions):
        bench.heading = None
        return scene
    mentions = tuple(_placed(m, heading, bench) for m in scene.mentions)
    return replace(scene, mentions=mentions) if mentions != scene.mentions else scene


def _heads(scene: Scene, bench: Bench) -> bool:
    """Whether a note says nothing but a side: one that the joint worked on is not told from its twins by, or under a heading already."""
    places = [m for m in scene.mentions if m.place]
    if scene.facts or len(places) != 1 or len(scene.mentions) != 1 or scene.has("same", "other", "correct", "back"):
        return False
    place = places[0].place or ""
    if "number" in place or _NOUNS.isdisjoint(t.norm for t in scene.tokens):
        return False
    if any(t.kind != "punct" and t.norm not in _FILLER and t.norm not in bench.words.places for t in scene.tokens):
        return False
    current = bench.ledger.current
    twin = current is not None and current.place and bench.words.axes(current.place) & bench.words.axes(place)
    if twin and bench.heading is None:
        return False
    bench.heading = Heading(place, scene.index)
    return True


def _leaves(mention: Mention, heading: Heading, bench: Bench) -> bool:
    """Whether a mention names another place of the same kind."""
    place = mention.place
    return bool(place and set(place.split()) != set(heading.place.split()) and bench.words.axes(place) & bench.words.axes(heading.place))


def _placed(mention: Mention, heading: Heading, bench: Bench) -> Mention:
    if not mention.part or mention.place or mention.size:
        return mention
    if any(d.place is None and d.says_something for d in bench.ledger.same_part(mention.part)):
        return mention
    return replace(mention, place=heading.place, maybe_place=None)
