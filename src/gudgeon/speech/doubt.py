"""Teen or ty: figures that sound alike are scored one against the other, by how well each text explains the sound.

All texts are forced through the model in one go, the figure in digits and in words; the odds of the other figure are its share of the
probability of both. The words around the figure count too, so the figure's own word piece alone does not decide.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from gudgeon.domain import Reading
from gudgeon.speech.figures import fallen_apart, parted, tidied
from gudgeon.speech.nets import Floats, Memory, Net
from gudgeon.speech.tokens import END, START, Tokens

CLOSE = 0.01
"""Other readings with smaller odds are not kept."""
EVEN = 0.5
"""The odds of texts that are one and the same sound."""

TEENS = ("thirteen", "fourteen", "fifteen", "sixteen", "seventeen", "eighteen", "nineteen")
TIES = ("thirty", "forty", "fifty", "sixty", "seventy", "eighty", "ninety")
WORDS = {13 + n: word for n, word in enumerate(TEENS)} | {30 + 10 * n: word for n, word in enumerate(TIES)}
FIGURES = {word: figure for figure, word in WORDS.items()}

DIGITS = re.compile(r"(?<![\w.,/:])(\d?)([1-9]\d)(?![\d/:]|[.,]\d)")
WORD = re.compile(rf"\b({'|'.join(FIGURES)})\b(?![- ](?:one|two|three|four|five|six|seven|eight|nine)\b)", re.IGNORECASE)
HUNDRED = re.compile(r"\bhundred (?:and )?$", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class Twins:
    """One figure of a text: the text with the same figure in other spellings, and with its partner, first in the spelling of the text."""

    same: tuple[str, ...]
    other: tuple[str, ...]


def twins(text: str) -> list[Twins]:
    """Every figure of the text that has a partner: 13 and 30, 14 and 40 … 19 and 90, also at the end of a hundred."""
    return [
        Twins(
            tuple(text[:start] + spelling + text[end:] for spelling in same),
            tuple(text[:start] + spelling + text[end:] for spelling in other),
        )
        for start, end, same, other in _spellings(text)
    ]


def rivals(net: Net, heard: Memory, text: str, tokens: Tokens) -> tuple[Reading, ...]:
    """The texts with one figure exchanged that the sound may hold as well, each with its odds against ``text``, most likely first."""
    figures = twins(text)
    if not figures:
        return ()
    texts = list(dict.fromkeys([text, *(t for f in figures for t in (*f.same, *f.other))]))
    scores = dict(zip(texts, log_odds(net, heard, [tokens.split(t) for t in texts]), strict=True))
    readings = [
        Reading(f.other[0], _share(np.logaddexp.reduce([scores[t] for t in f.same]), np.logaddexp.reduce([scores[t] for t in f.other])))
        for f in figures
    ]
    return tuple(sorted((r for r in readings if r.odds >= CLOSE), key=lambda r: r.odds, reverse=True))


def settled(net: Net, heard: Memory, text: str, tokens: Tokens) -> tuple[str, tuple[Reading, ...]]:
    """The text as it can be meant, and what else the sound may hold, most likely first.

    Figures that ran together are parted by rule; a tens figure that lost its one is joined again when that explains the sound better, and a
    partner that explains it better than the figure takes its place. What was left is among the others.
    """
    mended = parted(tidied(text))
    text = mended.text
    others = [Reading(same, EVEN) for same in mended.instead_of]
    for joined in fallen_apart(text):
        as_it_is, as_joined = log_odds(net, heard, [tokens.split(text), tokens.split(joined)])
        odds = _share(as_it_is, as_joined)
        if odds > EVEN:
            text, joined, odds = joined, text, 1.0 - odds
        if odds >= CLOSE:
            others.append(Reading(joined, odds))
    found = rivals(net, heard, text, tokens)
    if found and found[0].odds > EVEN:
        text = found[0].text
        found = rivals(net, heard, text, tokens)
    return text, tuple(sorted((*others, *found), key=lambda r: r.odds, reverse=True))


def log_odds(net: Net, heard: Memory, texts: Sequence[Sequence[int]]) -> list[float]:
    """The log probability of each text, its end included, given the sound."""
    longest = max(len(t) for t in texts) + 1
    fed = np.full((len(texts), longest), END, np.int64)
    for row, text in enumerate(texts):
        fed[row, : len(text) + 1] = (START, *text)
    scores, _ = net.step(fed, heard)
    return [_sum(scores[row], [*text, END]) for row, text in enumerate(texts)]


def _sum(scores: Floats, wanted: Sequence[int]) -> float:
    steps = scores[: len(wanted)].astype(np.float64)
    steps -= steps.max(axis=1, keepdims=True)
    logs = steps[np.arange(len(wanted)), list(wanted)] - np.log(np.exp(steps).sum(axis=1))
    return float(logs.sum())


def _share(own: float, other: float) -> float:
    return 1.0 / (1.0 + float(np.exp(min(own - other, 700.0))))


def _spellings(text: str) -> Iterator[tuple[int, int, tuple[str, ...], tuple[str, ...]]]:
    """Start and end of every figure with a partner, then the spellings of both, those of the text first."""
    for found in DIGITS.finditer(text):
        figure = int(found.group(2))
        if figure in WORDS:
            words = not found.group(1)
            yield found.start(2), found.end(2), _both(figure, words), _both(_partner(figure), words)
    for found in WORD.finditer(text):
        figure, alone = FIGURES[found.group().lower()], not HUNDRED.search(text[: found.start()])
        capital = found.group()[0].isupper()
        yield found.start(), found.end(), _words_first(figure, alone, capital), _words_first(_partner(figure), alone, capital)


def _words_first(figure: int, digits: bool, capital: bool) -> tuple[str, ...]:
    """The figure in words, then in digits when they are wanted."""
    word = WORDS[figure].capitalize() if capital else WORDS[figure]
    return (word, str(figure)) if digits else (word,)


def _both(figure: int, words: bool) -> tuple[str, ...]:
    """The figure in digits, then in words when they are wanted."""
    return (str(figure), WORDS[figure]) if words else (str(figure),)


def _partner(figure: int) -> int:
    return (figure - 10) * 10 if figure < 20 else figure // 10 + 10
