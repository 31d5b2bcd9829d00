"""Teen or ty: figures that sound alike are scored one against the other, by how well each text explains the sound.

Both texts are forced through the model in one go; the odds of the other text are its share of the two probabilities. The words around
the figure count too, so the figure's own token alone does not decide.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence

import numpy as np

from gudgeon.domain import Reading
from gudgeon.speech.nets import Floats, Memory, Net
from gudgeon.speech.tokens import END, START, Tokens

CLOSE = 0.02
"""Other readings with smaller odds are not kept."""

TEENS = ("thirteen", "fourteen", "fifteen", "sixteen", "seventeen", "eighteen", "nineteen")
TIES = ("thirty", "forty", "fifty", "sixty", "seventy", "eighty", "ninety")
PARTNERS = dict(zip(TEENS, TIES, strict=True)) | dict(zip(TIES, TEENS, strict=True))

FIGURE = re.compile(r"(?<![\w.,/:])(\d?)([1-9]\d)(?![\d/:]|[.,]\d)")
WORD = re.compile(rf"\b({'|'.join(PARTNERS)})\b(?![- ](?:one|two|three|four|five|six|seven|eight|nine)\b)", re.IGNORECASE)


def partner_texts(text: str) -> list[str]:
    """The text once for every figure with a partner, with that one figure exchanged: 13 and 30, 14 and 40 … 19 and 90."""
    return [text[:start] + other + text[end:] for start, end, other in _partners(text)]


def rivals(net: Net, heard: Memory, text: str, tokens: Tokens) -> tuple[Reading, ...]:
    """The texts with one figure exchanged that the sound may hold as well, each with its odds against ``text``, most likely first."""
    others = partner_texts(text)
    if not others:
        return ()
    own, *theirs = log_odds(net, heard, [tokens.split(t) for t in (text, *others)])
    readings = [Reading(other, _share(own, its)) for other, its in zip(others, theirs, strict=True)]
    return tuple(sorted((r for r in readings if r.odds >= CLOSE), key=lambda r: r.odds, reverse=True))


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


def _partners(text: str) -> Iterator[tuple[int, int, str]]:
    """Start and end of every figure with a partner, and the partner as it would be written there."""
    for found in FIGURE.finditer(text):
        tens, ones = found.group(2)[0], found.group(2)[1]
        if tens == "1" and ones >= "3":
            yield found.start(2), found.end(2), f"{ones}0"
        elif ones == "0" and tens >= "3":
            yield found.start(2), found.end(2), f"1{tens}"
    for found in WORD.finditer(text):
        other = PARTNERS[found.group().lower()]
        yield found.start(), found.end(), other.capitalize() if found.group()[0].isupper() else other
