"""The values of a job for a spreadsheet: one row a value, units in the headings, and no cell that a spreadsheet would run."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterator, Sequence
from datetime import tzinfo

from gudgeon.domain import AngleDone, SizeMeasured, TorqueDone
from gudgeon.record import StoredEntry
from gudgeon.reports import saying
from gudgeon.reports.origins import SessionPart, by_hand, note_of, words_of

COLUMNS = {
    "session": "session",
    "started": "session started (your time, and how far from UTC)",
    "job": "job",
    "entry": "entry",
    "part": "part",
    "place": "place",
    "fastener": "fastener",
    "count": "count",
    "thread": "thread",
    "grade": "grade",
    "length": "length (mm)",
    "what": "what",
    "value": "value as said",
    "unit": "unit as said",
    "nm": "torque (N·m)",
    "angle": "angle (°)",
    "stage": "stage",
    "guess": "guess",
    "hand": "changed by hand",
    "verdict": "verdict",
    "reason": "reason",
    "findings": "findings",
    "tool": "tool",
    "compound": "compound",
    "state": "state",
    "conditions": "conditions",
    "by": "said by",
    "at": "at (s)",
    "confidence": "confidence (0 to 1)",
    "words": "words",
}
RUN = ("=", "+", "-", "@", "＝", "＋", "－", "＠")
"""Beginnings of a text that a spreadsheet may take for a formula (OWASP, "CSV Injection"; its tab and line ends become spaces)."""


def as_csv(parts: Sequence[SessionPart], *, zone: tzinfo | None = None) -> str:
    """One row a value, or an entry without one; struck entries are left out. A text that could run begins with an apostrophe.

    Times are in ``zone``, the computer's own when it is None.
    """
    out = io.StringIO()
    table = csv.DictWriter(out, list(COLUMNS), lineterminator="\n")
    table.writerow(COLUMNS)
    for part in parts:
        for stored in part.entries:
            if not stored.struck:
                table.writerows({name: _safe(value) for name, value in row.items()} for row in _rows(part, stored, zone))
    return out.getvalue()


def _rows(part: SessionPart, stored: StoredEntry, zone: tzinfo | None) -> Iterator[dict[str, object]]:
    base = _of_entry(part, stored, zone)
    rows = list(_values(stored))
    for row, note in rows or [({"what": ""}, None)]:
        said = note_of(part, stored, note)
        heard = {"by": (said and said.note.by) or part.session.by, "at": said and said.note.start}
        if said and said.note.confidence is not None:
            heard["confidence"] = round(said.note.confidence, 3)
        yield base | row | heard | {"words": words_of(part, stored, note)}


def _of_entry(part: SessionPart, stored: StoredEntry, zone: tzinfo | None) -> dict[str, object]:
    entry = stored.entry
    row: dict[str, object] = {name: getattr(entry, name) for name in ("part", "place", "fastener", "count", "thread", "grade", "state")}
    started = part.session.started.astimezone(zone).isoformat(sep=" ", timespec="seconds")
    row |= {"session": part.session.id, "started": started, "job": part.session.job, "entry": stored.id}
    row |= {"tool": saying.tool(entry.tool) if entry.tool else None, "compound": saying.compound(entry.compound) if entry.compound else None}
    findings = ", ".join(finding.code for finding in stored.judgement.findings)
    return row | {"length": entry.length_mm, "conditions": ", ".join(entry.conditions), "findings": findings}


def _values(stored: StoredEntry) -> Iterator[tuple[dict[str, object], int | None]]:
    """(cells, note) of each value of an entry."""
    told = {(verdict.torque, verdict.measure): verdict for verdict in stored.judgement.verdicts}
    for at, torque in enumerate(stored.entry.torques):
        row = {"what": "torque", "value": torque.value, "unit": saying.unit(torque.unit), "nm": torque.nm, "angle": torque.angle_deg}
        verdict = told.get((at, None))
        row |= {"hand": _hand(stored, torque)}
        row |= {"stage": torque.stage, "guess": "yes" if torque.hedged else "", "verdict": verdict and verdict.code}
        yield row | {"reason": verdict and verdict.reason}, torque.note
    for angle in stored.entry.angles:
        yield {"what": "turn", "angle": angle.angle_deg, "stage": angle.stage, "hand": _hand(stored, angle)}, angle.note
    for at, size in enumerate(stored.entry.measures):
        verdict = told.get((None, at))
        row = {"what": size.quantity or "size", "value": size.value, "unit": saying.unit(size.unit), "verdict": verdict and verdict.code}
        yield row | {"reason": verdict and verdict.reason, "hand": _hand(stored, size)}, size.note


def _hand(stored: StoredEntry, value: TorqueDone | AngleDone | SizeMeasured) -> str:
    return "yes" if by_hand(stored, value) else ""


def _safe(value: object) -> object:
    """A cell on one line that no spreadsheet runs."""
    if not isinstance(value, str):
        return value
    line = " ".join(value.split())
    return "'" + line if line.startswith(RUN) else line
