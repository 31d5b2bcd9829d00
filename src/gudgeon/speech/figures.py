"""Figures as a recogniser writes them: what counts as one, and texts where figures ran together or fell apart although they sound the same.

"Stage one, twenty" and "stage 120" are one sound, and so are "thirty two" and "30 to". No such sound can be told from its twin by listening,
so the rules here go by what can be meant, and both texts are kept.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Collection, Iterator
from dataclasses import dataclass

_ONES = "one two three four five six seven eight nine ten eleven twelve thirteen fourteen fifteen sixteen seventeen eighteen nineteen"
_TENS = ("twenty", "thirty", "forty", "fifty", "sixty", "seventy", "eighty", "ninety")
NUMBER_WORDS = frozenset([*_ONES.split(), *_TENS, "hundred", "thousand", "half", "quarter"])
_STAGES = "stage|pass|step|phase|round"
_PITCHES = r"0\.5|0\.7|0\.75|0\.8|1|1\.0|1\.25|1\.5|1\.75|2|2\.0|2\.5"
_UNIT = r"(?:newton|nm|n\.?m|foot|feet|inch|pound|kilogram|degree)"
_ONE_OF = {"to": 2, "too": 2, "for": 4, "fore": 4, "ate": 8, "won": 1}

_COUNTED = re.compile(r"\b(?:first|second|third|fourth|last|final|next|one|this|that|each|\d(?:st|nd|rd|th)) $", re.IGNORECASE)
_ALIKE = {"pretty": "thirty", "dirty": "thirty", "thirsty": "thirty", "party": "forty", "nifty": "fifty", "plenty": "twenty", "lady": "eighty"}
"""Words that a tens figure is heard as in noise; before a one, or a range, and a unit the text with the figure is one that it may be as well."""
_ALIKE_RUN = re.compile(
    rf"\b({'|'.join(_ALIKE)}) (?=(?:to \d+|\d|{'|'.join(_ONES.split()[:9])}) (?:newton|nm\b|(?:foot|inch)[ -]pound|pound[ -]f))", re.IGNORECASE
)
_STAGE_NUMBERS = {"to": 2, "too": 2, "for": 4, "won": 1}
_STAGE_RUN = re.compile(rf"\b({_STAGES})[- ]([1-9])(\d{{2,3}})(?=\s*{_UNIT})", re.IGNORECASE)
_STAGE_WORD = re.compile(rf"\b({_STAGES}) (to|too|for|won) (\d+)(?=\s*{_UNIT})", re.IGNORECASE)
_NO_RUN = re.compile(rf"(?<![\d.,/-])([1-9]\d) [0oO] ([1-9]\d)(?=\s*{_UNIT})", re.IGNORECASE)
_MAYBE_STAGE_RUN = re.compile(rf"\b(past|cast|class|path|age)[- ]?([1-9])(\d{{2}})(?=\s*{_UNIT})", re.IGNORECASE)
_GLUED_RUN = re.compile(rf"\b[b-ln-z]([1-9])(\d{{2}})(?=\s*{_UNIT})", re.IGNORECASE)
_STAGE_BEFORE = re.compile(rf"\b(?:{_STAGES})\b", re.IGNORECASE)
_THREAD_RUN = re.compile(r"\bM(\d{1,3})(?=\s*(?:newton|nm\b|(?:foot|inch)[ -]pound|pound[ -]f))", re.IGNORECASE)
_PITCH_RUN = re.compile(rf"((?:\bby|x|×)\s*)({_PITCHES})([1-9]\d)(?=\s*{_UNIT})", re.IGNORECASE)
_TWICE = re.compile(r"(?<![\d.,/-])([1-9]\d)/?\1(?![\d.,/-])")
_FELL_APART = re.compile(rf"(?<![\d.,/])(?:([2-9])0|({'|'.join(_TENS)}))[- ]({'|'.join(_ONE_OF)})\b(?! \d)", re.IGNORECASE)
_STOP_BEFORE_UNIT = re.compile(rf"((?:\d|\b(?:{'|'.join(sorted(NUMBER_WORDS))})))[.,] (?=newton|(?:foot|inch)[ -]pound|pound[ -]f)", re.IGNORECASE)
_STAGE_CLOCK = re.compile(rf"\b({_STAGES}) ([1-9]):(?=\d{{2,3}}\s*{_UNIT})", re.IGNORECASE)
_ITS = re.compile(r"\b([Ii])ts (?=\d)")
_TORQUE = re.compile(r"(\b[a-z']+) torque to (?=\d|[a-z]+(?:teen|ty)\b)", re.IGNORECASE)
_MIXED = re.compile(r"\d+(?:[a-wyz]+\d|[ejoquyz]|d(?!eg))", re.IGNORECASE)
_LETTER_FIRST = re.compile(r"[a-ln-svwyz]\d", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class Mended:
    """A text, and the texts of the same sound that it was taken instead of or that it may be as well."""

    text: str
    instead_of: tuple[str, ...] = ()


def is_figure(word: str) -> bool:
    """True for a word that ends a spoken number: in digits, or a number word."""
    word = word.strip(".,-").lower()
    return word[-1:].isdigit() or word.rsplit("-", 1)[-1] in NUMBER_WORDS


def is_broken(word: str, behind_a_figure: bool = False) -> bool:
    """True for a figure mixed with letters as nobody says it ("1d5", "1d", or "d5" behind "1").

    x may stand in a thread, units behind a figure, and M or T before one.
    """
    return bool(_MIXED.match(word) or (behind_a_figure and _LETTER_FIRST.match(word)))


def tidied(text: str) -> str:
    """Marks that the recogniser invents around figures put right: a stop between a figure and its unit, "its 52", a clock of "stage 1:20"."""
    text = _STAGE_CLOCK.sub(r"\1 \2, ", text)
    return _ITS.sub(r"\1t's ", _STOP_BEFORE_UNIT.sub(r"\1 ", text))


def parted(text: str) -> Mended:
    """Figures that cannot be one are parted: the stage from its value, the pitch from the torque, a figure said twice.

    An M cannot stand before a torque ("nut, eighteen newton metres" heard as "M18 newton metres") and goes; another letter behind a stage
    ("stage 1, 20 newton metres h240 newton metres") is what is left of the next one's name. What sounds like a stage
    ("past 346 newton metres" for "pass three, 46") is left, and the parted text is one that it may be as well.
    """
    places = sorted(_runs(text), reverse=True)
    mended = text
    for start, end, apart in places:
        mended = mended[:start] + apart + mended[end:]
    maybe = (mended[: m.start()] + f"pass {m[2]}, {m[3]}" + mended[m.end() :] for m in _MAYBE_STAGE_RUN.finditer(mended))
    alike = (f"{mended[: m.start()]}{_ALIKE[m[1].lower()]} {mended[m.end() :]}" for m in _ALIKE_RUN.finditer(mended))
    return Mended(mended, (*(_all_but(text, places, kept) for kept in places), *maybe, *alike))


def fallen_apart(text: str) -> list[str]:
    """The text with one tens figure and its one joined again ("30 to" as 32), for each place where that may be."""
    return [text[: m.start()] + _joined(m) + text[m.end() :] for m in _FELL_APART.finditer(text)]


def as_done(text: str, instructions: Collection[str]) -> str:
    """The text with "torqued to" where "torque to" stands behind what was tightened and before a figure ("nuts torque to 75").

    The two are one sound in some voices, but not one meaning: one was done, the other is an instruction. It is one behind any of the words in
    ``instructions`` ("should torque to 75"); without such words nothing is changed.
    """
    if not instructions:
        return text
    return _TORQUE.sub(lambda m: m[0] if m[1].lower() in instructions else f"{m[1]} torqued to ", text)


def _runs(text: str) -> Iterator[tuple[int, int, str]]:
    """Start, end and the figures apart."""
    makers: tuple[tuple[re.Pattern[str], Callable[[re.Match[str]], str]], ...] = (
        (_STAGE_RUN, lambda m: f"{m[1]} {m[2]}, {m[3]}"),
        (_STAGE_WORD, lambda m: f"{m[1]} {_STAGE_NUMBERS[m[2].lower()]}, {m[3]}"),
        (_NO_RUN, lambda m: f"{m[1]} no {m[2]}"),
        (_PITCH_RUN, lambda m: f"{m[1]}{m[2]}, {m[3]}"),
        (_TWICE, lambda m: f"{m[1]}, {m[1]}"),
        (_GLUED_RUN, lambda m: f"stage {m[1]}, {m[2]}"),
        (_THREAD_RUN, lambda m: m[1]),
    )
    for pattern, apart in makers:
        for found in pattern.finditer(text):
            year = pattern is _TWICE and "/" not in found[0] and 1900 <= int(found[0]) < 2100
            counted = pattern in (_STAGE_RUN, _STAGE_WORD) and _COUNTED.search(text[: found.start()])
            alone = pattern is _GLUED_RUN and not _STAGE_BEFORE.search(text[: found.start()])
            if not (year or counted or alone):
                yield found.start(), found.end(), apart(found)


def _all_but(text: str, places: list[tuple[int, int, str]], kept: tuple[int, int, str]) -> str:
    """All parted but one."""
    for start, end, apart in places:
        if (start, end, apart) != kept:
            text = text[:start] + apart + text[end:]
    return text


def _joined(found: re.Match[str]) -> str:
    one = _ONE_OF[found[3].lower()]
    if found[1]:
        return f"{found[1]}{one}"
    return f"{found[2]} {_ONES.split()[one - 1]}"
