"""Everything that is stored comes back as it was."""

from dataclasses import MISSING, fields

import pytest
from hypothesis import given
from hypothesis import strategies as st

from gudgeon import domain
from gudgeon.record import pack

words = st.text(min_size=1, max_size=12)
figures = st.floats(-1e6, 1e6, allow_nan=False)
readings = st.builds(domain.OtherReading, value=figures, unit=st.none() | words, odds=st.floats(0, 1))
spans = st.tuples(st.integers(0, 99), st.integers(0, 99))


def facts_of(cls):
    by_name = {"span": spans, "hedged": st.booleans()}
    by_type = {
        "tuple[OtherReading, ...]": st.lists(readings, max_size=2).map(tuple),
        "tuple[OtherName, ...]": st.lists(st.builds(domain.OtherName, name=words, odds=st.floats(0, 1)), max_size=2).map(tuple),
        "float": figures,
        "float | None": st.none() | figures,
        "str": words,
        "str | None": st.none() | words,
        "int | None": st.none() | st.integers(0, 99),
    }
    return st.builds(cls, **{field.name: by_name[field.name] if field.name in by_name else by_type[field.type] for field in fields(cls)})


@given(st.one_of([facts_of(cls) for cls in pack.FACT_KINDS.values()]))
def test_facts_come_back(fact):
    assert pack.load_fact(pack.dump_fact(fact)) == fact


def test_every_kind_of_fact_is_known():
    assert set(pack.FACT_KINDS.values()) == set(domain.Fact.__args__)


torques = st.builds(
    domain.TorqueDone, value=figures, unit=st.none() | words, nm=st.none() | figures, stage=st.none() | st.integers(1, 9), hedged=st.booleans(),
    heard=st.lists(readings, max_size=2).map(tuple), note=st.none() | st.integers(0, 9), mended=st.none() | words,
)  # fmt: skip
entries = st.builds(
    domain.Entry,
    part=st.none() | words,
    place=st.none() | words,
    count=st.none() | st.integers(0, 99),
    torques=st.lists(torques, max_size=3).map(tuple),
    angles=st.lists(st.builds(domain.AngleDone, angle_deg=figures), max_size=2).map(tuple),
    tool=st.none() | st.builds(domain.ToolUsed, tool=words, size=st.none() | figures, size_unit=st.none() | words),
    compound=st.none() | st.builds(domain.CompoundUsed, compound=words, strength=st.none() | words),
    conditions=st.lists(words, max_size=2).map(tuple),
    measures=st.lists(st.builds(domain.SizeMeasured, quantity=st.none() | words, value=figures, unit=words), max_size=2).map(tuple),
    notes=st.lists(st.integers(0, 99), max_size=3).map(tuple),
    how=st.lists(words, max_size=2).map(tuple),
    history=st.lists(words, max_size=2).map(tuple),
    complete=st.booleans(),
    unclear=st.none() | words,
)


@given(entries)
def test_entries_come_back(entry):
    assert pack.load_entry(pack.dump_entry(entry)) == entry


def test_judgements_come_back():
    row = domain.SpecRow(part="gearbox lid", line=2, torque=18.0, unit="N*m", one_time=True, extra=(("page", "12"),))
    judgement = domain.Judgement(
        verdicts=(domain.Verdict(code="over", of="48 N·m", reason="Too much.", reference="line 2", sum="48 > 18", torque=0),),
        findings=(domain.Finding(code="count-short", reason="Seven of ten."),),
        joint=domain.Joint(row=row, score=0.9, why="the names are the same"),
        cautions=(domain.Caution("manual", "The maker's manual decides."),),
    )
    assert pack.load_judgement(pack.dump_judgement(judgement)) == judgement
    assert pack.load_judgement("{}") == domain.Judgement()


def test_a_time_without_a_zone_is_refused():
    from datetime import datetime

    with pytest.raises(ValueError, match="zone"):
        pack.stamp(datetime(2026, 5, 4))


def test_nothing_that_is_needed_has_no_value():
    """A field without a default comes back as None when it was left out, and only then."""
    needed = [field.name for field in fields(domain.TorqueDone) if field.default is MISSING]
    assert needed == ["value", "unit", "nm"]
    assert pack.build(domain.TorqueDone, {"value": 40.0}) == domain.TorqueDone(value=40.0, unit=None, nm=None)
