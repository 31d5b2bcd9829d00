"""The words of a place in a note: sides, corners, ends, numbers, letters, as the record writes them."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from gudgeon.entries.joint_words import singular
from gudgeon.entries.vocabulary import NUMBERING, Vocabulary
from gudgeon.notes import Token

ALIKE = frozenset(("likewise", "ditto", "same", "identical"))
"""What says that a place got the same."""
SPLICES = frozenset(("hand", "side", "-"))
"""What goes on with a side: "left hand side"."""
_TWINS = 2
_MOST_TWINS = 13
_AFTER_END = ALIKE | frozenset((":", "the", "has", "got", "had", "pair", "'s", "one", "ones", "nut", "nuts", "bolt", "bolts", "screw", "screws"))
LETTERS = {"l": "left", "r": "right", "lh": "left", "rh": "right", "ns": "nearside", "os": "offside", "p": "port", "s": "starboard"}
_CORNERS = {"stbd": "starboard", "nsf": "left front", "osf": "right front", "nsr": "left rear", "osr": "right rear"}
_LETTER_GOES_ON = frozenset(("the", "same", "likewise", "ditto", ":", "is", "was", "got", "has", "at"))
_ONE_WORD = {"near side": "nearside", "off side": "offside"}
_EDGES = frozenset(("edge", "face", "corner", "flank"))
"""What a place may be called by, beside a side and an end: "forward edge"."""


def run_of_places(tokens: Sequence[Token], at: int, words: Vocabulary) -> tuple[int, list[str]]:
    """The end of the run of place words at a token, and the words."""
    said: list[str] = []
    while at < len(tokens):
        token = tokens[at]
        value = _number(tokens[at + 1]) if at + 1 < len(tokens) else None
        dotted = token.norm == "no" and at + 2 < len(tokens) and tokens[at + 1].norm == "." and _number(tokens[at + 2]) is not None
        longer = _length(tokens, at, words) if token.norm in words.openers else 0
        letter = LETTERS.get(short_of(token)) if at == 0 or tokens[at - 1].kind == "punct" else None
        if not said and (nth := ordinal(token)) and at + 1 < len(tokens) and tokens[at + 1].norm == "one":
            return at + 1, [f"number {nth}"]
        if letter and not said and (value is not None or (at + 1 < len(tokens) and tokens[at + 1].norm in _LETTER_GOES_ON)):
            return at + 1, [letter]
        if longer:
            plain = longer == _TWINS and tokens[at].norm in words.alone and tokens[at + 1].norm in SPLICES  # "uphill side"
            said.append(" ".join(t.norm for t in tokens[at : at + longer - plain]))
            at += longer
        elif dotted and (value := _number(tokens[at + 2])) is not None and value == int(value) and 0 < value < 100:
            said.append(f"number {int(value)}")
            at += 3
        elif (token.norm in {"near", "far"} and at + 1 < len(tokens) and tokens[at + 1].norm in {"one", "ones"}) or (
            token.norm == "port" and at + 1 < len(tokens) and tokens[at + 1].norm == "side"
        ):
            said.append(token.norm)
            at += 1
        elif (place := _one_place(token.norm, words)) is not None:
            said.append(place)
            at += 1
        elif token.norm in words.places and at + 1 < len(tokens) and tokens[at + 1].norm in _EDGES:
            said.append(token.norm)
            at += 1
        elif token.norm in NUMBERING and not _counts(tokens, at, words) and value is not None and value == int(value) and 0 < value < 100:
            said.append(f"number {int(value)}")
            at += 2
        elif said and (token.norm in SPLICES or (token.norm == "end" and at + 1 < len(tokens) and tokens[at + 1].norm in _AFTER_END)):
            at += 1
        else:
            break
    return at, said


def _counts(tokens: Sequence[Token], at: int, words: Vocabulary) -> bool:
    """ "Top row six bolts": the figure behind a row or a bank is how many fasteners there are."""
    if tokens[at].norm not in {"bank", "row"} or at + 2 >= len(tokens):
        return False
    figure = tokens[at + 1].figure
    return words.role("fastener", singular(tokens[at + 2].norm)) is not None and not (figure and figure.splits)


def short_of(token: Token) -> str:
    """A side as it is written short: "R/H" is ``rh``."""
    return token.text.lower().replace("/", "")


def _one_place(word: str, words: Vocabulary) -> str | None:
    """The place that a word names, be it in the plural: "rears a hundred and ten newton metres"."""
    if word in words.alone or word in _CORNERS:
        return _CORNERS.get(word, word)
    return word[:-1] if word.endswith("s") and word[:-1] in words.alone else None


def _length(tokens: Sequence[Token], at: int, words: Vocabulary) -> int:
    """How many words a place of several has at a token, 0 when there is none."""
    return next((n for n in (3, 2) if at + n <= len(tokens) and " ".join(t.norm for t in tokens[at : at + n]) in words.alone), 0)


def ordinal(token: Token) -> int | None:
    """The number of a twin that an ordinal means, from the second on; a first is often only what is done first."""
    figure = token.figure
    if figure is None or figure.form != "ordinal" or not 1 < figure.value < _MOST_TWINS:
        return None
    return int(figure.value)


def _number(token: Token) -> float | None:
    """The number behind "number"; of figures run together ("number one two nuts") the first."""
    if token.figure is None:
        return None
    return token.figure.splits[0][0].value if token.figure.splits else token.figure.value


def spelt_as_before(place: str, ledger_places: Iterable[str]) -> str:
    """A place as the session wrote it first: "near side" and "nearside" are one."""
    for two, one in _ONE_WORD.items():
        said, other = (two, one) if two in place else (one, two)
        if said in place and any(other in known for known in ledger_places):
            return place.replace(said, other)
    return place
