"""The build record: all that stands of a job, by part, as Markdown for people and as CSV for spreadsheets."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import tzinfo

from gudgeon.domain import Session
from gudgeon.record import StoredEntry, StoredItem, StoredNote
from gudgeon.reports import saying
from gudgeon.reports.summary import SECTIONS

COLUMNS = (
    *("session", "started", "job", "entry", "part", "place", "fastener", "count", "thread", "grade", "what", "value", "unit", "nm", "angle_deg"),
    *("stage", "guess", "verdict", "reason", "tool", "compound", "conditions", "words"),
)


@dataclass(frozen=True, slots=True, kw_only=True)
class SessionPart:
    """One session of a build record."""

    session: Session
    notes: Sequence[StoredNote]
    entries: Sequence[StoredEntry]


def build_markdown(job: str | None, parts: Sequence[SessionPart], items: Sequence[StoredItem], *, zone: tzinfo | None = None) -> str:
    """The build record as Markdown: sessions, then each part with its values, verdicts and words, what is open, and the cautions."""
    lines = [f"# Build record: {_cell(job or 'sessions without a job')}", ""]
    lines += [f"- Session {part.session.id}: {saying.day(part.session.started, zone)}, {_cell(part.session.source)}" for part in parts]
    by_joint: dict[str, list[tuple[SessionPart, StoredEntry]]] = {}
    for part in parts:
        for stored in part.entries:
            if not stored.struck:
                by_joint.setdefault(saying.joint(stored.entry), []).append((part, stored))
    for name in sorted(by_joint, key=str.casefold):
        lines += [
            "",
            f"## {_cell(name)}",
            "",
            "| fasteners | value | verdict | tool, compound, condition | session | said |",
            "| --- | --- | --- | --- | --- | --- |",
        ]
        lines += [row for part, stored in by_joint[name] for row in _rows(part, stored)]
    lines += [line for kind, title in SECTIONS for line in _items(kind, title, items)]
    cautions = dict.fromkeys(caution.text for part in parts for stored in part.entries for caution in stored.judgement.cautions)
    lines += ["", "## Take care", "", *(f"- {_cell(text)}" for text in cautions)] if cautions else []
    return "\n".join(lines) + "\n"


def _rows(part: SessionPart, stored: StoredEntry) -> Iterator[str]:
    entry = stored.entry
    values = [(saying.torque(torque), _verdict(stored, torque=at), torque.note) for at, torque in enumerate(entry.torques)]
    values += [(saying.angle(angle), "", angle.note) for angle in entry.angles]
    values += [(saying.size(size), _verdict(stored, measure=at), size.note) for at, size in enumerate(entry.measures)]
    more = ([saying.tool(entry.tool)] if entry.tool else []) + ([saying.compound(entry.compound)] if entry.compound else []) + list(entry.conditions)
    for at, (value, verdict, note) in enumerate(values or [("", "", None)]):
        cells = [saying.fasteners(entry), value, verdict, ", ".join(more)] if at == 0 else ["", value, verdict, ""]
        yield "| " + " | ".join(_cell(text) for text in (*cells, str(part.session.id), _words(part, stored, note))) + " |"


def _verdict(stored: StoredEntry, *, torque: int | None = None, measure: int | None = None) -> str:
    for verdict in stored.judgement.verdicts:
        if (verdict.torque, verdict.measure) == (torque, measure):
            return verdict.code if verdict.code in ("within", "no reference") else f"{verdict.code}: {verdict.reason}"
    return ""


def _words(part: SessionPart, stored: StoredEntry, note: int | None) -> str:
    at = note if note is not None else next(iter(stored.entry.notes), None)
    return part.notes[at].note.text if at is not None and at < len(part.notes) else ""


def _items(kind: str, title: str, items: Sequence[StoredItem]) -> list[str]:
    found = [stored.item for stored in items if stored.item.kind == kind]
    ends = [f" — {item.state}: {item.ended_by or ''}" if item.state != "open" else "" for item in found]
    counts = [f" ({item.count})" if item.count and kind == "buy" else "" for item in found]
    rows = [f"- {_cell(item.text + count + end)}" for item, count, end in zip(found, counts, ends, strict=True)]
    return ["", f"## {title}", "", *rows] if found else []


def _cell(text: str) -> str:
    """Text that cannot break a table or become a heading, a link or HTML."""
    for sign in ("\\", "|", "<", "`", "*", "_", "["):
        text = text.replace(sign, "\\" + sign)
    return " ".join(text.split())


def build_csv(parts: Sequence[SessionPart]) -> str:
    """One row a value (or an entry without one): columns as in ``COLUMNS``. Cells that a spreadsheet would run begin with an apostrophe."""
    out = io.StringIO()
    table = csv.DictWriter(out, COLUMNS, lineterminator="\n")
    table.writeheader()
    for part in parts:
        for stored in part.entries:
            if not stored.struck:
                table.writerows({name: _safe(value) for name, value in row.items()} for row in _csv_rows(part, stored))
    return out.getvalue()


def _csv_rows(part: SessionPart, stored: StoredEntry) -> Iterator[dict[str, object]]:
    entry = stored.entry
    base: dict[str, object] = {name: getattr(entry, name) for name in ("part", "place", "fastener", "count", "thread", "grade")}
    base |= {"session": part.session.id, "started": part.session.started.isoformat(), "job": part.session.job, "entry": stored.id}
    base |= {"tool": saying.tool(entry.tool) if entry.tool else None, "compound": saying.compound(entry.compound) if entry.compound else None}
    base |= {"conditions": ", ".join(entry.conditions)}
    told = {(verdict.torque, verdict.measure): verdict for verdict in stored.judgement.verdicts}
    rows: list[dict[str, object]] = []
    for at, torque in enumerate(entry.torques):
        verdict = told.get((at, None))
        row = {"what": "torque", "value": torque.value, "unit": torque.unit, "nm": torque.nm, "angle_deg": torque.angle_deg, "stage": torque.stage}
        row |= {"guess": "yes" if torque.hedged else "", "words": _words(part, stored, torque.note)}
        rows.append(row | {"verdict": verdict and verdict.code, "reason": verdict and verdict.reason})
    for angle in entry.angles:
        rows.append({"what": "turn", "angle_deg": angle.angle_deg, "stage": angle.stage, "words": _words(part, stored, angle.note)})
    for at, size in enumerate(entry.measures):
        verdict = told.get((None, at))
        row = {"what": size.quantity or "size", "value": size.value, "unit": size.unit, "words": _words(part, stored, size.note)}
        rows.append(row | {"verdict": verdict and verdict.code, "reason": verdict and verdict.reason})
    for row in rows or [{"what": "", "words": _words(part, stored, None)}]:
        yield base | row


def _safe(value: object) -> object:
    return "'" + value if isinstance(value, str) and value[:1] in ("=", "+", "-", "@", "\t", "\r") else value
