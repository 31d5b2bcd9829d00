"""The model's word pieces: read from its own file, and pieces ↔ text.

The file holds one entry a token, in the order of their numbers: a length (one byte, or two when the first has its high bit set:
``second * 128 + first - 128``), then that many bytes of UTF-8. The character U+2581 stands for a space. Tokens 3 to 258 are single bytes.
"""

from __future__ import annotations

import itertools
from collections.abc import Iterable
from pathlib import Path

from gudgeon.domain import RecogniserFailed

START, END = 1, 2
FIRST_BYTE, FIRST_PIECE = 3, 259
SPACE = "\u2581"
MOST_WORDS = 20_000
"""Words whose pieces are remembered."""


class Tokens:
    """The list of word pieces: ``pieces[n]`` is the text of token ``n``, as bytes, spaces as U+2581."""

    def __init__(self, pieces: tuple[bytes, ...]) -> None:
        self.pieces = pieces
        self._words: dict[str, tuple[int, ...]] = {}
        self.numbers = {piece: number for number, piece in enumerate(pieces) if number >= FIRST_PIECE}

    @classmethod
    def read(cls, path: Path) -> Tokens:
        """The pieces of a tokenizer file. Raises RecogniserFailed when the file is not whole."""
        data = path.read_bytes()
        pieces: list[bytes] = []
        at = 0
        while at < len(data):
            length, at = data[at], at + 1
            if length >= 128 and at < len(data):
                length, at = data[at] * 128 + length - 128, at + 1
            if at + length > len(data):
                break
            pieces.append(data[at : at + length])
            at += length
        if at != len(data) or len(pieces) <= FIRST_PIECE:
            raise RecogniserFailed(f"The word list of the speech model is damaged: {path}.", next_step="Install the model again.")
        return cls(tuple(pieces))

    def text(self, tokens: Iterable[int]) -> str:
        """The text these tokens stand for, without leading and trailing space; tokens below 3 and above the list stand for nothing."""
        parts = (self.pieces[t] for t in tokens if FIRST_BYTE <= t < len(self.pieces))
        return b"".join(parts).decode("utf-8", errors="replace").replace(SPACE, " ").strip()

    def split(self, text: str) -> list[int]:
        """The tokens the model itself would use for this text, as of a new word. No piece goes over from one word to the next."""
        return [token for word in text.strip().split(" ") for token in self._of_word(word)]

    def _of_word(self, word: str) -> tuple[int, ...]:
        """Byte-pair merging: of all neighbours that make a piece, the pair whose piece stands first in the list is joined, again and again."""
        if word in self._words:
            return self._words[word]
        parts = [c.encode() for c in SPACE + word]
        while True:
            joined = [(self.numbers.get(a + b, len(self.pieces)), n) for n, (a, b) in enumerate(itertools.pairwise(parts))]
            number, at = min(joined, default=(len(self.pieces), 0))
            if number == len(self.pieces):
                break
            parts[at : at + 2] = [parts[at] + parts[at + 1]]
        numbers = tuple(t for part in parts for t in self._numbers_of(part))
        if len(self._words) < MOST_WORDS:
            self._words[word] = numbers
        return numbers

    def starts_word(self, token: int) -> bool:
        """True when this token cannot be the rest of a word: it starts with a space or with no letter or figure, or ends the text."""
        piece = self.pieces[token] if FIRST_PIECE <= token < len(self.pieces) else b" "
        return (not piece[:1].isalnum() and piece[:1] < b"\x80") or piece.startswith(SPACE.encode())

    def _numbers_of(self, part: bytes) -> list[int]:
        number = self.numbers.get(part)
        return [FIRST_BYTE + byte for byte in part] if number is None else [number]
