"""Phrases that are likely in this shop, as a bonus for readings that hold them.

A tree of characters over all phrases: every way to split a phrase into word pieces leads through it. A reading that is part of the way
into a phrase has a share of the phrase's bonus; when the phrase breaks off, the share is taken back; when it ends at the end of a word,
the bonus stays.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field

from gudgeon.speech.tokens import END, FIRST_PIECE, SPACE, Tokens


@dataclass(slots=True, eq=False)
class Node:
    """A place in the tree: ``share`` of the bonus on the way, ``whole`` when a phrase ends here (else 0); ``ahead`` is filled when first asked."""

    children: dict[int, Node] = field(default_factory=dict)
    share: float = 0.0
    whole: float = 0.0
    ahead: dict[int, Node] | None = None


@dataclass(frozen=True, slots=True)
class Place:
    """Where a reading stands: its node, the bonus kept from phrases before, and from a shorter phrase on the way of the present one."""

    node: Node
    kept: float = 0.0
    on_the_way: float = 0.0

    @property
    def bonus(self) -> float:
        """The bonus of the reading as it stands, in units of log probability."""
        return self.kept + max(self.on_the_way, self.node.share)


class Bias:
    """The tree of phrases; ``strength`` is the bonus for each word piece of a phrase, in units of log probability."""

    def __init__(self, phrases: Iterable[str], tokens: Tokens, *, strength: float) -> None:
        self._tokens = tokens
        self._root = Node()
        self._pieces = _tree_of_pieces(tokens)
        for phrase in sorted({v for p in phrases if p.strip() for v in spellings(p)}):
            self._add(phrase, strength)

    def start(self) -> Place:
        """Where every reading begins."""
        return Place(self._root)

    def ahead(self, place: Place) -> set[int]:
        """The tokens that lead on in a phrase, or into one."""
        return self._ahead(place.node).keys() | self._ahead(self._root).keys()

    def after(self, place: Place, token: int) -> Place:
        """Where the reading stands after this token."""
        node, on_the_way = place.node, place.on_the_way
        if node.whole and (token == END or self._tokens.starts_word(token)):
            on_the_way = max(on_the_way, node.whole)
        further = self._ahead(node).get(token)
        if further is not None and node is not self._root:
            return Place(further, place.kept, on_the_way)
        return Place(self._ahead(self._root).get(token, self._root), place.kept + on_the_way)

    def _add(self, phrase: str, strength: float) -> None:
        letters = (SPACE + phrase.replace(" ", SPACE)).encode()
        bonus = strength * len(self._tokens.split(phrase))
        node = self._root
        for count, letter in enumerate(letters, 1):
            node = node.children.setdefault(letter, Node())
            node.share = max(node.share, bonus * count / len(letters))
        node.whole = max(node.whole, bonus)

    def _ahead(self, node: Node) -> dict[int, Node]:
        if node.ahead is None:
            node.ahead = dict(_along(node, self._pieces))
        return node.ahead


def spellings(phrase: str) -> set[str]:
    """The phrase as given, in small letters, and with a capital at its start."""
    phrase = " ".join(phrase.split())
    small = phrase.lower() if not any(c.isdigit() for c in phrase) else phrase
    return {phrase, small, small[:1].upper() + small[1:]}


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
