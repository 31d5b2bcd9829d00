"""Thread sizes, spoken or written: metric, inch series, pipe threads."""

from __future__ import annotations

import re
from dataclasses import dataclass, replace
from fractions import Fraction

from gudgeon.notes.cardinals import read_cardinal
from gudgeon.notes.cut import Cuts
from gudgeon.notes.number_words import PLURALS
from gudgeon.notes.runs import Run, Said, atom
from gudgeon.notes.tokens import Thread

DIAMETERS = frozenset([1.6, 2, 2.5, 3, 3.5, 4, 5, 6, 7, 8, 9, 10, 11, 12, 14, 16, 18, 20, 22, 24, 27, 30, 33, 36, 39, 42, 45, 48, 52, 56, 60, 64])
"""Nominal diameters in mm, ISO 261."""
PITCHES = frozenset([0.2, 0.25, 0.35, 0.4, 0.45, 0.5, 0.6, 0.7, 0.75, 0.8, 1, 1.25, 1.5, 1.75, 2, 2.5, 3, 3.5, 4, 4.5, 5, 5.5, 6])
"""Pitches in mm, ISO 261."""
LONGEST_MM = 400
STAR_SIZES = frozenset([1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 15, 20, 25, 27, 30, 35, 40, 45, 47, 50, 55, 60, 70, 80, 90, 100])
"""Hexalobular drive numbers, ISO 10664 and common practice, no source."""
COARSE = {"1/4": 20, "5/16": 18, "3/8": 16, "7/16": 14, "1/2": 13, "9/16": 12, "5/8": 11, "3/4": 10, "7/8": 9, "1": 8}
COARSE |= {"1-1/8": 7, "1-1/4": 7, "1-3/8": 6, "1-1/2": 6}
"""Threads an inch, UNC, ASME B1.1."""
FINE = {"1/4": 28, "5/16": 24, "3/8": 24, "7/16": 20, "1/2": 20, "9/16": 18, "5/8": 18, "3/4": 16, "7/8": 14, "1": 12}
FINE |= {"1-1/8": 12, "1-1/4": 12, "1-3/8": 12, "1-1/2": 12}
"""Threads an inch, UNF, ASME B1.1."""
EXTRA_FINE = {"1/4": 32, "5/16": 32, "3/8": 32, "7/16": 28, "1/2": 28, "9/16": 24, "5/8": 24, "3/4": 20, "7/8": 20, "1": 20}
"""Threads an inch, UNEF, ASME B1.1."""
WHITWORTH = {"1/8": 40, "3/16": 24, "1/4": 20, "5/16": 18, "3/8": 16, "7/16": 14, "1/2": 12, "9/16": 12, "5/8": 11, "3/4": 10, "7/8": 9, "1": 8}
"""Threads an inch, BSW, BS 84."""
BRITISH_FINE = {"3/16": 32, "1/4": 26, "5/16": 22, "3/8": 20, "7/16": 18, "1/2": 16, "9/16": 16, "5/8": 14, "3/4": 12, "7/8": 11, "1": 10}
"""Threads an inch, BSF, BS 84."""
PER_INCH = (COARSE, FINE, EXTRA_FINE, WHITWORTH, BRITISH_FINE)
UNIFIED = {"unc": COARSE, "unf": FINE, "unef": EXTRA_FINE}
SERIES = {"bsw": "BSW", "whit": "BSW", "whitworth": "BSW", "bsf": "BSF", "bsp": "BSP", "bspt": "BSPT", "bspp": "BSP", "npt": "NPT", "nptf": "NPTF"}
PIPE = frozenset(["BSP", "BSPT", "NPT", "NPTF"])
SPELT = ("unc", "unf", "bsw", "bsf", "bsp", "npt")
"""Series that may also be said letter by letter."""


@dataclass(frozen=True, slots=True)
class ThreadSaid:
    """A thread found up to ``end`` (exclusive, pieces of the cut)."""

    thread: Thread
    end: int


def written_metric(text: str) -> Thread | None:
    """M8, M8x1.25, M8 x 1.25 x 40, Em8 as written in one piece; None when no such thread exists."""
    sizes = [float(n.replace(",", ".")) for n in re.findall(r"\d+(?:[.,]\d+)?", text)]
    if sizes[0] not in DIAMETERS:
        return None
    return metric(sizes[0], sizes[1:])


def metric(diameter: float, more: list[float]) -> Thread | None:
    """A metric thread from its diameter and what followed: a pitch, a length, or both; None when they fit nothing."""
    pitch = length = None
    rest = list(more)
    if rest and rest[0] in PITCHES and rest[0] <= diameter / 4 + 0.5:
        pitch = rest.pop(0)
    if rest and 4 <= rest[0] <= LONGEST_MM and rest[0] == int(rest[0]):
        length = rest.pop(0)
    if rest:
        return None
    name = f"M{diameter:g}" + (f"x{pitch:g}" if pitch else "")
    return Thread(name, diameter_mm=diameter, pitch_mm=pitch, length_mm=length)


