"""Lists that commands print: jobs, open items, things found, a spec sheet, a note just stored."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import datetime, tzinfo
from typing import TYPE_CHECKING

from gudgeon.domain import Job, Judgement, Session, SizeLimit, SpecRow, SpecSheet, TorqueDone
from gudgeon.record import Change, Hit, StoredEntry, StoredItem, StoredNote
from gudgeon.reports import saying
from gudgeon.reports.lines import Line, fit, heading, wrapped
from gudgeon.reports.summary import SECTIONS, entry_lines, item_lines

if TYPE_CHECKING:
    from gudgeon.trade import Wrench


def note_lines(
    note: StoredNote,
    notes: Sequence[StoredNote],
    entries: Sequence[StoredEntry],
    items: Sequence[StoredItem],
    *,
    width: int = 80,
    sheet: bool = True,
) -> list[Line]:
    """A note just stored: the entries and open items that it made or changed."""
    width = fit(width)
    lines = wrapped(f"Note {note.id} is stored in session {note.session}.", width, tone="faint")
    for entry in entries:
        lines += entry_lines(entry, notes, width, sheet=sheet, named=True)
    for item in items:
        lines += wrapped(f"{item.item.kind}: {item.item.text}  [item {item.item.id}]", width, indent=2)
    for picture in note.pictures:
        lines += wrapped(f"picture: {picture.name}  [picture {picture.id}]", width, indent=2)
    if not entries and not items:
        lines += wrapped("Nothing in it makes an entry or an open item; it can be found by its words.", width, indent=2, tone="faint")
    for text in dict.fromkeys(caution.text for entry in entries for caution in entry.judgement.cautions):
        lines += wrapped(text, width, indent=2, hang=0, tone="faint")
    return lines


def offer_lines(item: StoredItem, torques: Sequence[TorqueDone], *, width: int = 80) -> list[Line]:
    """That values may answer an open item, and how to say so."""
    values = ", ".join(saying.torque(replace(torque, hedged=False)) for torque in torques)
    text = f"Does {values} answer item {item.item.id} ({item.item.kind}: {item.item.text})? If so: gudgeon answer {item.item.id} TEXT"
    return wrapped(text, fit(width), tone="unsure")


def jobs_lines(jobs: Sequence[tuple[Job, Sequence[Session], Sequence[StoredItem]]], *, width: int = 80) -> list[Line]:
    """All jobs with how many sessions and open items they have."""
    if not jobs:
        return [Line('There is no job yet. Make one with: gudgeon job new "orchard tractor"')]
    lines: list[Line] = []
    for job, sessions, items in jobs:
        last = f", last {saying.day(sessions[-1].started)}" if sessions else ""
        closed = " · closed" if job.closed else ""
        text = f"{job.name} · {saying.counted(len(sessions), 'session')}{last} · {saying.counted(len(items), 'open item')}{closed}"
        lines += wrapped(text, fit(width), tone="faint" if job.closed else "plain")
    return lines


def job_lines(job: Job, sessions: Sequence[Session], items: Sequence[StoredItem], sheet: str | None, *, width: int = 80) -> list[Line]:
    """One job: its sessions and what is open."""
    width = fit(width)
    lines = wrapped(f"{job.name}{' · closed ' + saying.day(job.closed) if job.closed else ''}", width, tone="heading")
    lines += wrapped(f"spec sheet: {sheet or 'none loaded'}", width, tone="faint")
    lines += heading("Sessions")
    for session in sessions:
        state = "" if session.state == "finished" else f" · {session.state}"
        length = f" · {saying.length(session.seconds)}" if session.seconds else ""
        lines += wrapped(f"{session.id:>4}  {saying.day(session.started)}{length} · {saying.source(session.source)}{state}", width, hang=6)
    if not sessions:
        lines += [Line("  none yet")]
    return lines + _by_kind(items, width)


def items_lines(items: Sequence[StoredItem], *, width: int = 80, now: datetime) -> list[Line]:
    """Open items by kind, each with its age."""
    if not items:
        return [Line("Nothing is open.")]
    return dated_items(items, fit(width), now)[1:]


def dated_items(items: Sequence[StoredItem], width: int, now: datetime, *, with_job: bool = True) -> list[Line]:
    """Items by kind under their headings, each with its job, its age, and how often it was said."""
    lines: list[Line] = []
    for kind, title in SECTIONS:
        found = [item for item in items if item.item.kind == kind]
        lines += heading(title) if found else []
        for item in found:
            job = f" · {item.job}" if item.job and with_job else ""
            said = f" · said {len(item.notes)} times" if len(item.notes) > 1 else ""
            lines += item_lines(item, width, more=f"{job} · {age(item.raised, now)}{said}")
    return lines


def _by_kind(items: Sequence[StoredItem], width: int) -> list[Line]:
    lines: list[Line] = []
    for kind, title in SECTIONS:
        found = [item for item in items if item.item.kind == kind]
        lines += heading(title) if found else []
        lines += [line for item in found for line in item_lines(item, width)]
    return lines


def age(raised: datetime, now: datetime) -> str:
    """How long ago, in words."""
    days = (now - raised).days
    if days < 1:
        return "today"
    if days < 14:
        return saying.counted(days, "day") + " ago"
    return saying.counted(days // 7, "week") + " ago" if days < 60 else saying.counted(days // 30, "month") + " ago"


def hits_lines(hits: Sequence[Hit], *, width: int = 80, zone: tzinfo | None = None) -> list[Line]:
    """Things found, best first: the entry with its values, and the words with session, day and time."""
    width = fit(width)
    if not hits:
        return [Line("Nothing was found. Try fewer words, or look at `gudgeon job list`.")]
    lines: list[Line] = []
    mended = dict(hits[0].read_as)
    if mended:
        lines += wrapped("Read as: " + ", ".join(f"{typed} → {known}" for typed, known in mended.items()), width, tone="faint")
    for hit in hits:
        lines += _hit_lines(hit, width, zone)
    return lines


def _hit_lines(hit: Hit, width: int, zone: tzinfo | None) -> list[Line]:
    lines: list[Line] = []
    if hit.entry:
        entry = hit.entry.entry
        facts = [saying.joint(entry), saying.fasteners(entry)]
        joint = hit.entry.judgement.joint
        facts += [f"{joint.row.thread} by the sheet"] if joint and joint.row.thread and not entry.thread else []
        lines += wrapped(" · ".join(fact for fact in facts if fact), width, tone="heading")
        codes = {verdict.torque: verdict.code for verdict in hit.entry.judgement.verdicts if verdict.torque is not None}
        values = [saying.torque(torque) + (f" [{codes[at]}]" if at in codes else "") for at, torque in enumerate(entry.torques)]
        values += [saying.angle(angle) for angle in entry.angles] + [saying.size(size) for size in entry.measures]
        values += ([saying.tool(entry.tool)] if entry.tool else []) + ([saying.compound(entry.compound)] if entry.compound else [])
        values += list(entry.conditions)
        lines += wrapped("; ".join(values), width, indent=2)
    if hit.words:
        lines += wrapped(f"“{_short(hit.words)}”", width, indent=2, hang=1, tone="plain" if hit.entry is None else "faint")
    where = [f"session {hit.session.id}", hit.session.job or "no job", saying.day(hit.session.started, zone)]
    where += [f"at {saying.clock(hit.start)}"] if hit.start is not None else []
    where += [f"entry {hit.entry.id}"] if hit.entry else [f"note {hit.note}"]
    where += [saying.counted(len(hit.pictures), "picture")] if hit.pictures else []
    return [*lines, *wrapped(" · ".join(where), width, indent=2, tone="faint")]


def _short(text: str, most: int = 240) -> str:
    return text if len(text) <= most else text[: most - 1] + "…"


def history_lines(
    stored: StoredEntry, notes: Sequence[StoredNote], history: Sequence[Change], hints: Sequence[StoredItem], *, width: int = 80
) -> list[Line]:
    """An entry as it stands, how it was first read, every change, and open items it may answer (of a struck one: those that are still open)."""
    width = fit(width)
    lines = wrapped(saying.joint(stored.entry) + (" · struck" if stored.struck else ""), width, tone="heading")
    lines += entry_lines(stored, notes, width, why=True)
    if stored.entry != stored.reading and stored.reading.notes:
        first = replace(stored, entry=stored.reading, judgement=Judgement(), fixed=False)
        lines += [*heading("First read as"), *wrapped(saying.joint(stored.reading), width, indent=2), *entry_lines(first, notes, width)]
    if history:
        lines += heading("Changes")
    for change in history:
        what = (
            f"{change.field}: {saying.changed(change.field, change.before)} → {saying.changed(change.field, change.after)}"
            if change.action == "set"
            else change.action
        )
        lines += wrapped(f"{saying.day(change.at)}  {what}{': ' + change.reason if change.reason else ''}", width, indent=2, hang=4)
    for item in hints:
        what = f"item {item.item.id} ({item.item.kind}: {item.item.text})"
        text = f"Does this answer {what}? If so: gudgeon answer {item.item.id} TEXT"
        if stored.struck:
            text = f"With it struck, {what} is still open. If it is settled: gudgeon answer {item.item.id} TEXT"
        lines += [Line(""), *wrapped(text, width, tone="faint")]
    return lines


def wrench_lines(wrenches: Sequence[Wrench], *, width: int = 80) -> list[Line]:
    """The owner's torque wrenches."""
    lines: list[Line] = []
    for wrench in wrenches:
        words = [wrench.name, f"{saying.number(wrench.low)} to {saying.number(wrench.high)} {saying.unit(wrench.unit)}"]
        words += [f"{saying.number(wrench.length_mm)} mm long"] if wrench.length_mm else []
        words += [f"calibrated {wrench.calibrated.isoformat()}" if wrench.calibrated else "calibration not known"]
        lines += wrapped(" · ".join(words), fit(width), hang=4)
    return lines or [Line("There is no wrench in the tools file.")]


