"""Any text is read without a crash, in linear time, and every span lies inside it."""

import time

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from gudgeon.facts import Reader

TALK = (
    "torqued the lid bolts to forty newton metres no wait not make that 45 Nm with a half inch socket M8x1.25 10.9 first pass second number two left "
    "is it don't forget need to buy another ninety degrees plus three of them all six cracked , . ? : ( ) - the book says said i think about 7/16 "
    "between and thousand hundred point oh five tens 's 've € £4 1:30 80W-90 ½ µm é 螺栓 🔧 \x00 \u202e"
)


@settings(max_examples=100, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(st.one_of(st.text(max_size=200), st.lists(st.sampled_from(TALK.split(" ")), max_size=40).map(" ".join)))
def test_any_text_is_read_and_spans_lie_inside(reader: Reader, text: str) -> None:
    for fact in reader.read(text):
        start, end = fact.span
        assert 0 <= start < end <= len(text)
        assert fact.rule


@pytest.mark.parametrize("text", ["", " ", "\n", "9" * 400 + " newton metres", "\ud800", "torqued to " + "9" * 5000], ids=repr)
def test_odd_texts_give_no_torque(reader: Reader, text: str) -> None:
    assert not [fact for fact in reader.read(text) if fact.kind == "torque"]


@pytest.mark.parametrize("before", [*range(0, 40, 3)])
def test_a_long_note_cuts_no_value_in_two(reader: Reader, before: int) -> None:
    said = "sump plug twenty five foot pounds. "
    facts = reader.read("x" * before + " " + said * 260)
    assert [fact.value for fact in facts if fact.kind == "torque"] == [25.0] * 260


UNITS_OF_TEXT = {
    "one character": "(",
    "letters": "a",
    "figures": "9 ",
    "words": "the bolt got forty newton metres and ",
    "corrections": "twelve no wait ten not nine sorry eight ",
    "hedges": "i think probably forty newton metres or so ",
    "questions": "is it forty or is it the lid bolts do you think ",
    "parts": "gearbox lid cover plate housing ",
    "to buy": "need to order two seals and a gasket and ",
    "no spaces": "lidbolt.",
}


@pytest.mark.slow
@pytest.mark.parametrize("unit", UNITS_OF_TEXT.values(), ids=UNITS_OF_TEXT.keys())
def test_time_is_linear_in_length(reader: Reader, unit: str) -> None:
    def cost(size: int) -> float:
        text = (unit * (size // len(unit) + 1))[:size]
        best = float("inf")
        for _ in range(2):
            start = time.process_time()
            reader.read(text)
            best = min(best, time.process_time() - start)
        return best

    short, long = cost(2_000), cost(16_000)
    assert long <= max(8 * short * 4, 0.5)


@pytest.mark.slow
@pytest.mark.parametrize("unit", UNITS_OF_TEXT.values(), ids=UNITS_OF_TEXT.keys())
def test_a_line_of_a_megabyte_takes_seconds_at_most(reader: Reader, unit: str) -> None:
    start = time.process_time()
    reader.read(unit * (1_000_000 // len(unit)))
    assert time.process_time() - start < 10
