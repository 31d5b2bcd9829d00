"""Sums, and rows of the sheet, offered beside open questions; shared by the commands that show them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import asdict
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from gudgeon.checks import Aid
    from gudgeon.domain import Entry
    from gudgeon.record import Record, StoredItem
    from gudgeon.reports import Line


def aids_of(record: Record, items: Sequence[StoredItem]) -> dict[int, Aid]:
    """Item number → the sum that may help, for the open questions that have one."""
    questions = [item for item in items if item.item.kind == "question" and item.item.state == "open" and item.item.id is not None]
    if not questions:
        return {}
    from gudgeon.checks import aid_for, read_wrenches
    from gudgeon.cli import wiring
    from gudgeon.session import job_sheet

    trade, units, tools = wiring.trade(), wiring.unit_words(), record.tools()
    wrenches = read_wrenches(tools.text.split("\n")).wrenches if tools else ()
    sheets = {job: job_sheet(record, job) for job in {item.job for item in questions}}
    found: dict[int, Aid] = {}
    for item in questions:
        doing = _worked_on(record, item)
        aid = aid_for(item.item.text, doing, trade=trade, units=units, wrenches=wrenches, sheet=sheets[item.job])
        if aid and item.item.id is not None:
            found[item.item.id] = aid
    return found


def _worked_on(record: Record, item: StoredItem) -> Entry | None:
    """The entry of the question's part, else the last one begun before the question was asked; None when there is none."""
    if item.session is None:
        return None
    entries = [entry.entry for entry in record.entries(item.session) if not entry.struck]
    of_part = [entry for entry in entries if item.item.part and entry.part == item.item.part]
    if of_part:
        return of_part[-1]
    asked = next((note.position for note in record.notes(item.session) if note.id in item.notes), 0)
    before = [(max(at for at in entry.notes if at <= asked), entry) for entry in entries if entry.notes and min(entry.notes) <= asked]
    return max(before, key=lambda pair: pair[0])[1] if before else None


def aid_json(aid: Aid | None) -> dict[str, Any] | None:
    """An aid as ``--json`` prints it."""
    return asdict(aid) if aid else None


def aid_lines(aids: dict[int, Aid], *, width: int) -> list[Line]:
    """The aids under one heading, each with its question's number; every caution once, at the end."""
    from textwrap import wrap

    from gudgeon.reports import Line

    if not aids:
        return []
    lines = [Line(""), Line("What may help", tone="heading")]
    for number, aid in aids.items():
        lines += [Line(text) for text in wrap(f"{number:>4}  {aid.text}", width, subsequent_indent=" " * 6)]
    for caution in dict.fromkeys(text for aid in aids.values() for text in aid.cautions):
        lines += [Line(text, tone="unsure") for text in wrap(f"! {caution}", width, initial_indent=" " * 4, subsequent_indent=" " * 6)]
    return lines
