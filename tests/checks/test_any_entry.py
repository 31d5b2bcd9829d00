"""Whatever an entry holds, judging it raises nothing, gives one verdict a torque and a measure, and always defers to the manual."""

from __future__ import annotations

from hypothesis import given, settings
from hypothesis import strategies as st
from reached import SHEET, TODAY, WRENCHES, bundled_trade, torque

from gudgeon.checks import judge, progress, read_spec
from gudgeon.domain import AngleDone, CompoundUsed, Entry, PastValue, SizeMeasured, ToolUsed

READ = read_spec(SHEET)
TRADE = bundled_trade()
UNITS = st.sampled_from(["N*m", "N*cm", "lbf*ft", "lbf*in", "kgf*m", "kgf*cm", None])
VALUES = st.one_of(st.floats(0.01, 5000), st.sampled_from([0.0, 1e-9, 1e9, 18.0]))
STAGES = st.sampled_from([None, 1, 2, 3, 7])
TURNS = st.sampled_from([None, 60, 90])
TORQUES = st.builds(lambda v, u, s, a, h: torque(v, u, stage=s, angle_deg=a, hedged=h), VALUES, UNITS, STAGES, TURNS, st.booleans())
TOOLS = st.builds(
    lambda t, s, u: ToolUsed(tool=t, size=s, size_unit=u),
    st.sampled_from(["socket", "hex key", "hexalobular", "crowfoot", "adapter", "extension", "torque wrench", "mallet"]),
    st.sampled_from([None, 5, 10, 13, 19, 0.4375, 30, 999]),
    st.sampled_from([None, "mm", "in", "T"]),
)
COMPOUNDS = st.builds(
    lambda c, s: CompoundUsed(compound=c, strength=s),
    st.sampled_from(["oil", "thread locker", "anti-seize", "sealant", "brake fluid"]),
    st.sampled_from([None, "low", "high"]),
)
MEASURES = st.builds(
    lambda q, v, u: SizeMeasured(quantity=q, value=v, unit=u),
    st.sampled_from([None, "gap", "end float", "reach", "pressure"]),
    st.floats(-10, 1000),
    st.sampled_from(["mm", "thou", "in", "bar", "degC", "turn"]),
)
PARTS = st.sampled_from(
    [None, "gearbox lid", "cylinder head", "head", "wheel", "inlet valve", "crank pulley", "no such part", "", "x" * 500, "№ 3 – ß", "!!"]
)
ENTRIES = st.builds(
    Entry,
    part=PARTS,
    place=st.sampled_from([None, "left", "rear left", "number 3", "", "sideways"]),
    fastener=st.sampled_from([None, "bolt", "nut", "plug", "union", "stud"]),
    count=st.sampled_from([None, 0, 1, 7, 8, 99]),
    thread=st.sampled_from([None, "M8", "M8x1.25", "M8x3", "5/16-18", "1/2 BSW", "1/4 BSP", "M99x2", "nonsense", ""]),
    grade=st.sampled_from([None, "8.8", "10.9", "5", "A2-70", "A2", "7.7"]),
    state=st.sampled_from([None, "new", "reused"]),
    torques=st.lists(TORQUES, max_size=4).map(tuple),
    angles=st.lists(st.builds(lambda a, s: AngleDone(angle_deg=a, stage=s), st.floats(1, 400), STAGES), max_size=2).map(tuple),
    tool=st.none() | TOOLS,
    compound=st.none() | COMPOUNDS,
    conditions=st.sampled_from([(), ("stripped",), ("cross-threaded", "worn")]),
    measures=st.lists(MEASURES, max_size=3).map(tuple),
    complete=st.booleans(),
)
PAST = (
    PastValue(session=1, date="2026-01-01", part="gearbox lid", place=None, fastener="bolt", stage=None, value=20, unit="N*m", nm=20.0),
    PastValue(session=1, date="2026-01-01", part="wheel", place="left", fastener="nut", stage=1, value=20, unit=None, nm=None),
)


@settings(max_examples=120, deadline=None)
@given(entry=ENTRIES, with_sheet=st.booleans())
def test_any_entry_is_judged(entry: Entry, with_sheet: bool) -> None:
    judgement = judge(entry, sheet=READ if with_sheet else None, past=PAST, trade=TRADE, wrenches=WRENCHES, today=TODAY)
    assert [v.torque for v in judgement.verdicts if v.torque is not None] == list(range(len(entry.torques)))
    assert [v.measure for v in judgement.verdicts if v.measure is not None] == list(range(len(entry.measures)))
    assert all(v.code == "unit not said" for v in judgement.verdicts if v.torque is not None and entry.torques[v.torque].unit is None)
    assert all(said.reason.endswith((".", "?", "!")) for said in (*judgement.verdicts, *judgement.findings))
    if judgement.verdicts or judgement.findings:
        assert judgement.cautions[-1].code == "manual-decides"


@settings(max_examples=25, deadline=None)
@given(entries=st.lists(ENTRIES, max_size=5))
def test_progress_of_any_entries(entries: list[Entry]) -> None:
    found = progress(entries, READ, trade=TRADE)
    assert 0 <= found.done <= found.total
    assert all(stage.counted is None or stage.expected is None or 0 <= stage.counted <= stage.expected for j in found.joints for stage in j.stages)
