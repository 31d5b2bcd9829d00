"""What stands around the names of one note: the word that leads a name in, how near it is to another, whose fastener is said."""

from __future__ import annotations

from dataclasses import dataclass

from gudgeon.domain import Fastener, Part
from gudgeon.entries.lines import ENDINGS
from gudgeon.entries.spoken import Scene
from gudgeon.entries.vocabulary import Vocabulary

SKIPPED = frozenset(
    ("the", "a", "an", "its", "that", "this", "those", "these", "new", "old", "my", "our", "hand", "side", "number", "each", "all", "both")
)
"""Words that may stand before a name without leading it in."""


@dataclass(frozen=True, slots=True)
class Around:
    """A note with its parts and fasteners; ``claimed`` are the parts, as comparable words, that something was said of."""

    scene: Scene
    words: Vocabulary
    parts: tuple[Part, ...]
    fasteners: tuple[Fastener, ...]
    claimed: frozenset[tuple[str, ...]]

    def opens(self, part: Part) -> bool:
        """Whether a part's sentence begins with it, so that it is what the sentence is about."""
        here = self.scene.sentence(part.span[0])
        return len(self.parts) == 1 or not any(self.scene.sentence(t.start) == here and t.end <= part.span[0] for t in self.scene.tokens)

    def carries(self, part: Part) -> bool:
        """Whether a fastener is said of this very part ("the drop arm nut", "bolts on the sump")."""
        return any(self.is_of(fastener, part) for fastener in self.fasteners)

    def is_of(self, fastener: Fastener, part: Part) -> bool:
        """Whether a part's name stands in a fastener's words, or right before them without a count between ("the drop arm nut")."""
        if part.span[0] < fastener.span[1] and part.span[1] > fastener.span[0]:
            return True
        if part.span[1] > fastener.span[0] or self.scene.between(part.span[1], fastener.span[0]):
            return False
        first = next((t for t in self.scene.tokens if t.start >= fastener.span[0]), None)
        return first is None or first.kind != "figure"

    def lead(self, position: int) -> str | None:
        """The word that leads in a name, past articles and places: "on" before "the left drum"."""
        for token in reversed([t for t in self.scene.tokens if t.end <= position]):
            if token.norm in SKIPPED or token.norm in self.words.places or token.figure:
                continue
            return token.norm
        return None

    def near(self, start: int, end: int, most: int) -> bool:
        """Whether at most so many words (no full stop) stand between two positions."""
        words = [w for w in self.scene.between(start, end) if w not in {",", ":", "-", "'s", "("} and w not in SKIPPED]
        return start <= end and len(words) <= most and not ENDINGS.intersection(words)
