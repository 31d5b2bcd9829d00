"""From text to tokens: the one way in."""

from __future__ import annotations

from dataclasses import replace

from gudgeon.notes.cut import Cuts, cut
from gudgeon.notes.digits import DigitReaders
from gudgeon.notes.inches import thread_after
from gudgeon.notes.number_words import ARTICLES, STARTS
from gudgeon.notes.runs import ONE_FIGURE, RANGE, TWO_FIGURES, Run, Said, fraction
from gudgeon.notes.spoken import read_spoken
from gudgeon.notes.threads import STAR_SIZES, spoken_metric, without_length
from gudgeon.notes.tokens import Figure, Piece, Thread, Token
from gudgeon.notes.written import RUN_TOGETHER
from gudgeon.units import UnitHit, UnitWords

HESITATIONS = frozenset(["uh", "um", "er", "erm", "ah", "ish", "odd"])
THREAD_LETTERS = frozenset(["m", "em", "emm"])
STAR_LETTERS = frozenset(["t", "tee"])
SPECIAL = STARTS | THREAD_LETTERS | STAR_LETTERS | {"inch"}
NUMBERED = frozenset(["pass", "stage", "step", "number", "no", "round", "phase", "position", "cylinder", "bank", "row"])
"""After these a single digit stands for itself, and the figure after it too: "pass 1 20 Nm"."""
MAY_BE_LOW, RANGE_WIDTH = 10, 1.34
"""Two figures in a row, both from ten on and the second up to a third above the first, may be a range ("thirty thirty five")."""
MOST_LISTED = 10
"""A single digit and "and" before a figure of several words may be a list: "unions one and three eighteen newton metres"."""
THE = frozenset(["the", "that", "this", "each", "every"])
COUNTED = "counts two things"
FINE_UNITS, FINE_DECIMALS = frozenset(["in", "mm"]), 4
NO_UNIT_FORMS = frozenset(["ordinal", "plural"])


def read_tokens(text: str, units: UnitWords) -> tuple[Token, ...]:
    """Cut a note into tokens, spoken numbers merged; linear in the text's length, and never raises on any text."""
    return tuple(_Reading(text, units).tokens())


