"""Inch threads that grow out of a figure: "five sixteenths eighteen", "half inch BSW", 5/16-18."""

from __future__ import annotations

from gudgeon.notes.cut import Cuts
from gudgeon.notes.runs import Run, Said, atom
from gudgeon.notes.threads import ThreadSaid, inch_thread, number_piece, series_at
from gudgeon.units import UnitWords

INCH = frozenset(["inch", "inches", "″", "in"])


def thread_after(run: Run, units: UnitWords, cuts: Cuts, said: Said) -> ThreadSaid | None:
    """The thread whose size is ``said``: a series or the threads an inch must follow, and no unit after these."""
    size = said.value
    if said.form == "ordinal":
        if not said.others:
            return None
        size = said.others[0]
    elif said.form not in ("fraction", "mixed") and not (said.form == "cardinal" and size == 1):
        return None
    at = said.end
    if at < len(cuts.norms) and cuts.norms[at] in INCH and not cuts.broken[at]:
        at += 1
    found = series_at(run, at)
    if found:
        thread = inch_thread(size, series=found[0])
        return ThreadSaid(thread, found[1]) if thread else None
    return None if said.form != "fraction" else _with_threads_an_inch(run, units, cuts, size, at)


def _with_threads_an_inch(run: Run, units: UnitWords, cuts: Cuts, size: float, at: int) -> ThreadSaid | None:
    """Threads an inch at ``at``, in words or digits, with a hyphen or "by" before them or not, and a series after."""
    norms = cuts.norms
    joined = at + 1 < len(norms) and norms[at] in ("-", "–") and cuts.joined[at] and cuts.joined[at + 1]
    start = at + 1 if joined or run.next(at) == "by" else at
    spoken = atom(run, start)
    written = number_piece(cuts, start) if spoken is None else None
    per_inch, end = (float(spoken[0]), spoken[1]) if spoken else (written, start + 1)
    if per_inch is None or (units.match(norms, end) is not None and not joined):
        return None
    series = series_at(run, end)
    thread = inch_thread(size, per_inch=per_inch, series=series[0] if series else None)
    return ThreadSaid(thread, series[1] if series else end) if thread else None
