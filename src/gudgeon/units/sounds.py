"""Words by their sound: a rough pronunciation, how far two of them are apart, and which unit a misheard wording sounds like."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import lru_cache
from itertools import pairwise

from gudgeon.units.rows import SoundCode

VOWELS = frozenset("aeiouWY")
"""Short and long vowels alike; W is the vowel of "pound", Y that of "point"."""
NEAR = (
    ("p", "b"),
    ("t", "d"),
    ("k", "g"),
    ("f", "v"),
    ("C", "J"),
    ("C", "S"),
    ("S", "s"),
    ("m", "n"),
    ("T", "t"),
    ("T", "f"),
    ("p", "f"),
    ("b", "v"),
)
NEAR_COST = 0.3
"""Consonants that differ by voice or by a hair."""
PLURAL_COST = 0.1
VOWEL_COST = {frozenset("We"): 0.55, frozenset("Wa"): 0.55, frozenset("Wi"): 0.8, frozenset("Wu"): 0.6, frozenset("WY"): 0.7}
OTHER_VOWEL = 0.35
LOOSE = {"r": 0.4, "d": 0.6, "l": 0.7}
"""What it costs to drop or add a sound that is easily lost; a vowel costs 0.4, any other consonant 0.9."""
LONGEST_WORD = 24
PLURAL_ENDS = ("rz", "rs")
LOOSE_SECOND = 0.6
"""How far the second word may be from the unit's when the first was heard exactly ("newton members")."""


@dataclass(frozen=True, slots=True)
class SoundTarget:
    """A unit as it is spoken, and how far (0..1 of its own weight) a wording may be from it."""

    unit: str
    family: str
    spoken: tuple[str, ...]
    limit: float
    loose: bool = False
    """Whether the first word, heard exactly, vouches for a second that is only roughly alike ("newton developers")."""


class Sounds:
    """The sounds of the units, ready to compare with what was heard; build it with the rows of the two sound tables."""

    def __init__(self, codes: Sequence[SoundCode], targets: Iterable[SoundTarget]) -> None:
        self._whole = {c.spelling: c.sound for c in codes if c.where == "whole"}
        self._codes = {(c.spelling, c.where): c.sound for c in codes if c.where != "whole"}
        self._longest = max((len(c.spelling) for c in codes), default=1)
        self.sound_of = lru_cache(maxsize=8192)(self._sound_of)
        self._targets = [(t, self.sound_of_all(t.spoken), self.sound_of(t.spoken[-1])) for t in targets]

    def sound_of_all(self, words: Sequence[str]) -> str:
        """The sounds of the words, run together as in speech."""
        return _unrepeated("".join(self.sound_of(w) for w in words))

    def find(self, words: Sequence[str], at: int) -> tuple[SoundTarget, int] | None:
        """The unit whose sound is nearest to one to four words from ``at`` on, within its limit, and how many words it took."""
        best: tuple[float, int, SoundTarget] | None = None
        heard: list[str] = []
        for word in words[at : at + 4]:
            if not _speakable(word):
                break
            heard.append(self.sound_of(word))
            said = _unrepeated("".join(heard))
            for target, sound, last in self._targets:
                far = self._far(said, sound, last, words[at : at + len(heard)], target)
                if far is not None and (best is None or far < best[0] - 1e-9):
                    best = (far, len(heard), target)
        return None if best is None else (best[2], best[1])

    def _far(self, said: str, sound: str, last: str, words: Sequence[str], target: SoundTarget) -> float | None:
        """How far the words are from the target, or None when too far."""
        if target.loose and len(words) == 2 and words[0].removesuffix("s") == target.spoken[0]:
            second = self.sound_of(words[1])
            far = distance(second, last)
            if far <= LOOSE_SECOND or (second.endswith(PLURAL_ENDS) and _syllables(second) > 1):
                return min(far, 1.0) * target.limit
        if abs(len(said) - len(sound)) > 3:
            return None
        far = distance(said, sound)
        return far if far <= target.limit else None

    def _sound_of(self, word: str) -> str:
        """The rough pronunciation of one word, one character a sound."""
        if word in self._whole:
            return self._whole[word]
        out: list[str] = []
        at, end = 0, min(len(word), LONGEST_WORD)
        while at < end:
            at = self._step(word, at, end, out)
        return _unrepeated("".join(out))

    def _step(self, word: str, at: int, end: int, out: list[str]) -> int:
        for size in range(min(self._longest, end - at), 0, -1):
            part = word[at : at + size]
            places = [where for where, here in (("start", at == 0), ("end", at + size == end), ("any", True)) if here]
            for where in places:
                if (part, where) in self._codes:
                    out.append(self._codes[part, where])
                    return at + size
        out.append(word[at])
        return at + 1


def distance(heard: str, meant: str) -> float:
    """How far ``heard`` is from ``meant``, as a share of what it would cost to lose all of ``meant`` (0 is the same)."""
    row = [0.0]
    for sound in meant:
        row.append(row[-1] + _lost(sound))
    weight = row[-1] or 1.0
    for sound in heard:
        new = [row[0] + _lost(sound)]
        for i, other in enumerate(meant):
            new.append(min(row[i] + _swapped(sound, other), row[i + 1] + _lost(sound), new[i] + _lost(other)))
        row = new
    return row[-1] / weight


def _lost(sound: str) -> float:
    return 0.4 if sound in VOWELS else LOOSE.get(sound, 0.9)


_NEAR_SET = frozenset(frozenset(pair) for pair in NEAR)


def _swapped(one: str, other: str) -> float:
    if one == other:
        return 0.0
    if one in VOWELS and other in VOWELS:
        return VOWEL_COST.get(frozenset(one + other), OTHER_VOWEL)
    if one + other in ("sz", "zs"):
        return PLURAL_COST
    return NEAR_COST if frozenset(one + other) in _NEAR_SET else 1.0


def _unrepeated(sounds: str) -> str:
    return sounds[:1] + "".join(b for a, b in pairwise(sounds) if a != b)


def _syllables(sounds: str) -> int:
    vowels = sum(s in VOWELS for s in sounds)
    return vowels + sum(
        b == "r" and a not in VOWELS and (c in ("z", "s", "")) for a, b, c in zip(sounds, sounds[1:], [*sounds[2:], ""], strict=False)
    )


def _speakable(word: str) -> bool:
    return word.isascii() and word.isalpha()
