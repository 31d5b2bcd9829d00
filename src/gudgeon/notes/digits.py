"""Pieces that hold digits → tokens: numbers, fractions, threads and sizes as they are written."""

from __future__ import annotations

from collections.abc import Callable
from typing import Protocol

from gudgeon.notes.cut import Cuts
from gudgeon.notes.inches import thread_after
from gudgeon.notes.number_words import POWERS
from gudgeon.notes.runs import Run, Said, fraction
from gudgeon.notes.threads import STAR_SIZES, ThreadSaid, inch_thread, metric, sizes_after, without_length, written_metric
from gudgeon.notes.tokens import Figure, Piece, Thread, Token
from gudgeon.notes.written import LONGEST_DECIMALS, written_fraction, written_number, written_ordinal
from gudgeon.units import UnitHit, UnitWords

HOURS = frozenset(["am", "pm", "o'clock"])


class Reading(Protocol):
    """What the readers of digits need of the note being read."""

    text: str
    units: UnitWords
    cuts: Cuts
    run: Run
    out: list[Token]

    def add(
        self, at: int, end: int, kind: str, *, figure: Figure | None = None, thread: Thread | None = None, unit: UnitHit | None = None, norm: str = ""
    ) -> int: ...

    def add_figure(self, at: int, end: int, figure: Figure, *, kind: str = "figure") -> int: ...

    def find_unit(self, at: int, figure: Figure) -> UnitHit | None: ...