def spoken_metric(run: Run, cuts: Cuts, at: int) -> ThreadSaid | None:
    """ "m eight by one point two five by forty", "em ten": the letter stands at ``at``."""
    first = atom(run, at + 1)
    written = run.digits(at + 1) if first is None else ""
    if written:
        first = (int(written[:4]), at + 2)
    if first is None and (several := PLURALS.get(run.next(at + 1))) in DIAMETERS:
        return ThreadSaid(Thread(f"M{several}", diameter_mm=float(several or 0)), at + 2)
    if first is None or first[0] not in DIAMETERS:
        return None
    diameter = float(first[0])
    more, end = sizes_after(run, cuts, first[1], diameter)
    thread = metric(diameter, more)
    return ThreadSaid(thread, end) if thread else None


def without_length(run: Run, said: ThreadSaid) -> ThreadSaid:
    """ "m six by twenty newton metres": the thread, ended before the "by" of what is no length but a torque."""
    end = said.end - 1
    while run.word(end) not in ("by", "x", "times"):
        end -= 1
    return ThreadSaid(replace(said.thread, length_mm=None), end)


def sizes_after(run: Run, cuts: Cuts, at: int, diameter: float) -> tuple[list[float], int]:
    """The pitch and the length that follow a metric size, in words or digits, and where they end."""
    pitch, end = _pitch(run, cuts, at, diameter)
    length, end = _length(run, end)
    return [n for n in (pitch, length) if n], end


def _pitch(run: Run, cuts: Cuts, at: int, diameter: float) -> tuple[float | None, int]:
    """The pitch after "by", or right after the size when it is a decimal: the longest reading that is a pitch of this size."""
    start = at + 1 if run.next(at) in ("by", "x", "times") else at
    if start > at and start < len(cuts.norms) and cuts.kinds[start] == "number" and len(cuts.norms[start]) < 6:
        value = float(cuts.norms[start].replace(",", ""))
        return (value, start + 1) if value in PITCHES and value <= diameter / 4 + 0.5 else (None, at)
    said = read_cardinal(run, start) if run.next(start) else None
    if said is None or (start == at and said.form != "decimal"):
        return None, at
    for value, end in (*_shorter(run, start, said), *((other, said.end) for other in said.others)):
        if value in PITCHES and value <= diameter / 4 + 0.5:
            return value, end
    return None, at


def _shorter(run: Run, start: int, said: Said) -> list[tuple[float, int]]:
    """The figure, then the same with fewer decimals: "one point five eight" is 1.58, 1.5."""
    readings = [(said.value, said.end)]
    if said.form == "decimal" and "point" in [run.word(i) for i in range(start, said.end)]:
        text = f"{said.value}"
        decimals = len(text.split(".")[1])
        for cut in range(1, decimals):
            readings.append((float(text[:-cut]), said.end - cut))
    return readings


def _length(run: Run, at: int) -> tuple[float | None, int]:
    """The length after "by": a whole number of millimetres."""
    if run.next(at) not in ("by", "x", "times"):
        return None, at
    said = read_cardinal(run, at + 1) if run.next(at + 1) else None
    if said is None and (digits := run.digits(at + 1)):
        return (float(digits), at + 2) if len(digits) <= 3 else (None, at)
    if said is None or said.form not in ("cardinal", "digits") or not 4 <= said.value <= LONGEST_MM:
        return None, at
    return said.value, said.end


def inch_name(size: float) -> str | None:
    """The size as a thread is named (5/16, 1-1/8), or None when it is no binary fraction of an inch in use."""
    exact = Fraction(size).limit_denominator(64)
    if not 0 < exact <= 3 or float(exact) != size or exact.denominator not in (1, 2, 4, 8, 16, 32):
        return None
    whole, part = divmod(exact, 1)
    if not part:
        return str(whole)
    return (f"{whole}-" if whole else "") + f"{part.numerator}/{part.denominator}"


def series_at(run: Run, at: int) -> tuple[str, int] | None:
    """A thread series at ``at`` (UNC, BSW, BSP, "b s w"), lower case as in the tables, and its end."""
    word = run.next(at)
    if word in UNIFIED or word in SERIES:
        return word, at + 1
    letters = "".join(run.next(at + i) for i in range(3))
    if len(word) == 1 and letters in SPELT:
        return letters, at + 3
    return None


def series_name(word: str) -> str | None:
    """The series of inch threads that one word names, as it stands in a thread's name ("whitworth" is BSW); None for any other word."""
    return SERIES.get(word)


def inch_thread(size: float, *, per_inch: float | None = None, series: str | None = None) -> Thread | None:
    """The inch thread of a size with threads an inch or a series; None when the size is none or the two do not fit."""
    name = inch_name(size)
    if name is None:
        return None
    if series in SERIES:
        label = SERIES[series]
        pipe = label in PIPE
        tpi = None if pipe else {"BSW": WHITWORTH, "BSF": BRITISH_FINE}[label].get(name)
        return Thread(f"{name} {label}", diameter_mm=None if pipe else size * 25.4, per_inch=per_inch or tpi)
    if series in UNIFIED:
        per_inch = per_inch or UNIFIED[series].get(name)
    elif not any(table.get(name) == per_inch for table in PER_INCH):
        return None
    label = f"{name}-{per_inch:g}" if per_inch else f"{name} {series.upper() if series else ''}".strip()
    return Thread(label, diameter_mm=size * 25.4, per_inch=per_inch)


def number_piece(cuts: Cuts, at: int) -> float | None:
    """The whole number written at ``at``, or None."""
    ok = at < len(cuts.norms) and cuts.kinds[at] == "number" and cuts.norms[at].isdigit() and len(cuts.norms[at]) < 4
    return float(cuts.norms[at]) if ok else None
