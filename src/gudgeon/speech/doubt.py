"""Figures that sound alike are scored one against the other, by how well each text explains the sound: teens and -ties, and runner-up digits.

All texts are forced through the model in one go, teens and -ties in digits and in words; the odds of the other figure are its share of the
probability of both. The words around the figure count too, so the figure's own word piece alone does not decide. Behind a hundred the whole figure
is scored in both spellings ("one hundred and eighteen" and "118"), which only marks it: a voice's "eighty" there was heard as "eighteen", and in
words alone the sound spoke for it by 500 to 1, in figures by 2 to 1.
"""

from __future__ import annotations

import re
from collections.abc import Collection, Iterator, Mapping
from dataclasses import dataclass

import numpy as np

from gudgeon.domain import Reading
from gudgeon.speech.figures import as_done, fallen_apart, parted, tidied
from gudgeon.speech.forced import log_odds, share
from gudgeon.speech.nets import Memory, Net
from gudgeon.speech.runner_ups import runner_ups
from gudgeon.speech.tokens import Tokens

CLOSE = 0.01
"""Other readings with smaller odds are not kept."""
CLEARLY = 9.0
"""By so much, in log probability, "torque to" must explain the sound better to be kept: up to 8.3 where "torqued to" was said, in one voice."""
EVEN = 0.5
"""The odds of texts that are one and the same sound."""

TEENS = ("thirteen", "fourteen", "fifteen", "sixteen", "seventeen", "eighteen", "nineteen")
TIES = ("thirty", "forty", "fifty", "sixty", "seventy", "eighty", "ninety")
WORDS = {13 + n: word for n, word in enumerate(TEENS)} | {30 + 10 * n: word for n, word in enumerate(TIES)}
FIGURES = {word: figure for figure, word in WORDS.items()}

DIGITS = re.compile(r"(?:(?<![\w.,/:])|(?<=(?<!\w)[MT])|(?<=\dx))(\d?)([1-9]\d)(?![\d/:]|[.,]\d)")
WORD = re.compile(rf"\b({'|'.join(FIGURES)})\b(?![- ](?:one|two|three|four|five|six|seven|eight|nine)\b)", re.IGNORECASE)
HUNDRED = re.compile(r"\bhundred (?:and )?$", re.IGNORECASE)
ONES = ("one", "two", "three", "four", "five", "six", "seven", "eight", "nine")
HUNDREDS = re.compile(rf"\b((a|{'|'.join(ONES)}) hundred (?:and )?){WORD.pattern}", re.IGNORECASE)


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


def hundreds(text: str) -> list[Twins]:
    """Every figure of the text that is a hundred and a teen or -ty, in words and in digits, with its partner in both; first as the text has it."""
    found = []
    for run in HUNDREDS.finditer(text):
        figure, first = FIGURES[run[3].lower()], 1 if run[2].lower() == "a" else ONES.index(run[2].lower()) + 1
        other = WORDS[_partner(figure)].capitalize() if run[3][0].isupper() else WORDS[_partner(figure)]
        found.append(_spelled(text, run, f"{first}{figure}", run[1] + other, f"{first}{_partner(figure)}"))
    for run in DIGITS.finditer(text):
        figure = int(run[2])
        if run[1] and figure in WORDS and not text[: run.start()][-1:].isalpha():
            hundred = f"{ONES[int(run[1]) - 1]} hundred and "
            found.append(_spelled(text, run, hundred + WORDS[figure], f"{run[1]}{_partner(figure)}", hundred + WORDS[_partner(figure)]))
    return found


def _spelled(text: str, run: re.Match[str], same: str, *other: str) -> Twins:
    """The text as it is and with the figure spelled otherwise, and with the other figure."""
    before, after = text[: run.start()], text[run.end() :]
    return Twins((text, before + same + after), tuple(before + figure + after for figure in other))


def rivals(net: Net, heard: Memory, text: str, tokens: Tokens) -> tuple[Reading, ...]:
    """The texts with one figure exchanged that the sound may hold as well, each with its odds against ``text``, most likely first."""
    figures = [*twins(text), *(Twins((text,), (other,)) for other in runner_ups(net, heard, text, tokens))]
    if not figures:
        return ()
    spelled = hundreds(text)
    texts = list(dict.fromkeys([text, *(t for f in (*figures, *spelled) for t in (*f.same, *f.other))]))
    scores = dict(zip(texts, log_odds(net, heard, [tokens.split(t) for t in texts]), strict=True))
    found: dict[str, float] = {}
    for f in figures:
        found.setdefault(f.other[0], _odds(f, scores))
    for f in spelled:
        found[f.other[0]] = max(found.get(f.other[0], 0.0), min(_odds(f, scores), EVEN))
    readings = (Reading(other, odds) for other, odds in found.items() if odds >= CLOSE)
    return tuple(sorted(readings, key=lambda r: r.odds, reverse=True))


def _odds(figure: Twins, scores: Mapping[str, float]) -> float:
    """The partner's share, all spellings of both together."""
    return share(np.logaddexp.reduce([scores[t] for t in figure.same]), np.logaddexp.reduce([scores[t] for t in figure.other]))


def settled(net: Net, heard: Memory, text: str, tokens: Tokens, instructions: Collection[str] = ()) -> tuple[str, tuple[Reading, ...]]:
    """The text as it can be meant, and what else the sound may hold, most likely first.

    Figures that ran together are parted by rule; a tens figure that lost its one is joined again when that explains the sound better, and a
    partner that explains it better than the figure takes its place. What was left is among the others, and so is "torque to" where the sound
    holds it rather than the "torqued to" that the phrases made of it; ``instructions`` are the words behind which it is meant so.
    """
    mended = parted(tidied(text))
    text = mended.text
    others = [Reading(same, EVEN) for same in mended.instead_of]
    text, instruction = _done(net, heard, text, tokens, instructions)
    others += instruction
    for joined in fallen_apart(text):
        as_it_is, as_joined = log_odds(net, heard, [tokens.split(text), tokens.split(joined)])
        odds = share(as_it_is, as_joined)
        if odds > EVEN:
            text, joined, odds = joined, text, 1.0 - odds
        if odds >= CLOSE:
            others.append(Reading(joined, odds))
    found = rivals(net, heard, text, tokens)
    if found and found[0].odds > EVEN:
        text = found[0].text
        found = rivals(net, heard, text, tokens)
    return text, tuple(sorted((*others, *found), key=lambda r: r.odds, reverse=True))


def _done(net: Net, heard: Memory, text: str, tokens: Tokens, instructions: Collection[str]) -> tuple[str, list[Reading]]:
    """The text with "torqued to" for "torque to", unless the sound speaks clearly against it; then the text as it came is among the others."""
    done = as_done(text, instructions)
    if done == text:
        return text, []
    as_it_came, as_it_may_be = log_odds(net, heard, [tokens.split(text), tokens.split(done)])
    if as_it_came - as_it_may_be > CLEARLY:
        return text, []
    return done, [Reading(text, share(as_it_may_be, as_it_came))]


def _spellings(text: str) -> Iterator[tuple[int, int, tuple[str, ...], tuple[str, ...]]]:
    """Start and end of every figure with a partner, then the spellings of both, those of the text first."""
    for found in DIGITS.finditer(text):
        figure = int(found.group(2))
        if figure in WORDS:
            words = not (found.group(1) or text[: found.start()][-1:].isalpha())  # nobody writes "Mthirty"
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
