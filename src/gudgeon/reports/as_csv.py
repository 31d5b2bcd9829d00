"""Tables for a spreadsheet: the values of a job, its open items, the steps of putting together. Units stand in the headings, and no cell is run."""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from datetime import datetime, tzinfo

from gudgeon.domain import AngleDone, SizeMeasured, TorqueDone
from gudgeon.record import StoredEntry, StoredItem
from gudgeon.reports import saying
from gudgeon.reports.origins import SessionPart, by_hand, note_of, words_of
from gudgeon.reports.putting_together import Step

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
ITEM_COLUMNS = ("id", "kind", "text", "count", "part", "job", "session", "raised", "state", "ended", "ended_by")
STEP_COLUMNS = {
    "step": "step",
    "what": "what",
    "words": "words",
    "wanted": "the sheet asks for",
    "back": "put back, as said in",
    "session": "session",
    "where": "said in",
}
RUN = ("=", "+", "-", "@", "＝", "＋", "－", "＠")
"""Beginnings of a text that a spreadsheet may take for a formula (OWASP, "CSV Injection"; its tab and line ends become spaces)."""
DATE = re.compile(r"^\d{1,4}([/-]\d{1,4}){1,2}$")
"""A text that a spreadsheet takes for a day, and writes otherwise: ``1/4`` becomes the fourth of January."""
INCH_SIZE = re.compile(r"^(\d+(?:/\d+)?)(-\d+)?$")


def as_csv(parts: Sequence[SessionPart], *, zone: tzinfo | None = None) -> str:
    """One row a value, or an entry without one; struck entries are left out. A text that could run begins with an apostrophe.

    Times are in ``zone``, the computer's own when it is None.
    """
    rows = (row for part in parts for stored in part.entries if not stored.struck for row in _rows(part, stored, zone))
    return _table(COLUMNS, rows)


def items_csv(items: Sequence[StoredItem], *, zone: tzinfo | None = None) -> str:
    """One row an open item; times are in ``zone``, the computer's own when it is None."""
    return _table({name: name for name in ITEM_COLUMNS}, (_of_item(stored, zone) for stored in items))


def steps_csv(steps: Sequence[Step]) -> str:
    """One row a step of putting together, in the order they are done."""
    rows = (
        {"step": number, "what": step.what, "words": step.note.note.text, "wanted": "; ".join(step.wanted), "back": step.back}
        | {"session": step.part.session.id, "where": step.where}
        for number, step in enumerate(steps, start=1)
    )
    return _table(STEP_COLUMNS, rows)


def _table(columns: Mapping[str, str], rows: Iterable[Mapping[str, object]]) -> str:
    out = io.StringIO()
    table = csv.DictWriter(out, list(columns), lineterminator="\n")
    table.writerow(columns)
    table.writerows({name: _safe(value) for name, value in row.items()} for row in rows)
    return out.getvalue()


def _of_item(stored: StoredItem, zone: tzinfo | None) -> dict[str, object]:
    item = stored.item
    row: dict[str, object] = {"id": item.id, "kind": item.kind, "text": item.text, "count": item.count, "part": item.part, "job": stored.job}
    row |= {"session": stored.session, "raised": _moment(stored.raised, zone), "state": item.state}
    return row | {"ended": _moment(stored.ended, zone), "ended_by": item.ended_by}


def _moment(moment: datetime | None, zone: tzinfo | None) -> str:
    return moment.astimezone(zone).isoformat(sep=" ", timespec="minutes") if moment else ""


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
    row |= {"thread": _thread(entry.thread)}
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


def _thread(thread: str | None) -> str | None:
    """An inch thread with its inch mark (``1/4"-20``), so that no spreadsheet takes it for a day."""
    return INCH_SIZE.sub(r'\1"\2', thread) if thread else thread


def _safe(value: object) -> object:
    """A cell on one line that no spreadsheet runs or takes for a day."""
    if not isinstance(value, str):
        return value
    line = " ".join(value.split())
    return "'" + line if line.startswith(RUN) or DATE.match(line) else line
