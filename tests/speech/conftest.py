"""A made-up model with made-up word pieces: what it would say is written down, so that searching can be tested without the real one."""

from types import SimpleNamespace

import numpy as np
import pytest

from gudgeon.speech.nets import Memory
from gudgeon.speech.tokens import END, FIRST_PIECE, Tokens

PIECES = ["▁new", "▁nuke", "▁crush", "▁rush", "▁washer", "▁wash", "er", "ing", "▁to", "▁", "1", "3", "0", "4", ".", "▁the", "n", "e", "w"]


class ToyTokens(Tokens):
    """The real reader of pieces, but splitting by the longest piece: so short a list has no steps between letters and words."""

    def split(self, text):
        rest, found = "▁" + text.replace(" ", "▁"), []
        while rest:
            piece = max((p for p in PIECES if rest.startswith(p)), key=len, default=rest[0])
            found.append(number(piece) if piece in PIECES else 0)
            rest = rest[len(piece) :]
        return found


def toy_tokens(pieces=PIECES):
    singles = [bytes([n]) for n in range(256)]
    return ToyTokens((b"<unk>", b"<s>", b"</s>", *singles, *(p.encode() for p in pieces)))


def number(piece):
    return FIRST_PIECE + PIECES.index(piece)


class ToyNet:
    """After so many steps the pieces of that step get the written odds, whatever was said before; after the last step comes the end.

    ``steps`` is a list of dicts piece → probability; what is left over is spread thinly over all tokens.
    """

    def __init__(self, steps):
        self.steps = steps
        self.size = FIRST_PIECE + len(PIECES)

    def listen(self, samples):
        return Memory(())

    def step(self, tokens, memory):
        readings, count = tokens.shape
        before = memory.own[0] if memory.own else np.zeros((readings, 0), np.float32)
        scores = np.full((readings, count, self.size), np.log(1e-9), np.float32)
        for at in range(count):
            place = before.shape[1] + at
            odds = self.steps[place] if place < len(self.steps) else {"end": 1.0}
            for piece, odd in odds.items():
                scores[:, at, END if piece == "end" else number(piece)] = np.log(odd)
        return scores, Memory((), (np.concatenate([before, np.zeros((readings, count), np.float32)], axis=1),))


@pytest.fixture(scope="session")
def toy():
    return SimpleNamespace(tokens=toy_tokens(), net=ToyNet, number=number)