class DigitReaders:
    """One reader for each kind of piece that is no word."""

    def __init__(self, reading: Reading) -> None:
        self._r, self._cuts = reading, reading.cuts
        self._readers: dict[str, Callable[[int], int]] = {
            "number": self._number,
            "fraction": self._fraction,
            "ordinal": self._ordinal,
            "metric": self._metric,
            "star": self._star,
            "pipe": self._pipe,
            "grade": self._grade,
            "punct": self._sign,
        }

    def read(self, at: int, kind: str) -> int:
        """Put out the token or tokens of the piece at ``at``; returns where the reading goes on."""
        reader = self._readers.get(kind)
        return reader(at) if reader else self._r.add(at, at + 1, kind)

    def is_number(self, at: int) -> bool:
        """Whether a number stands at ``at`` in digits."""
        return at < len(self._cuts.norms) and self._cuts.kinds[at] == "number"

    def negative(self, at: int) -> int:
        """A number after a minus, a sign or the word, that stands at ``at``."""
        return self._number(at, minus=True)

    def _number(self, at: int, *, minus: bool = False) -> int:
        """A number at ``at`` (with ``minus``, after a sign that stands at ``at``)."""
        r, cuts, start = self._r, self._cuts, at
        at += minus
        figure = written_number(cuts.norms[at])
        if figure is None:
            return r.add(start, at + 1, "code")
        end, after = at + 1, r.run.next(at + 1)
        if after in HOURS:
            return r.add(start, end + 1, "clock")
        if after == "s" and cuts.joined[end] and figure.form == "cardinal":
            return r.add(start, end + 1, "figure", figure=Figure(figure.value, "plural"))
        comma = None if minus else self._decimal_comma(at)
        if comma:
            return r.add_figure(at, at + 3, comma)
        figure, end = self._grown(at, figure)
        thread = thread_after(r.run, r.units, cuts, Said(figure.value, end, figure.form)) if figure.value == 1 else None
        if thread and not minus:
            return r.add(at, thread.end, "thread", thread=thread.thread)
        if minus:
            figure = Figure(-figure.value, figure.form, unsure=figure.unsure)
        return r.add_figure(start, end, figure)

    def _grown(self, at: int, figure: Figure) -> tuple[Figure, int]:
        """The number at ``at`` with what follows it in words: "5 thousand", "2 and a half", "1 and 1/8", "1 point 2 5"."""
        run, end = self._r.run, at + 1
        after = run.next(end)
        if after in POWERS:
            return Figure(figure.value * POWERS[after], "cardinal"), end + 1
        if figure.form != "cardinal":
            return figure, end
        if after == "and" and (part := self._part(end + 1)):
            splits = self._two(at, figure.value, part[0], end + 1, part[1])
            return Figure(figure.value + part[0], "mixed", splits=splits), part[1]
        if after == "point" and (decimals := run.digits(end + 1)):
            end += 2
            while len(decimals) < LONGEST_DECIMALS and len(more := run.digits(end)) == 1:
                decimals, end = decimals + more, end + 1
            return Figure(float(f"{figure.value:.0f}.{decimals[:9]}"), "decimal"), end
        return figure, end

    def _part(self, at: int) -> tuple[float, int] | None:
        """A fraction after "and", in words or digits: value and end."""
        spoken = fraction(self._r.run, at)
        if spoken:
            return float(spoken[0]), spoken[1]
        if at < len(self._cuts.norms) and self._cuts.kinds[at] == "fraction":
            written = written_fraction(self._cuts.norms[at])
            return (written[1], at + 1) if written and not written[0] else None
        return None

    def _two(self, at: int, first: float, second: float, middle: int, end: int) -> tuple[tuple[Piece, ...], ...]:
        starts, ends = self._cuts.starts, self._cuts.ends
        return ((Piece(first, starts[at], ends[at]), Piece(second, starts[middle], ends[end - 1])),)

    def _decimal_comma(self, at: int) -> Figure | None:
        """12,5 before a unit, or 0,15: a decimal written with a comma."""
        cuts, norms = self._cuts, self._cuts.norms
        if at + 2 >= len(norms) or norms[at + 1] != "," or cuts.kinds[at + 2] != "number" or not (cuts.joined[at + 1] and cuts.joined[at + 2]):
            return None
        whole, part = norms[at], norms[at + 2]
        if not (whole.isdigit() and part.isdigit() and len(whole) <= 3 and len(part) <= 3):
            return None
        if whole != "0" and (len(part) > 2 or self._r.units.match(norms, at + 3) is None):
            return None
        return Figure(float(f"{whole}.{part}"), "decimal")

    def _counted(self) -> bool:
        """ "4 nuts 1 1/4 BSW": a count and a word stand right before, so that the one belongs to the size."""
        out = self._r.out
        return len(out) > 1 and out[-1].kind == "word" and out[-2].kind == "figure"

    def _fraction(self, at: int) -> int:
        r, cuts = self._r, self._cuts
        read = written_fraction(cuts.norms[at])
        if read is None:
            return self._apart(at)
        whole, part, between = read
        apart = between == " " and bool(whole) and not (whole <= 2 and self._counted())
        thread = thread_after(r.run, r.units, cuts, Said(part if apart else whole + part, at + 1, "fraction"))
        if thread and not apart:
            return r.add(at, thread.end, "thread", thread=thread.thread)
        if not whole:
            return r.add_figure(at, at + 1, Figure(part, "fraction"))
        middle = cuts.starts[at] + cuts.norms[at].index(between or cuts.norms[at][-1])
        first = Piece(float(whole), cuts.starts[at], middle)
        second = Piece(part, middle + len(between), cuts.ends[at])
        if thread:
            r.out.append(self._token(first.start, first.end, Figure(first.value, "cardinal"), joined=cuts.joined[at]))
            end = cuts.ends[thread.end - 1]
            text = r.text[second.start : end]
            r.out.append(Token(text, text.lower(), second.start, end, "thread", thread=thread.thread))
            return thread.end
        return r.add_figure(at, at + 1, Figure(whole + part, "mixed", splits=((first, second),)))

    def _token(self, start: int, end: int, figure: Figure, *, joined: bool) -> Token:
        text = self._r.text[start:end]
        return Token(text, text.lower(), start, end, "figure", joined, figure)

    def _apart(self, at: int) -> int:
        """80/90 is no fraction: its numbers and signs one by one."""
        r, start, text = self._r, self._cuts.starts[at], self._cuts.norms[at]
        here = 0
        while here < len(text):
            stop = here + 1
            while text[here].isdigit() and stop < len(text) and text[stop].isdigit():
                stop += 1
            if text[here].isdigit():
                figure = written_number(text[here:stop])
                kind = "figure" if figure else "code"
                last = figure if stop == len(text) else None
                if last:
                    r.find_unit(at + 1, last)
                r.out.append(Token(text[here:stop], text[here:stop], start + here, start + stop, kind, here > 0, figure))
            elif text[here] != " ":
                r.out.append(Token(text[here], text[here], start + here, start + stop, "punct", here > 0))
            here = stop
        return at + 1

    def _ordinal(self, at: int) -> int:
        return self._r.add(at, at + 1, "figure", figure=written_ordinal(self._cuts.norms[at]))

    def _metric(self, at: int) -> int:
        r = self._r
        thread = written_metric(self._cuts.norms[at])
        if thread is None:
            return r.add(at, at + 1, "code")
        end = at + 1
        if thread.pitch_mm is None and thread.length_mm is None and thread.diameter_mm:
            more, end = sizes_after(r.run, r.cuts, end, thread.diameter_mm)
            thread = metric(thread.diameter_mm, more) or thread
        hit = r.units.match(self._cuts.norms, end) if thread.length_mm is not None else None
        if hit and hit.family == "torque" and end > at + 1:
            said = without_length(r.run, ThreadSaid(thread, end))
            return r.add(at, said.end, "thread", thread=said.thread)
        return r.add(at, end + (hit.length if hit and hit.unit == "mm" else 0), "thread", thread=thread)

    def _star(self, at: int) -> int:
        size = float(self._cuts.norms[at][1:].strip(" -"))
        ok = size in STAR_SIZES
        return self._r.add(at, at + 1, "star" if ok else "code", figure=Figure(size, "cardinal") if ok else None)

    def _pipe(self, at: int) -> int:
        """G1/4, R 1/8: a British pipe thread, parallel or tapered."""
        read = written_fraction(self._cuts.norms[at][1:].strip())
        thread = inch_thread(read[0] + read[1], series="bspt" if self._cuts.norms[at][0] == "r" else "bsp") if read else None
        return self._r.add(at, at + 1, "thread" if thread else "code", thread=thread)

    def _grade(self, at: int) -> int:
        letters = self._cuts.norms[at].upper().replace(" ", "").replace("-", "")
        return self._r.add(at, at + 1, "grade", norm=f"{letters[:2]}-{letters[2:]}")

    def _sign(self, at: int) -> int:
        """A sign; a minus right before a number, and after no figure, belongs to the number."""
        cuts = self._cuts
        if cuts.norms[at] in ("-", "−") and not cuts.joined[at] and at + 1 < len(cuts.norms):
            figure_before = bool(self._r.out) and self._r.out[-1].kind in ("figure", "unit", "thread")
            if cuts.kinds[at + 1] == "number" and cuts.joined[at + 1] and not figure_before:
                return self._number(at, minus=True)
        return self._r.add(at, at + 1, "punct")
