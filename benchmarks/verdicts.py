"""How many verdicts a second one core gives: python benchmarks/verdicts.py

A sheet of 300 rows, 400 entries in the ways people say them and 375 past values, judged again and again for a few seconds of processor time.
The first round, in which indexes are made and sums remembered, is timed apart.
"""

from __future__ import annotations

import time
from importlib import resources

from gudgeon.checks import judge, read_spec
from gudgeon.domain import CompoundUsed, Entry, PastValue, SpecSheet, ToolUsed, TorqueDone
from gudgeon.trade import Trade

PARTS = ["gearbox lid", "cylinder head", "timing cover", "water pump", "sump", "flywheel", "clutch cover", "bell housing", "oil pump", "rocker cover"]
PLACES = ["left", "right", "front", "rear", "upper", "lower", "number 1", "number 2", "inner", "outer"]


def bundled_trade() -> Trade:
    """The trade's tables as they are shipped."""
    folder = resources.files("gudgeon.trade").joinpath("tables")
    return Trade.from_tables({file.name.removesuffix(".csv"): file.read_text(encoding="utf-8").splitlines() for file in folder.iterdir()})


def a_sheet() -> SpecSheet:
    """Three rows for each of a hundred joints."""
    lines = ["part,place,fastener,count,thread,grade,torque,unit,stage,condition,compound,one_time"]
    for at, part in enumerate(PARTS):
        for number, place in enumerate(PLACES):
            torque = 12 + 3 * at + number
            lines.append(f"{part},{place},bolt,{4 + at},M8x1.25,8.8,{torque},N*m,1,dry,,")
            lines.append(f"{part},{place},bolt,{4 + at},M8x1.25,8.8,{torque + 8},N*m,2,dry,,")
            lines.append(f"{part},{place},nut,{at + 1},M10x1.5,10.9,{torque + 20},lbf*ft,,,blue thread locker,yes")
    sheet = read_spec(lines)
    assert not sheet.refused
    return sheet


def some_entries() -> list[Entry]:
    """Four entries a joint: word for word, with a tool and a compound, named by its last word, and one the sheet has not."""
    entries = []
    for at, part in enumerate(PARTS):
        for number, place in enumerate(PLACES):
            nm = 12.0 + 3 * at + number
            two = tuple(TorqueDone(value=v, unit="N*m", nm=v, stage=s) for s, v in ((1, nm), (2, nm + 9)))
            entries.append(Entry(part=part, place=place, fastener="bolt", count=4, torques=two))
            one = (TorqueDone(value=nm + 20, unit="N*m", nm=nm + 20, hedged=True),)
            tool = ToolUsed(tool="socket", size=16, size_unit="mm")
            entries.append(Entry(part=part, place=place, fastener="nut", torques=one, tool=tool, compound=CompoundUsed(compound="oil")))
            entries.append(Entry(part=part.split()[-1], place=place, fastener="bolt", torques=two[:1], thread="M8"))
            entries.append(Entry(part="seat " + part, fastener="screw", torques=(TorqueDone(value=nm, unit=None, nm=None),)))
    return entries


def past_values(entries: list[Entry]) -> tuple[PastValue, ...]:
    """What an earlier session would have left of the same entries."""
    said = [(entry, torque) for entry in entries[:300] for torque in entry.torques]
    return tuple(
        PastValue(
            session=1, date="2026-02-01", part=e.part or "", place=e.place, fastener=e.fastener, stage=t.stage, value=t.value, unit=t.unit, nm=t.nm
        )
        for e, t in said
    )


def main() -> None:
    """Judge for some seconds of processor time and print the rate."""
    trade, sheet, entries = bundled_trade(), a_sheet(), some_entries()
    past = past_values(entries)
    start = time.process_time()
    for entry in entries:
        judge(entry, sheet=sheet, past=past, trade=trade)
    print(f"first round, with indexing: {len(entries)} entries in {time.process_time() - start:.3f} s")
    verdicts = rounds = findings = 0
    start = time.process_time()
    while time.process_time() - start < 4:
        for entry in entries:
            judgement = judge(entry, sheet=sheet, past=past, trade=trade)
            verdicts += len(judgement.verdicts)
            findings += len(judgement.findings)
        rounds += 1
    seconds = time.process_time() - start
    print(f"{verdicts} verdicts and {findings} findings of {rounds * len(entries)} entries in {seconds:.2f} s of one core")
    print(f"beside {len(past)} past values and {len(sheet.rows)} rows of the sheet")
    print(f"{verdicts / seconds:,.0f} verdicts a second on one core")


if __name__ == "__main__":
    main()
