""" "Left and right hub nuts at ninety": one sentence said of two joints."""

from __future__ import annotations

from itertools import pairwise

from gudgeon.entries.bench import Bench
from gudgeon.entries.copies import copy_all
from gudgeon.entries.mentions import JOINING, Scene


def copy_to_twin(scene: Scene, bench: Bench) -> None:
    """When two opposite places were said of one part, what this note put at the second stands at the first too."""
    for first, second in _both_places(scene, bench):
        new = [d for d in bench.ledger.drafts if d.opened == scene.index and d.place and d.says_something]
        if any(first in (d.place or "").split() for d in new):
            continue
        for draft in [d for d in new if second in (d.place or "").split()]:
            copy_all(draft, (draft.place or "").replace(second, first), scene.index, bench.ledger)
    for one, other in pairwise(scene.mentions):
        if not (one.part and one.part == other.part and one.place and other.place and one.place != other.place and other.by_place):
            continue
        between = scene.between(one.end, other.start)
        drafts = [bench.ledger.find(m, note=scene.index) for m in (one, other)]
        if not between or not set(between) <= JOINING or None in drafts or drafts[0] is drafts[1]:
            continue
        source, target = drafts[1], drafts[0]
        if source and target and source.opened == scene.index and source.says_something and not target.says_something:
            bench.ledger.drop(target)
            copy_all(source, one.place, scene.index, bench.ledger)


def _both_places(scene: Scene, bench: Bench) -> list[tuple[str, str]]:
    words = [token.norm for token in scene.tokens]
    return [
        (words[i], words[i + 2])
        for i in range(len(words) - 2)
        if words[i + 1] in {"and", "&"} and words[i + 2] in bench.words.places and bench.words.opposite(words[i + 2]) == words[i]
    ]
