"""Words by their sound: a rough pronunciation, how far two of them are apart, and which unit a misheard wording sounds like."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import lru_cache
from itertools import accumulate, pairwise
from math import inf

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
NEVER_PART = frozenset(
    ["a", "an", "and", "at", "but", "for", "i", "if", "in", "is", "it", "of", "on", "or", "so", "the", "then", "they", "to", "was", "we", "with"],
)
"""Words so common and so clear that they are no part of a misheard unit."""
MAY_STAND_INSIDE = frozenset(["a", "in", "of", "the", "to"])
"""Of these, the ones a misheard unit may hold between its first and last word ("new to meters")."""
LONGEST_WORD = 24
LONGEST_SOUND = 24
MOST_WORDS = 4
MOST_MISSING = 3
MOST_CLASSES = 2
"""Kinds of consonants (as in CLASSES) by which two wordings may differ and still be near."""
CLASSES = ("pbfv", "tdT", "kg", "szSCJ", "mn", "l", "r", "w")
_CLASS_OF = {sound: 1 << bit for bit, sounds in enumerate(CLASSES) for sound in sounds}
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
    line: int = 0
    """Its row in ``unit_sounds.csv``."""


@dataclass(frozen=True, slots=True)
class _Meant:
    """A target with its sound worked out."""

    target: SoundTarget
    sound: str
    last: str
    classes: int
    starts: frozenset[str]


class Sounds:
    """The sounds of the units, ready to compare with what was heard; build it with the rows of the two sound tables."""

    def __init__(self, codes: Sequence[SoundCode], targets: Iterable[SoundTarget]) -> None:
        self._whole = {c.spelling: c.sound for c in codes if c.where == "whole"}
        self._codes = {(c.spelling, c.where): c.sound for c in codes if c.where != "whole"}
        self._longest = max((len(c.spelling) for c in codes), default=1)
        self.sound_of = lru_cache(maxsize=8192)(self._sound_of)
        self._meant = [self._prepared(t) for t in targets]
        self._starts = frozenset[str]().union(*(m.starts for m in self._meant))

    def sound_of_all(self, words: Sequence[str]) -> str:
        """The sounds of the words, run together as in speech."""
        return _unrepeated("".join(self.sound_of(w) for w in words))

    def find(self, words: Sequence[str], at: int) -> tuple[SoundTarget, int] | None:
        """The unit whose sound is nearest to one to four words from ``at`` on, within its limit, and how many words it took."""
        best: tuple[float, int, SoundTarget] | None = None
        said = ""
        for length, word in enumerate(words[at : at + MOST_WORDS], 1):
            if (
                (word in NEVER_PART and (length == 1 or word not in MAY_STAND_INSIDE))
                or len(word) > LONGEST_WORD
                or not (word.isascii() and word.isalpha())
            ):
                break
            said = _unrepeated(said + self.sound_of(word))
            if said[:1] not in self._starts or len(said) > LONGEST_SOUND:
                break
            if word in NEVER_PART:
                continue
            for meant in self._meant:
                far = self._far(said, meant, words[at : at + length])
                if far is not None and (best is None or far < best[0] - 1e-9):
                    best = (far, length, meant.target)
        return None if best is None else (best[2], best[1])

    def _prepared(self, target: SoundTarget) -> _Meant:
        sound = self.sound_of_all(target.spoken)
        starts = frozenset(s for s in (*VOWELS, *_CLASS_OF) if _swapped(s, sound[0]) <= OTHER_VOWEL)
        return _Meant(target, sound, self.sound_of(target.spoken[-1]), _classes(sound), starts)

    def _far(self, said: str, meant: _Meant, words: Sequence[str]) -> float | None:
        """How far the words are from the target, or None when too far; the cheap signs of "too far" are looked at first."""
        if said[0] not in meant.starts:
            return None
        target = meant.target
        if target.loose and len(words) == 2 and words[0].removesuffix("s") == target.spoken[0]:
            second = self.sound_of(words[1])
            far = distance(second, meant.last)
            if far <= LOOSE_SECOND or (second.endswith(PLURAL_ENDS) and _syllables(second) > 1):
                return min(far, 1.0) * target.limit
        if abs(len(said) - len(meant.sound)) > MOST_MISSING or (_classes(said) ^ meant.classes).bit_count() > MOST_CLASSES:
            return None
        far = distance(said, meant.sound, limit=target.limit)
        return far if far <= target.limit else None

    def _sound_of(self, word: str) -> str:
        """The rough pronunciation of one word, one character a sound."""
        if word in self._whole:
            return self._whole[word]
        out: list[str] = []
        at, end = 0, len(word)
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


def distance(heard: str, meant: str, *, limit: float = 10.0) -> float:
    """How far ``heard`` is from ``meant``, as a share of what it would cost to lose all of ``meant`` (0 is the same).

    Gives up, with an infinite distance, as soon as it must be beyond ``limit``.
    """
    lost = [_LOST.get(sound, 0.9) for sound in meant]
    row = [0.0, *accumulate(lost)]
    weight = row[-1] or 1.0
    for sound in heard:
        added, swaps = _LOST.get(sound, 0.9), _SWAPS[sound]
        left = row[0] + added
        new = [left]
        for other, dropped, across, above in zip(meant, lost, row, row[1:], strict=False):
            left = min(across + swaps[other], above + added, left + dropped)
            new.append(left)
        if min(new) > limit * weight:
            return inf
        row = new
    return row[-1] / weight


def _swapped(one: str, other: str) -> float:
    if one == other:
        return 0.0
    if one in VOWELS and other in VOWELS:
        return VOWEL_COST.get(frozenset(one + other), OTHER_VOWEL)
    if one + other in ("sz", "zs"):
        return PLURAL_COST
    return NEAR_COST if frozenset(one + other) in _NEAR_SET else 1.0


_NEAR_SET = frozenset(frozenset(pair) for pair in NEAR)
_ALPHABET = "abcdefghijklmnopqrstuvwxyzCJSTWY"
_LOST = LOOSE | dict.fromkeys(VOWELS, 0.4)
_SWAPS = {one: {other: _swapped(one, other) for other in _ALPHABET} for one in _ALPHABET}


def _unrepeated(sounds: str) -> str:
    return sounds[:1] + "".join(b for a, b in pairwise(sounds) if a != b)


def _classes(sounds: str) -> int:
    """The kinds of consonants in the sounds, one bit each."""
    bits = 0
    for sound in sounds:
        bits |= _CLASS_OF.get(sound, 0)
    return bits


def _syllables(sounds: str) -> int:
    vowels = sum(s in VOWELS for s in sounds)
    return vowels + sum(
        b == "r" and a not in VOWELS and (c in ("z", "s", "")) for a, b, c in zip(sounds, sounds[1:], [*sounds[2:], ""], strict=False)
    )
