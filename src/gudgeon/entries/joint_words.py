"""What a joint is called, as a bag of words: side words apart, plurals and spellings levelled, so that two ways of naming it compare."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass
from functools import lru_cache

_SPLIT = re.compile(r"[^a-z0-9/.]+")
_TWO_WORDS = re.compile(r"\b(near|off) side\b")
"""Sides that are written as one word and as two."""
_LEAVE_OUT = frozenset({"the", "a", "an", "of", "for", "on", "to", "at", "and", "its", "side", "hand", "no", "number", "nr"})
_AXES = (
    {"left": "left", "lh": "left", "l/h": "left", "nearside": "nearside", "right": "right", "rh": "right", "r/h": "right", "offside": "offside"},
    {"front": "front", "fore": "front", "forward": "front", "rear": "rear", "back": "rear", "aft": "rear", "middle": "middle", "centre": "middle"},
    {"upper": "upper", "top": "upper", "lower": "lower", "bottom": "lower"},
    {"inner": "inner", "inside": "inner", "outer": "outer", "outside": "outer"},
    {"inlet": "inlet", "intake": "inlet", "exhaust": "exhaust"},
)
_AXIS = {word: (axis, side) for axis, words in enumerate(_AXES) for word, side in words.items()}
_NUMBERS = {
    w: str(i) for i, w in enumerate(["zero", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve"])
}
_ORDINALS = {w: str(i + 1) for i, w in enumerate(["first", "second", "third", "fourth", "fifth", "sixth", "seventh", "eighth"])}
_FASTENERS = frozenset(["bolt", "screw", "nut", "stud", "washer", "plug", "clip", "pin", "union", "clamp", "fastener", "capscrew", "setscrew"])
_MODIFIERS = frozenset(
    [
        "drain",
        "lock",
        "castle",
        "cap",
        "split",
        "filler",
        "level",
        "jam",
        "dome",
        "plain",
        "hex",
        "flange",
        "crown",
        "machine",
        "banjo",
        "slotted",
        "copper",
        "spring",
        "retaining",
        "fixing",
    ]
)
_SAME = {"capscrew": "screw", "setscrew": "screw", "hexagon": "hex"}
_IRREGULAR = {"feet": "foot", "teeth": "tooth"}
_KEEP_S = frozenset({"axis", "lens", "gas", "brass", "chassis", "bus", "diff", "press", "boss"})
NUMBER_AXIS = len(_AXES)
Sides = tuple[tuple[int, str], ...]
"""(axis, side) pairs, in the axes' order."""


@dataclass(frozen=True, slots=True)
class JointWords:
    """``words`` of the part in order, ``sides`` by axis (left/right, front/rear, …, number), ``fastener`` and words that only describe it."""

    words: tuple[str, ...]
    sides: Sides
    fastener: str | None
    described: frozenset[str]


def only_describes(words: Iterable[str]) -> bool:
    """Whether words say only what kind of a fastener is meant ("jam" of "jam nuts")."""
    return all(word in _MODIFIERS for word in words)


@lru_cache(maxsize=65_536)
def singular(word: str) -> str:
    """A word without the plural's ending, by rule: studs → stud, bushes → bush, bodies → body."""
    if word in _IRREGULAR:
        return _IRREGULAR[word]
    if len(word) < 4 or word in _KEEP_S or word.endswith(("ss", "us", "is")):
        return word
    if word.endswith("ies"):
        return word[:-3] + "y"
    if word.endswith(("ches", "shes", "xes", "sses", "zes")):
        return word[:-2]
    return word[:-1] if word.endswith("s") else word


@lru_cache(maxsize=65_536)
def joint_words(part: str | None, place: str | None, fastener: str | None) -> JointWords:
    """The comparable form of a joint's name; a fastener named at the end of the part ("gearbox drain plug") counts as its fastener."""
    text = part or ""
    if "," in text:
        head, _, tail = text.partition(",")
        text = f"{tail} {head}"
    words, sides = _sort_words(f"{place or ''} {text}".strip())
    named, about = _fastener(fastener)
    described = set(about)
    if words and words[-1] in _FASTENERS and (named is None or _SAME.get(words[-1], words[-1]) == named):
        last = words.pop()
        named = _SAME.get(last, last)
        while words and words[-1] in _MODIFIERS:
            described.add(words.pop())
    return JointWords(tuple(words), tuple(sorted(sides.items())), named, frozenset(described))


def _tokens(text: str) -> list[str]:
    text = _TWO_WORDS.sub(r"\1side", text.lower().replace("#", " number "))
    return [word.strip(".") for word in _SPLIT.split(text) if word.strip(".")]


def _sort_words(text: str) -> tuple[list[str], dict[int, str]]:
    words: list[str] = []
    sides: dict[int, str] = {}
    numbered = False
    for token in _tokens(text):
        word = singular(token)
        if word in {"number", "no", "nr"}:
            numbered = True
            continue
        digit = word if word.isdigit() else _NUMBERS.get(word) if numbered else _ORDINALS.get(word)
        if digit is not None:
            sides[NUMBER_AXIS] = digit
        elif word in _AXIS:
            axis, side = _AXIS[word]
            sides[axis] = side
        elif word not in _LEAVE_OUT:
            words.append(word)
        numbered = False
    return words, sides


@lru_cache(maxsize=4096)
def _fastener(text: str | None) -> tuple[str | None, frozenset[str]]:
    words = [singular(token) for token in _tokens(text or "")]
    if not words:
        return None, frozenset()
    named = next((word for word in reversed(words) if word in _FASTENERS), words[-1])
    return _SAME.get(named, named), frozenset(word for word in words if word != named)
