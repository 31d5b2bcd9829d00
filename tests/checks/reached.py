"""One case for every code: what was done, the sheet it is held against, and the code that must come out. The documentation's examples."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from importlib import resources

from gudgeon.checks import judge, read_spec
from gudgeon.domain import (
    AngleDone,
    CompoundUsed,
    Entry,
    Judgement,
    OtherReading,
    PastValue,
    SizeMeasured,
    ToolUsed,
    TorqueDone,
)
from gudgeon.trade import Trade, Wrench
from gudgeon.units import to_nm

SHEET = (
    "part,place,fastener,count,thread,grade,torque,unit,angle_deg,stage,condition,material,engagement_mm,compound,one_time,tool",
    "gearbox lid,,bolt,8,M8x1.25,8.8,18,N*m,,,dry,,,,,13 mm socket",
    "cylinder head,,nut,8,M10x1.5,10.9,40,N*m,,1,,,,,,",
    "cylinder head,,nut,8,M10x1.5,10.9,60,N*m,90,2,,,,,,",
    "crank pulley,,bolt,1,M14x1.5,10.9,110,N*m,,,,,,red thread locker,yes,",
    "timing cover,,bolt,12,M6x1,8.8,9,N*m,,,,aluminium,5,,,10 mm socket",
    "water pump,,bolt,4,M8x1.25,8.8,18,N*m,,,,aluminium,12,,,",
    "breather plate,,screw,4,M4x0.7,8.8,12,N*m,,,,,,,,",
    "seat bracket,,bolt,2,M9x1.1,8.8,15,N*m,,,,,,,,",
    "wheel,left rear,nut,6,,,170,N*m,,,,,,,,",
    "wheel,left front,nut,5,,,90,N*m,,,,,,,,",
    "part,place,quantity,min,max,unit",
    "inlet valve,,gap,0.28,0.33,mm",
)
TODAY = date(2026, 3, 14)
WRENCHES = (
    Wrench(name="the small wrench", low=5, high=25, unit="N*m", length_mm=280, calibrated=date(2026, 1, 10)),
    Wrench(name="the long wrench", low=40, high=200, unit="N*m", length_mm=500, calibrated=date(2024, 2, 1)),
)


@dataclass(frozen=True)
class Reached:
    """A case: the words as said, the entry they make, and what else is known."""

    code: str
    said: str
    entry: Entry
    past: Sequence[PastValue] = ()
    wrenches: Sequence[Wrench] = ()


def torque(value: float, unit: str | None = "N*m", **more: object) -> TorqueDone:
    return TorqueDone(value=value, unit=unit, nm=to_nm(value, unit) if unit else None, **more)  # type: ignore[arg-type]


def entry(part: str | None, fastener: str | None = "bolt", *torques: TorqueDone, **more: object) -> Entry:
    return Entry(part=part, fastener=fastener, torques=torques, **more)  # type: ignore[arg-type]


def bundled_trade() -> Trade:
    folder = resources.files("gudgeon.trade").joinpath("tables")
    return Trade.from_tables({file.name.removesuffix(".csv"): file.read_text(encoding="utf-8").splitlines() for file in folder.iterdir()})


LID = "gearbox lid"
CASES = (
    Reached("unit not said", "gearbox lid bolts torqued to eighteen", entry(LID, "bolt", torque(18, None))),
    Reached("unlikely", "gearbox lid bolts, a hundred and eighty newton metres", entry(LID, "bolt", torque(180))),
    Reached("over", "gearbox lid bolts, twenty two newton metres", entry(LID, "bolt", torque(22))),
    Reached("under", "gearbox lid bolts, fifteen newton metres", entry(LID, "bolt", torque(15))),
    Reached("within", "gearbox lid bolts, eighteen newton metres", entry(LID, "bolt", torque(18))),
    Reached("no reference", "step bracket bolts, M10, fifty newton metres", entry("step bracket", "bolt", torque(50), thread="M10")),
    Reached(
        "clash",
        "gearbox lid bolts, eighteen newton metres",
        entry(LID, "bolt", torque(18)),
        past=(PastValue(session=3, date="2026-02-28", part=LID, place=None, fastener="bolt", stage=None, value=16, unit="N*m", nm=16),),
    ),
    Reached("unit-mix-up", "gearbox lid bolts, eighteen foot pounds", entry(LID, "bolt", torque(18, "lbf*ft"))),
    Reached("stage-skipped", "head nuts, stage two, sixty and ninety degrees", entry("cylinder head", "nut", torque(60, stage=2, angle_deg=90))),
    Reached(
        "stage-order",
        "head nuts, stage two, sixty and ninety degrees, then stage one, forty",
        entry("cylinder head", "nut", torque(60, stage=2, angle_deg=90), torque(40, stage=1)),
    ),
    Reached("stage-not-said", "head nuts at fifty newton metres", entry("cylinder head", "nut", torque(50))),
    Reached("angle-missing", "head nuts, stage two, sixty newton metres", entry("cylinder head", "nut", torque(40, stage=1), torque(60, stage=2))),
    Reached("count-short", "seven lid bolts at eighteen newton metres", entry(LID, "bolt", torque(18), count=7)),
    Reached("count-over", "ten lid bolts at eighteen newton metres", entry(LID, "bolt", torque(18), count=10)),
    Reached("one-time-reused", "old crank pulley bolt back in, a hundred and ten", entry("crank pulley", "bolt", torque(110), state="reused")),
    Reached("one-time-not-said", "crank pulley bolt, a hundred and ten newton metres", entry("crank pulley", "bolt", torque(110))),
    Reached(
        "compound-differs",
        "crank pulley bolt with blue thread lock, a hundred and ten",
        entry("crank pulley", "bolt", torque(110), compound=CompoundUsed(compound="thread locker", strength="medium")),
    ),
    Reached("compound-not-said", "new crank pulley bolt, a hundred and ten newton metres", entry("crank pulley", "bolt", torque(110), state="new")),
    Reached("lubricated-dry", "lid bolts oiled, eighteen newton metres", entry(LID, "bolt", torque(18), compound=CompoundUsed(compound="oil"))),
    Reached(
        "locker-too-strong",
        "timing cover bolts, red thread lock, nine newton metres",
        entry("timing cover", "bolt", torque(9), compound=CompoundUsed(compound="thread locker", strength="high")),
    ),
    Reached("grade-differs", "lid bolts, ten point nine, eighteen newton metres", entry(LID, "bolt", torque(18), grade="10.9")),
    Reached(
        "tool-differs",
        "lid bolts with a seventeen socket, eighteen newton metres",
        entry(LID, "bolt", torque(18), tool=ToolUsed(tool="socket", size=17, size_unit="mm")),
    ),
    Reached("thread-unusual", "seat bracket bolts, fifteen newton metres", entry("seat bracket", "bolt", torque(15))),
    Reached(
        "thread-guess",
        "bonnet stay with a sixteen socket, forty newton metres",
        entry("bonnet stay", "bolt", torque(40), tool=ToolUsed(tool="socket", size=16, size_unit="mm")),
    ),
    Reached(
        "tool-thread",
        "bonnet stay, M6, with a nineteen socket",
        entry("bonnet stay", "bolt", torque(9), thread="M6", tool=ToolUsed(tool="socket", size=19, size_unit="mm")),
    ),
    Reached(
        "adapter",
        "left rear wheel nut with the crowfoot, a hundred and seventy",
        entry("wheel", "nut", torque(170), place="left rear", tool=ToolUsed(tool="crowfoot")),
        wrenches=WRENCHES,
    ),
    Reached(
        "extension",
        "left rear wheel nuts through the extension, a hundred and seventy",
        entry("wheel", "nut", torque(170), place="left rear", tool=ToolUsed(tool="extension")),
    ),
    Reached("wrench-range", "breather screws, three newton metres", entry("breather pipe", "screw", torque(3)), wrenches=WRENCHES),
    Reached(
        "calibration-overdue", "left rear wheel nuts, a hundred and seventy", entry("wheel", "nut", torque(170), place="left rear"), wrenches=WRENCHES
    ),
    Reached(
        "above-usual", "tow bracket bolts, M10 eight point eight, sixty five", entry("bumper", "bolt", torque(65), thread="M10x1.5", grade="8.8")
    ),
    Reached("sheet-unlikely", "breather plate screws, twelve newton metres", entry("breather plate", "screw", torque(12))),
    Reached("stripped-thread", "thread in the gearbox lid is stripped", entry(LID, "bolt", conditions=("stripped",))),
    Reached("thread-may-strip", "timing cover bolts, nine newton metres", entry("timing cover", "bolt", torque(9))),
    Reached("engagement-short", "water pump bolts, eighteen newton metres", entry("water pump", "bolt", torque(18))),
    Reached("guessed", "lid bolts probably eighteen newton metres", entry(LID, "bolt", torque(18, hedged=True))),
    Reached(
        "heard-unsurely",
        "lid bolts eighteen (or eighty) newton metres",
        entry(LID, "bolt", torque(18, heard=(OtherReading(80, "N*m", 0.3),))),
    ),
    Reached("unit-mended", "lid bolts eighteen newton matters", entry(LID, "bolt", torque(18, mended="newton matters"))),
    Reached("joint-unclear", "those got eighteen newton metres", entry(None, None, torque(18))),
    Reached("match-loose", "head nuts, first stage, forty newton metres", entry("head", "nut", torque(40, stage=1))),
    Reached("match-ambiguous", "wheel nuts at a hundred and seventy", entry("wheel", "nut", torque(170))),
)
MORE = (
    Reached("within", "inlet valve gap twelve thou", Entry(part="inlet valve", measures=(SizeMeasured(quantity="gap", value=12, unit="thou"),))),
    Reached("over", "inlet valve gap fifteen thou", Entry(part="inlet valve", measures=(SizeMeasured(quantity="gap", value=15, unit="thou"),))),
    Reached("under", "inlet valve gap ten thou", Entry(part="inlet valve", measures=(SizeMeasured(quantity="gap", value=10, unit="thou"),))),
    Reached(
        "under",
        "head nuts stage two sixty and sixty degrees",
        entry("cylinder head", "nut", torque(40, stage=1), torque(60, stage=2), angles=(AngleDone(angle_deg=60, stage=2),)),
    ),
)


def judged(case: Reached, trade: Trade) -> Judgement:
    """What checks say of a case."""
    return judge(case.entry, sheet=read_spec(SHEET), past=case.past, trade=trade, wrenches=case.wrenches, today=TODAY)


def codes_of(judgement: Judgement) -> set[str]:
    """All codes of a judgement."""
    return {v.code for v in judgement.verdicts} | {f.code for f in judgement.findings} | {c.code for c in judgement.cautions}


_CAUTIONED = {
    "manual-decides": ("gearbox lid bolts, eighteen newton metres", entry(LID, "bolt", torque(18))),
    "computed": ("gearbox lid bolts, a hundred and eighty newton metres", entry(LID, "bolt", torque(180))),
    "safety-brakes": ("brake back plate bolts, forty eight newton metres", entry("brake back plate", "bolt", torque(48))),
    "safety-steering": ("drag link nut, fifty four newton metres", entry("drag link", "nut", torque(54))),
    "safety-suspension": ("front axle bolts, ninety newton metres", entry("axle", "bolt", torque(90), place="front")),
    "safety-wheels": ("left rear wheel nuts, a hundred and seventy", entry("wheel", "nut", torque(170), place="left rear")),
    "safety-fuel": ("lift pump bolts, fifteen newton metres", entry("lift pump", "bolt", torque(15))),
    "safety-lifting": ("lifting eye bolt, thirty eight newton metres", entry("lifting eye", "bolt", torque(38))),
    "safety-pressure": ("hydraulic pump flange nuts, thirty eight newton metres", entry("hydraulic pump flange", "nut", torque(38))),
    "safety-rotating": ("flywheel bolts, ninety newton metres", entry("flywheel", "bolt", torque(90))),
}


def caution_case(code: str) -> Reached:
    """The case in which a caution comes out."""
    said, what = _CAUTIONED[code]
    return Reached(code, said, what)