class _Reading:
    """One note being read: the cut text, where the reading stands, and the units found ahead of it."""

    def __init__(self, text: str, units: UnitWords) -> None:
        self.text, self.units = text, units
        self.cuts: Cuts = cut(text)
        self.run = Run(self.cuts)
        self.ahead: dict[int, UnitHit] = {}
        self.out: list[Token] = []
        self.written = DigitReaders(self)

    def tokens(self) -> list[Token]:
        at, cuts, text, out = 0, self.cuts, self.text, self.out
        norms, kinds, starts, ends, joined = cuts.norms, cuts.kinds, cuts.starts, cuts.ends, cuts.joined
        while at < len(norms):
            norm, kind = norms[at], kinds[at]
            if at in self.ahead:
                hit = self.ahead[at]
                at = self.add(at, at + hit.length, "unit", unit=hit)
            elif kind != "word":
                at = self.written.read(at, kind)
            elif norm in SPECIAL:
                at = self._word(at, norm)
            else:
                out.append(Token(text[starts[at] : ends[at]], norm, starts[at], ends[at], "word", joined[at]))
                at += 1
        return out

    def add(
        self, at: int, end: int, kind: str, *, figure: Figure | None = None, thread: Thread | None = None, unit: UnitHit | None = None, norm: str = ""
    ) -> int:
        """Put out pieces ``at`` to ``end`` as one token; returns ``end``."""
        start, stop = self.cuts.starts[at], self.cuts.ends[end - 1]
        words = norm or (self.cuts.norms[at] if end == at + 1 else self.text[start:stop].lower().replace("’", "'"))
        self.out.append(Token(self.text[start:stop], words, start, stop, kind, self.cuts.joined[at], figure, thread, unit))
        return end

    def add_figure(self, at: int, end: int, figure: Figure, *, kind: str = "figure") -> int:
        """Put out a figure and look for the unit after it; returns ``end``."""
        figure = self._doubted(at, figure)
        if kind == "figure" and figure.unit is None and figure.form not in NO_UNIT_FORMS:
            both = self._unit_and_part(end, figure) if figure.form == "cardinal" else None
            if both:
                return self.add(at, both[1], kind, figure=both[0])
            hit = self.find_unit(end, figure)
            if (
                hit
                and hit.unit in FINE_UNITS
                and figure.unsure == RUN_TOGETHER
                and _is_fine(self.text[self.cuts.starts[at] : self.cuts.ends[end - 1]])
            ):
                figure = replace(figure, unsure="")
            if hit and self.cuts.norms[at] == "pair" and self.out and self.out[-1].norm in THE:
                figure = replace(figure, unsure=COUNTED)
            if hit and hit.unit == "mm" and _count_and_size(figure):
                figure = replace(figure, unsure=TWO_FIGURES)
        return self.add(at, end, kind, figure=figure)

    def _doubted(self, at: int, figure: Figure) -> Figure:
        """The figure, unsure when it may go on from the one right before it: "one point five twenty five", "1 20",
        or when the two may be a range: "thirty thirty five"."""
        before = self.out[-1] if self.out else None
        if before is not None and before.norm == "on" and figure.splits and not figure.unsure and figure.splits[0][0].value < MOST_LISTED:
            return replace(figure, unsure=TWO_FIGURES)  # "hanger bolt on eight fifty newton metres"
        if before is not None and before.norm == "and" and len(self.out) > 1 and figure.splits and not figure.unsure:
            listed = self.out[-2].figure
            if listed is not None and listed.form == "cardinal" and listed.value < MOST_LISTED and self.out[-2].kind == "figure":
                return replace(figure, unsure=TWO_FIGURES)  # "unions one and three eighteen newton metres"
        if before is None or before.figure is None or before.kind != "figure" or self.cuts.starts[at] - before.end > 1 or figure.unsure:
            return figure
        said_before = self.out[-2].norm if len(self.out) > 1 else ""
        figures = before.norm.isdigit() and len(before.norm) == 1 and self.cuts.norms[at].isdigit() and len(self.cuts.norms[at]) == 2
        low = before.figure.value if before.figure.form == figure.form == "cardinal" else 0
        if MAY_BE_LOW <= low < figure.value <= low * RANGE_WIDTH:
            return replace(figure, unsure=RANGE)
        if before.figure.unsure == ONE_FIGURE or (figures and said_before not in NUMBERED):
            return replace(figure, unsure=ONE_FIGURE)
        return figure

    def find_unit(self, at: int, figure: Figure) -> UnitHit | None:
        """Remember, and give back, the unit that follows a figure ending at ``at``, past "of a", "a" and hesitations."""
        norms, cuts = self.cuts.norms, self.cuts
        while at < len(norms) and norms[at] in HESITATIONS and self.units.match(norms, at) is None:
            at += 1
        if at >= len(norms) or cuts.broken[at]:
            return None
        hit = self.units.match(norms, at)
        if norms[at] == "in" and (hit is None or hit.family != "torque"):
            named = self.units.match(norms, at + 1)
            if named is not None and named.family == "torque":
                at, hit = at + 1, named
        if hit is None and figure.form != "cardinal":
            step = at + 1 if norms[at] == "of" else at
            if step < len(norms) and norms[step] in ARTICLES and (step > at or figure.form != "decimal"):
                hit = self.units.match(norms, step + 1)
                at = step + 1 if hit else at
        if (hit is None or hit.ambiguous or hit.unit == "in") and cuts.kinds[at] == "word":
            mended = self.units.sounds_like(norms, at)
            hit = mended if mended and (hit is None or mended.length > hit.length) else hit
        if hit is not None:
            self.ahead[at] = hit
        return hit

    def _word(self, at: int, norm: str) -> int:
        """A word that may begin a figure, a thread or a star size."""
        self.run.first = at
        if norm in THREAD_LETTERS and not self._is_clitic(at):
            said = spoken_metric(self.run, self.cuts, at)
            if said and said.thread.length_mm is not None and self._unit_follows(replace(said.thread, length_mm=None), said.end):
                said = without_length(self.run, said)
            if said and not self._unit_follows(said.thread, said.end):
                return self.add(at, self._past_millimetres(said.thread, said.end), "thread", thread=said.thread)
        elif norm in STAR_LETTERS:
            size = read_spoken(self.run, at + 1) if self.run.next(at + 1) else None
            if size and size.value in STAR_SIZES and size.form == "cardinal" and self.units.match(self.cuts.norms, size.end) is None:
                return self.add(at, size.end, "star", figure=Figure(size.value, "cardinal"))
        elif (norm in ARTICLES or norm == "inch") and (inch := self._unit_and_part(at + (norm != "inch"), Figure(1.0, "cardinal"))):
            return self.add(at, inch[1], "figure", figure=inch[0])
        if norm == "minus" and self.written.is_number(at + 1):
            return self.written.negative(at)
        found = read_spoken(self.run, at)
        if found is None:
            return self.add(at, at + 1, "word")
        return self._spoken(at, found)

    def _is_clitic(self, at: int) -> bool:
        """Whether the letters are short for "them", as in 'em."""
        return at > 0 and self.cuts.norms[at - 1] in ("'", "’") and self.cuts.joined[at]

    def _unit_follows(self, thread: Thread, end: int) -> bool:
        """Whether a unit right after the size shows that it was no thread ("put em eight newton metres")."""
        hit = self.units.match(self.cuts.norms, end) if thread.length_mm is None else None
        return hit is not None and hit.family in ("torque", "angle", "pressure")

    def _past_millimetres(self, thread: Thread, end: int) -> int:
        hit = self.units.match(self.cuts.norms, end) if thread.length_mm is not None else None
        return end + hit.length if hit and hit.unit == "mm" else end

    def _unit_and_part(self, at: int, whole: Figure) -> tuple[Figure, int] | None:
        """ "(an) inch and a quarter", "(two) turns and a half": the unit stands at ``at``, between the whole and its part."""
        hit = self.units.match(self.cuts.norms, at)
        if hit is None or hit.family not in ("length", "turn", "volume"):
            return None
        after = at + hit.length
        part = fraction(self.run, after + 1) if self.run.next(after) == "and" else None
        if part is None or self._of_the_things(part[1]) or self.units.match(self.cuts.norms, part[1]) is not None:
            return None
        return Figure(whole.value + float(part[0]), "mixed", unit=hit), part[1]

    def _of_the_things(self, at: int) -> bool:
        """ "of the bolts", "of them" at ``at``: the part before it is a part of these, not of a unit."""
        return self.run.next(at) == "of" and self.run.next(at + 1) in ("the", "them", "those", "these")

    def _spoken(self, at: int, said: Said) -> int:
        """Put out a spoken figure, or the thread that begins with it."""
        if said.kind != "figure":
            return self.add(at, said.end, said.kind)
        thread = thread_after(self.run, self.units, self.cuts, said)
        if thread:
            return self.add(at, thread.end, "thread", thread=thread.thread)
        return self.add_figure(at, said.end, self._figure(said))

    def _figure(self, said: Said) -> Figure:
        starts, ends = self.cuts.starts, self.cuts.ends
        splits = tuple(tuple(Piece(value, starts[a], ends[b - 1]) for value, a, b in split) for split in said.splits)
        return Figure(said.value, said.form, said.others, splits, said.unsure)


def _is_fine(text: str) -> bool:
    """Whether a written decimal has four places: tenths of a thou, as inches and millimetres are measured ("1.0005 in")."""
    return len(text.partition(".")[2]) == FINE_DECIMALS


def _count_and_size(figure: Figure) -> bool:
    """Whether the figure may be a count and a size: "four ten (mil bolts)", read as 410."""
    first = figure.splits[0] if figure.splits else ()
    return len(first) == 2 and 2 <= first[0].value <= 9 and first[1].value >= 10 and figure.value == 100 * first[0].value + first[1].value
