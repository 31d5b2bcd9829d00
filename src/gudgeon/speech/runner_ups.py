"""Digits that nearly came out otherwise: where the model's second choice at a digit is another one, one more, or one less."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Sequence

import numpy as np
from numpy.typing import NDArray

from gudgeon.speech.forced import step_logs
from gudgeon.speech.nets import Memory, Net
from gudgeon.speech.tokens import END, Tokens

NEAR = 0.05
"""A runner-up is looked at when its probability is at least this share of both."""
MOST = 8

Tail = tuple[int, ...]


def runner_ups(net: Net, heard: Memory, text: str, tokens: Tokens) -> list[str]:
    """The text with one digit exchanged, put in or left out, where the model had that in mind; the nearest first, no more than eight."""
    digits = {tokens.numbers[piece]: piece for piece in (b"0", b"1", b"2", b"3", b"4", b"5", b"6", b"7", b"8", b"9") if piece in tokens.numbers}
    said = tokens.split(text)
    if not digits.keys() & set(said):
        return []
    logs = step_logs(net, heard, said)
    near = sorted(_near(said, logs, digits.keys()), key=lambda found: found[0], reverse=True)[:MOST]
    return list(dict.fromkeys(other for _, tail in near if (other := tokens.text(tail)) != text))


def _near(said: Sequence[int], logs: NDArray[np.float32], digits: Collection[int]) -> Iterator[tuple[float, Tail]]:
    """Share and tokens of every text with a digit otherwise."""
    end = [*said, END]
    for at, token in enumerate(end):
        inside = token in digits
        after = at > 0 and end[at - 1] in digits
        if not (inside or after):
            continue
        for digit in digits:
            if digit != token and (odds := _odds(logs[at, token], logs[at, digit])) >= NEAR:
                rest = said[at + 1 :] if inside else said[at:]
                yield odds, (*said[:at], digit, *rest)
        if inside and after and (odds := _odds(logs[at, token], logs[at, end[at + 1]])) >= NEAR:
            yield odds, (*said[:at], *said[at + 1 :])


def _odds(own: float, other: float) -> float:
    return float(np.exp(other) / (np.exp(own) + np.exp(other)))
