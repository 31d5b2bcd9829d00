""" "Left and right hub nuts at ninety": one sentence said of two joints."""

from __future__ import annotations

from gudgeon.entries.bench import Bench
from gudgeon.entries.copies import copy_all
from gudgeon.entries.mentions import Scene


def copy_to_twin(scene: Scene, bench: Bench) -> None:
    """When two opposite places were said of one part, what this note put at the second stands at the first too."""
    for first, second in _both_places(scene, bench):
        new = [d for d in bench.ledger.drafts if d.opened == scene.index and d.place and d.says_something]
        if any(first in (d.place or "").split() for d in new):
            continue
        for draft in [d for d in new if second in (d.place or "").split()]:
            copy_all(draft, (draft.place or "").replace(second, first), scene.index, bench.ledger)


def _both_places(scene: Scene, bench: Bench) -> list[tuple[str, str]]:
    words = [token.norm for token in scene.tokens]
    return [
        (words[i], words[i + 2])
        for i in range(len(words) - 2)
        if words[i + 1] in {"and", "&"} and words[i + 2] in bench.words.places and bench.words.opposite(words[i + 2]) == words[i]
    ]
