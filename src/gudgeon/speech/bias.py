"""Phrases that are likely in this shop, as a bonus for readings that hold them.

A tree of characters over all phrases: every way to split a phrase into word pieces leads through it. A reading that is part of the way
into a phrase has a share of the phrase's bonus; when the phrase breaks off, the share is taken back; when it ends at the end of a word,
the bonus stays. Right after a figure the units of the trade are likelier still, and a figure with letters in its midst is less likely.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from gudgeon.speech.figures import is_broken, is_figure
from gudgeon.speech.tokens import END, FIRST_PIECE, SPACE, Tokens

AFTER_A_FIGURE = 6.5
"""What a unit gets more, right after a figure, at the usual strength of 1.6; in units of log probability."""
LEADS_TO_A_FIGURE = 3.0
"""What "torqued to" and its like get more, at the usual strength: one who works says them time and again, and they are seldom clear."""
USUAL_STRENGTH = 1.6
BROKEN_FIGURE = 6.0


@dataclass(slots=True, eq=False)
class Node:
    """A place in the tree: ``share`` of the bonus on the way, ``whole`` when a phrase ends here (else 0); ``ahead`` (and the tokens
    that lead on from here, or into a phrase) are filled when first asked."""

    children: dict[int, Node] = field(default_factory=dict)
    share: float = 0.0
    whole: float = 0.0
    ahead: dict[int, Node] | None = None
    leads_on: NDArray[np.int64] | None = None


@dataclass(frozen=True, slots=True)
class Place:
    """Where a reading stands: its node, the bonus kept from phrases before, and from a shorter phrase on the way of the present one.

    ``word`` is what there is of the word under way, ``behind_a_figure`` whether the word before it was a figure.
    """

    node: Node
    kept: float = 0.0
    on_the_way: float = 0.0
    word: bytes = b""
    behind_a_figure: bool = False

    @property
    def bonus(self) -> float:
        """The bonus of the reading as it stands, in units of log probability."""
        return self.kept + max(self.on_the_way, self.node.share)


class Bias:
    """The tree of phrases; ``strength`` is the bonus for each word piece of a phrase, in units of log probability.

    ``units`` are phrases that are expected right after a figure, ``lead_ins`` those that lead to one.
    """

    def __init__(self, phrases: Iterable[str], tokens: Tokens, *, strength: float, units: Iterable[str] = (), lead_ins: Iterable[str] = ()) -> None:
        self._tokens = tokens
        self._root, self._after_a_figure = Node(), Node()
        self._pieces = _tree_of_pieces(tokens)
        self._more = AFTER_A_FIGURE * strength / USUAL_STRENGTH
        expected = {v for u in units for v in spellings(u)}
        leading = {v for p in lead_ins for v in spellings(p)}
        for phrase in sorted(expected | leading | {v for p in phrases if p.strip() for v in spellings(p)}):
            bonus = strength * len(tokens.split(phrase)) + (LEADS_TO_A_FIGURE * strength / USUAL_STRENGTH if phrase in leading else 0.0)
            _add(self._root, phrase, bonus)
            _add(self._after_a_figure, phrase, bonus + (self._more if phrase in expected else 0.0))

    def start(self) -> Place:
        """Where every reading begins."""
        return Place(self._root)

    def ahead(self, place: Place) -> NDArray[np.int64]:
        """The tokens that lead on in a phrase, or into one."""
        node = place.node
        if node.leads_on is None:
            node.leads_on = np.fromiter(self._ahead(node).keys() | self._ahead(self._root).keys(), np.int64)
        return node.leads_on

    def after(self, place: Place, token: int) -> Place:
        """Where the reading stands after this token."""
        node, kept, on_the_way = place.node, place.kept, place.on_the_way
        piece = self._tokens.pieces[token] if FIRST_PIECE <= token < len(self._tokens.pieces) else b""
        begins = piece.startswith(_SPACE)
        word = piece.removeprefix(_SPACE) if begins else place.word + piece
        behind = is_figure(_text(place.word)) if begins else place.behind_a_figure
        if node.whole and (token == END or self._tokens.starts_word(token)):
            on_the_way = max(on_the_way, node.whole)
        if not begins and is_broken(_text(word), behind) and not is_broken(_text(place.word), behind):
            kept -= BROKEN_FIGURE
        further = self._ahead(node).get(token)
        if further is not None and node not in (self._root, self._after_a_figure):
            return Place(further, kept, on_the_way, word, behind)
        root = self._after_a_figure if begins and behind else self._root
        return Place(self._ahead(root).get(token, self._root), kept + on_the_way, word=word, behind_a_figure=behind)

    def _ahead(self, node: Node) -> dict[int, Node]:
        if node.ahead is None:
            node.ahead = dict(_along(node, self._pieces))
        return node.ahead


def _add(root: Node, phrase: str, bonus: float) -> None:
    letters = (SPACE + phrase.replace(" ", SPACE)).encode()
    node = root
    for count, letter in enumerate(letters, 1):
        node = node.children.setdefault(letter, Node())
        node.share = max(node.share, bonus * count / len(letters))
    node.whole = max(node.whole, bonus)


def spellings(phrase: str) -> set[str]:
    """The phrase as given, in small letters, and with a capital at its start."""
    phrase = " ".join(phrase.split())
    small = phrase.lower() if not any(c.isdigit() for c in phrase) else phrase
    return {phrase, small, small[:1].upper() + small[1:]}


_SPACE = SPACE.encode()


def _text(word: bytes) -> str:
    return word.decode("utf-8", "ignore")


Pieces = dict[int, "Pieces"]  # letters of the pieces; under -1 the token's number


def _tree_of_pieces(tokens: Tokens) -> Pieces:
    root: Pieces = {}
    for number, piece in enumerate(tokens.pieces[FIRST_PIECE:], FIRST_PIECE):
        place = root
        for letter in piece:
            place = place.setdefault(letter, {})
        place[-1] = number  # type: ignore[assignment]
    return root


def _along(node: Node, pieces: Pieces) -> Iterable[tuple[int, Node]]:
    """Every token whose letters all lie on the tree from this node on, with the node it leads to."""
    for letter, child in node.children.items():
        below = pieces.get(letter)
        if below is None:
            continue
        if -1 in below:
            yield below[-1], child  # type: ignore[misc]
        yield from _along(child, below)
