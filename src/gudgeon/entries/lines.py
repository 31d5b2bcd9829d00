"""A note's text, cut once: its tokens, its joining phrases, and where its sentences end."""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Callable
from dataclasses import dataclass
from functools import lru_cache
from itertools import takewhile

from gudgeon.entries.vocabulary import Cue, ReadTokens, Vocabulary
from gudgeon.notes import Token

ENDINGS = frozenset((".", ";", "!", "?"))
BREAKS = ENDINGS | {":", ","}
_REMEMBERED = 4096
_SHORT = 9
_AROUND = frozenset(
    (
        *("that", "is", "'s", "was", "it", "in", "i", "mean", "meant", "of", "course", "sorry", "by", "the", "way", "all", ",", "."),
        *("obviously", "naturally", "again", "please", "still", "always", "those", "these", "they", "are", "yes", "yeah", "yep", "aye"),
    )
)


@dataclass(frozen=True, slots=True)
class Line:
    """One note's tokens and cues; ``starts`` are the tokens' first characters, ``stops`` the ends of its sentences."""

    tokens: tuple[Token, ...]
    cues: tuple[Cue, ...]
    senses: frozenset[str]
    starts: tuple[int, ...]
    stops: tuple[int, ...]
    unit_alone: str | None = None
    """The torque unit that is all the note says: "newton metres that is"."""

    def sentence(self, position: int) -> int:
        """The number of the sentence that a character stands in."""
        return bisect_right(self.stops, position)

    def between(self, start: int, end: int) -> list[str]:
        """The words that stand between two positions."""
        found: list[str] = []
        for token in self.tokens[bisect_left(self.starts, start) :]:
            if token.end > end:
                break
            found.append(token.norm)
        return found


def line_reader(words: Vocabulary, read: ReadTokens) -> Callable[[str], Line]:
    """What cuts a text; the last few thousand texts are remembered, since a session is gone through again with every note."""

    @lru_cache(maxsize=_REMEMBERED)
    def line(text: str) -> Line:
        tokens = tuple(read(text))
        cues = words.cues(tokens)
        stops = tuple(t.end for t in tokens if t.norm in ENDINGS)
        return Line(tokens, cues, frozenset(c.sense for c in cues), tuple(t.start for t in tokens), stops, _unit_alone(text, tokens, read))

    return line


def _unit_alone(text: str, tokens: tuple[Token, ...], read: ReadTokens) -> str | None:
    """The torque unit that a short note says without any figure, with nothing around it but filler."""
    if not tokens or len(tokens) > _SHORT or any(t.figure for t in tokens):
        return None
    first = next((t for t in tokens if t.norm not in _AROUND), None)
    if first is None:
        return None
    figure, unit, *rest = (*read("1 " + text[first.start :]), None, None)
    if figure is None or unit is None or unit.unit is None or unit.unit.family != "torque" or unit.unit.ambiguous:
        return None
    told = list(takewhile(lambda t: t is None or t.norm != "not", rest))  # "newton metres that is, not foot pounds"
    return unit.unit.unit if all(t is None or t.norm in _AROUND for t in told) else None
