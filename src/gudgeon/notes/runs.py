"""Number words in a row, and the smallest figures in them: numbers below a hundred and proper fractions."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from math import gcd

from gudgeon.notes import number_words as nw
from gudgeon.notes.cut import Cuts

TWO_FIGURES = "may be two figures"
RANGE = "may be a range"
ONE_FIGURE = "may be one figure with its neighbour"
LONGEST = 40
"""Number words looked at in one run; longer runs are cut."""


@dataclass(frozen=True, slots=True)
class Said:
    """A figure found at ``at`` up to ``end`` (exclusive, pieces of the cut); ``splits`` hold (value, at, end)."""

    value: float
    end: int
    form: str
    others: tuple[float, ...] = ()
    splits: tuple[tuple[tuple[float, int, int], ...], ...] = ()
    unsure: str = ""
    kind: str = "figure"


class Run:
    """Access to the words of a cut from which spoken numbers are read."""

    __slots__ = ("_cuts", "_kinds", "_norms", "first", "size")

    def __init__(self, cuts: Cuts) -> None:
        self._cuts, self._norms, self._kinds = cuts, cuts.norms, cuts.kinds
        self.size = len(cuts.norms)
        self.first = -1

    def word(self, at: int) -> str:
        """The word at ``at``, or "" when there is none or it is no word."""
        return self._norms[at] if 0 <= at < self.size and self._kinds[at] == "word" else ""

    def next(self, at: int) -> str:
        """The word at ``at`` when it goes on with the run that begins at ``first``, that is, no line end before it."""
        return "" if at >= self.size or (self._cuts.broken[at] and at != self.first) else self.word(at)

    def digits(self, at: int) -> str:
        """The digits at ``at`` when a whole number stands there in figures, else ""."""
        if at < self.size and self._kinds[at] == "number" and self._norms[at].isdigit() and not self._cuts.broken[at]:
            return self._norms[at]
        return ""


def atom(run: Run, at: int, *, whole: bool = False) -> tuple[int, int] | None:
    """A number below a hundred said in one go (seven, seventeen, twenty five): value and end.

    Unless ``whole``, the ones after a ten are left alone where they begin a fraction ("twenty three eighths" is 20 and 3/8).
    """
    word = run.next(at)
    if word in nw.DIGITS:
        return nw.DIGITS[word], at + 1
    if word in nw.TEENS:
        return nw.TEENS[word], at + 1
    if word in nw.TENS:
        ones = nw.DIGITS.get(run.next(at + 1))
        if ones and (whole or fraction(run, at + 1) is None):
            return nw.TENS[word] + ones, at + 2
        return nw.TENS[word], at + 1
    return None


def fraction(run: Run, at: int) -> tuple[Fraction, int] | None:
    """A proper fraction with its numerator (seven sixteenths, three quarter, a quarter, one thirty second): value and end."""
    word = run.next(at)
    if word in nw.ARTICLES:
        return _one_part(run, at)
    top = atom(run, at, whole=True)
    if top is None:
        return None
    below = _parts(run, top[1], top[0])
    if below is None and top[1] - at == 1 and word in nw.TENS:
        return None
    return None if below is None else (Fraction(top[0], below[0]), below[1])


def _one_part(run: Run, at: int) -> tuple[Fraction, int] | None:
    """ "a quarter", "an eighth", "a third of"; but "a third bolt" is no fraction."""
    word = run.next(at + 1)
    below = _parts(run, at + 1, 1)
    if below is None:
        return None
    sure = word in nw.OWN_PARTS or word in nw.INCH_PARTS or word in nw.TENS or run.next(below[1]) == "of"
    return (Fraction(1, below[0]), below[1]) if sure else None


def _parts(run: Run, at: int, top: int) -> tuple[int, int] | None:
    """The denominator at ``at`` under ``top``, when it makes a proper fraction: value and end."""
    word, pair = run.next(at), (run.next(at), run.next(at + 1))
    plural = nw.PLURAL_PARTS.get(word) or nw.PLURAL_TWO_WORD_PARTS.get(pair)
    single = nw.PARTS.get(word) or nw.TWO_WORD_PARTS.get(pair)
    parts = plural or single
    if not parts or top >= parts or (single and gcd(top, parts) > 1):
        return None
    two = word in nw.TENS
    return parts, at + (2 if two else 1)
