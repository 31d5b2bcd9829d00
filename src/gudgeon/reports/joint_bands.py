"""The joints of a build record in the order of the spec sheet, the measured sizes, and the joints of the sheet with no value."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from gudgeon.domain import Entry, SpecRow, SpecSheet
from gudgeon.entries import Group, joints_of
from gudgeon.reports import saying
from gudgeon.reports.document import Band, Block, Item, Row, Section, Table
from gudgeon.reports.entry_blocks import ALARMS, COLUMNS, TONES, WIDTHS, Work, attached, entry_block, judged, said_by
from gudgeon.reports.superseded import later_within, which

if TYPE_CHECKING:
    from gudgeon.checks import JointProgress, Progress

STATES = {"outside": "OUTSIDE THE SHEET", "not started": "not done"}
SIZE_COLUMNS, SIZE_WIDTHS = ("Part", "Size as said", "Judged", "Said by"), (0.24, 0.2, 0.32, 0.24)


def joints_section(works: Sequence[Work], sheet: SpecSheet | None, progress: Progress | None) -> Section | None:
    """Every entry but those of sizes alone: under the joints of the sheet in its order, then by part."""
    left = [work for work in works if not _only_sizes(work.stored.entry)]
    if not left:
        return None
    bands = []
    states = {stage.line: joint for joint in (progress.joints if progress else ()) for stage in joint.stages}
    for group in joints_of(sheet).groups if sheet else ():
        lines = {row.line for row in group.rows}
        mine = [work for work in left if (joint := work.stored.judgement.joint) and joint.row.line in lines]
        if mine:
            state = next((states[line] for line in sorted(lines) if line in states), None)
            blocks = tuple(entry_block(work, named=_other_name(work, group)) for work in mine)
            bands.append(Band(title=_title(group.rows[0], state), lines=tuple(_asked(row) for row in group.rows), blocks=blocks))
            left = [work for work in left if work not in mine]
    for name in sorted(dict.fromkeys(saying.joint(work.stored.entry) for work in left), key=str.casefold):
        lines_of = ("Not on the spec sheet.",) if sheet else ()
        bands.append(Band(title=name, lines=lines_of, blocks=tuple(entry_block(work) for work in left if saying.joint(work.stored.entry) == name)))
    text = "In the order of the spec sheet; joints that are not on it come last." if sheet else "By part; there is no spec sheet."
    return Section(title="Joints", text=(text,), table=Table(COLUMNS, WIDTHS, tuple(bands)))


def _only_sizes(entry: Entry) -> bool:
    return bool(entry.measures) and not (entry.torques or entry.angles or entry.fastener or entry.tool or entry.compound or entry.conditions)


def _other_name(work: Work, group: Group) -> bool:
    """Whether the entry was said of another name than the sheet's row has."""
    row, entry = group.rows[0], work.stored.entry
    return saying.joint(entry).casefold() != saying.joint(Entry(part=row.part, place=row.place)).casefold()


def _title(row: SpecRow, state: JointProgress | None) -> str:
    fasteners = saying.fasteners(Entry(fastener=row.fastener, count=row.count, thread=row.thread, grade=row.grade))
    words = [saying.joint(Entry(part=row.part, place=row.place)), fasteners]
    words += [STATES.get(state.state, state.state)] if state else []
    return " · ".join(word for word in words if word)


def _asked(row: SpecRow) -> str:
    """What a row of the sheet asks for, in one sentence."""
    value = f"{saying.number(row.torque)} {saying.unit(row.unit)}" if row.torque is not None else ""
    if row.low is not None or row.high is not None:
        ends = " to ".join(saying.number(end) if end is not None else "…" for end in (row.low, row.high))
        value = f"{value} ({ends} {saying.unit(row.unit)})".strip() if value else f"{ends} {saying.unit(row.unit)}"
    value += f" ± {saying.number(row.tolerance_percent)} %" if row.tolerance_percent is not None and value else ""
    turn = f"{saying.number(row.angle_deg)}°" if row.angle_deg is not None else ""
    words = [f"stage {row.stage}" if row.stage is not None else "", " + ".join(text for text in (value, turn) if text) or "no value"]
    words += [row.condition or "", row.compound or "", row.tool or "", "use once" if row.one_time else "", row.note or ""]
    source = f"; source: {row.source}" if row.source else ""
    return f"Sheet, line {row.line}: " + ", ".join(word for word in words if word) + source


def sizes_section(works: Sequence[Work], progress: Progress | None) -> Section | None:
    """Every measured size with its verdict, then sizes of the sheet that nobody measured."""
    blocks, later = [], later_within(works)
    for work in works:
        rows = []
        for at, size in enumerate(work.stored.entry.measures):
            verdict = work.size_verdict(at)
            since = later.get(which(work, verdict)) if verdict and verdict.code in ALARMS else None
            cells = (saying.size(size), judged(verdict) + (f" Since then: {since}." if since else ""), said_by(work, size))
            rows.append(Row(cells, TONES.get(verdict.code, "plain") if verdict else "plain"))
        if rows:
            lead = f"{saying.joint(work.stored.entry)}\nentry {work.stored.id}"
            blocks.append(Block(lead=lead, rows=tuple(rows), attached=attached(work) if _only_sizes(work.stored.entry) else ()))
    missing = tuple(f"{size.name}, {size.wanted}" for size in progress.sizes if not size.values) if progress else ()
    if not blocks and not missing:
        return None
    text = (f"On the sheet and not measured: {'; '.join(missing)}.",) if missing else ()
    table = Table(SIZE_COLUMNS, SIZE_WIDTHS, (Band(title="", blocks=tuple(blocks)),)) if blocks else None
    return Section(title="Measured sizes", text=text, table=table)


def not_done(progress: Progress | None) -> Section | None:
    """Joints of the sheet that are not started, or of which a stage or a fastener is missing."""
    if progress is None:
        return None
    items = []
    for joint in progress.joints:
        if joint.state == "not started":
            told = "; ".join(joint.outside) or "no value was said"
            items.append(Item(f"{joint.name}: {told}.", "wanted " + "; ".join(stage.wanted for stage in joint.stages)))
        elif joint.state == "part done":
            items += [Item(f"{joint.name}: {wanted} was not said.") for wanted in joint.never_said]
            for stage in joint.stages:
                if stage.values and stage.expected and stage.counted != stage.expected:
                    items.append(Item(f"{joint.name}: {_counted(stage.counted, stage.expected)}.", f"wanted {stage.wanted}"))
    if not items:
        return None
    return Section(title="On the sheet and not finished", items=tuple(items))


def _counted(counted: int | None, expected: int) -> str:
    return f"{counted} of {expected} were said to be done" if counted is not None else f"how many of the {expected} were done was not said"