def sheet_lines(name: str, sheet: SpecSheet, *, width: int = 80) -> list[Line]:
    """A spec sheet: its joints, its sizes, and what was refused."""
    width = fit(width)
    rows, sizes = saying.counted(len(sheet.rows), "torque row"), saying.counted(len(sheet.sizes), "size row")
    lines = wrapped(f"{name}: {rows}, {sizes}", width, tone="heading")
    for row in sheet.rows:
        lines += wrapped(spec_row(row), width, indent=2, hang=4)
    for limit in sheet.sizes:
        lines += wrapped(size_limit(limit), width, indent=2, hang=4)
    for line, reason in sheet.refused:
        lines += wrapped(f"line {line} was refused: {reason}", width, indent=2, tone="unsure")
    return lines


def spec_row(row: SpecRow) -> str:
    """One torque row in words."""
    where = ", ".join(text for text in (row.part, row.place) if text)
    fastener = saying.plural(row.fastener) if row.fastener and (row.count or 0) > 1 else row.fastener
    what = " ".join(str(text) for text in (row.count, fastener, row.thread) if text)
    value = f"{saying.number(row.torque)} {saying.unit(row.unit)}" if row.torque is not None else ""
    if row.low is not None or row.high is not None:
        ends = " to ".join(saying.number(end) if end is not None else "…" for end in (row.low, row.high))
        value = f"{value} ({ends} {saying.unit(row.unit)})".strip()
    turn = f"{saying.number(row.angle_deg)}°" if row.angle_deg is not None else ""
    stage = f"stage {row.stage}" if row.stage is not None else ""
    extra = [stage, " + ".join(text for text in (value, turn) if text), row.condition or "", row.compound or "", "use once" if row.one_time else ""]
    return " · ".join(text for text in (where, what, *extra) if text)


def size_limit(limit: SizeLimit) -> str:
    """One size row in words."""
    where = ", ".join(text for text in (limit.part, limit.place) if text)
    ends = " to ".join(saying.number(end) if end is not None else "…" for end in (limit.low, limit.high))
    return f"{where} · {limit.quantity} {ends} {saying.unit(limit.unit)}"
