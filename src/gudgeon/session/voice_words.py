"""What a phrase asks of gudgeon itself: it begins with the wake phrase, and what follows is a command, told by its letters or by its sound.

Behind the wake phrase only the few wordings of a table can be meant, so the nearest one is taken when it is near, and nearer by far than
any other; without the wake phrase nothing is ever taken for a command.
"""

from __future__ import annotations

import csv
import re
from collections.abc import Sequence
from dataclasses import dataclass

from rapidfuzz import fuzz

from gudgeon.domain import BadTable
from gudgeon.units import Sounds

WAKE = "hello workshop"
"""Chosen by measuring: in 450,694 words of other text (Debian's fortunes and the labelled notes) nothing is like enough to be taken for it."""

UNKNOWN = "unknown"
CALLED = "called"
"""The wake phrase alone: the command follows in the next phrase."""

ALIKE = 85.0
"""How like the wake phrase its letters or its sound must be, of 100: "hillo worked shop" is; nothing in other talk was."""
NEAR = 74.0
"""How like a wording its sound must be, of 100: "and the session" is like "end the session"."""
CLEARLY = 12.0
"""How much nearer than any other command's."""
SHORT = 2
"""Up to so many sounds, a wording must be heard as it is."""
QUESTION = re.compile(r"(?:what|what's|how|which|where)\b.+")
FIGURE, WORDS = "figure", "words"


@dataclass(frozen=True, slots=True)
class Command:
    """A command's name, and the words that came with it."""

    name: str
    rest: str = ""


@dataclass(frozen=True, slots=True)
class _Wording:
    """A row of the table, with its sound; ``takes`` is empty, ``figure`` or ``words``."""

    name: str
    said: tuple[str, ...]
    takes: str
    sound: str


class Commands:
    """Tells commands from notes, for one wake phrase."""

    def __init__(self, lines: Sequence[str], sounds: Sounds, wake: str = WAKE) -> None:
        """``lines`` is the table with the columns name, said, takes. Raises BadTable when one is missing."""
        self._sounds = sounds
        self._wake = wake.lower().split()
        rows = csv.DictReader(lines)
        if not {"name", "said", "takes"} <= set(rows.fieldnames or ()):
            raise BadTable("The table of commands lacks a column: name, said, takes.")
        self._wordings = tuple(self._wording(row["name"], tuple(row["said"].split()), row["takes"]) for row in rows)

    def _wording(self, name: str, said: tuple[str, ...], takes: str) -> _Wording:
        return _Wording(name, said, takes, self._sounds.sound_of_all(said))

    @property
    def phrases(self) -> tuple[str, ...]:
        """What a recogniser may expect to hear: the wake phrase, alone and before every wording."""
        wake = " ".join(self._wake)
        return (wake, *(f"{wake}, {' '.join(wording.said)}" for wording in self._wordings))

    def read(self, text: str, *, called: bool = False) -> Command | None:
        """The command in a phrase; None when it does not begin with the wake phrase, the name ``unknown`` when it is not understood.

        ``called`` is True when the wake phrase alone came just before: then the whole phrase is the command.
        """
        words = re.findall(r"[\w'/£$]+(?:[.-]\w+)*", text.lower())
        at = self._after_wake(words)
        if not at and not called:
            return None
        rest = words[at:]
        if not rest:
            return Command(CALLED) if at else None
        return self._exact(rest) or self._near(rest) or self._question(rest) or Command(UNKNOWN, " ".join(rest))

    def _after_wake(self, words: Sequence[str]) -> int:
        """How many words the wake phrase takes at the start; 0 when it is not there."""
        called, sound = "".join(self._wake), self._sounds.sound_of_all(self._wake)
        best, fewest = 0.0, 0
        for n in range(1, min(len(self._wake) + 1, len(words)) + 1):
            spelt = fuzz.ratio("".join(words[:n]), called)
            if spelt > best:
                best, fewest = spelt, n
        if best >= ALIKE:
            return fewest
        heard = self._sounds.sound_of_all([word for word in words[: len(self._wake)] if word.isalpha()])
        return len(self._wake) if len(words) >= len(self._wake) and fuzz.ratio(heard, sound) >= ALIKE + 5 else 0

    def _exact(self, rest: Sequence[str]) -> Command | None:
        fits = [wording for wording in self._wordings if _begins(rest, wording) and bool(wording.takes) == (len(rest) > len(wording.said))]
        best = max(fits, key=lambda wording: len(wording.said), default=None)
        return self._made(best, rest, len(best.said)) if best else None

    def _near(self, rest: Sequence[str]) -> Command | None:
        """The wording whose sound is nearest, when it is near and no other command's is nearly as near."""
        scored: dict[str, tuple[float, _Wording, int]] = {}
        for wording in self._wordings:
            for taken in self._lengths(wording, len(rest)):
                score = fuzz.ratio(self._sounds.sound_of_all([w for w in rest[:taken] if w.isalpha()]), wording.sound)
                if score > scored.get(wording.name, (0.0,))[0] and (len(wording.sound) > SHORT or score == 100):
                    scored[wording.name] = (score, wording, taken)
        ranked = sorted(scored.values(), key=lambda row: -row[0])
        if not ranked or ranked[0][0] < NEAR:
            return None
        others = [row[0] for row in ranked[1:] if {row[1].name, ranked[0][1].name} != {"left", "left on"}]
        if others and ranked[0][0] - others[0] < CLEARLY:
            return None
        _, wording, taken = ranked[0]
        return self._made(wording, rest, taken)

    def _lengths(self, wording: _Wording, count: int) -> Sequence[int]:
        """How many words of the phrase a wording may have become: all of them when it takes nothing, else one more or less than it has."""
        if not wording.takes:
            return (count,) if abs(count - len(wording.said)) <= 1 else ()
        return [n for n in (len(wording.said) - 1, len(wording.said), len(wording.said) + 1) if 0 < n < count]

    def _made(self, wording: _Wording, rest: Sequence[str], taken: int) -> Command:
        if wording.name == "ask":
            return Command("ask", " ".join([*wording.said, *rest[taken:]]))
        return Command(wording.name, " ".join(rest[taken:]))

    def _question(self, rest: Sequence[str]) -> Command | None:
        text = " ".join(rest)
        return Command("ask", text) if QUESTION.fullmatch(text) else None


def _begins(rest: Sequence[str], wording: _Wording) -> bool:
    return tuple(rest[: len(wording.said)]) == wording.said
