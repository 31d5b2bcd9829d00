"""Numbers spoken by num2words (an outside speller of numbers) and in our own variants are read back exactly, in every unit spelling."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from itertools import cycle

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from num2words import num2words

from gudgeon.cli.wiring import tables
from gudgeon.notes import read_tokens
from gudgeon.units import UnitWords

WORDS = UnitWords.from_tables(tables("units"))
FORMS = [row[:3] for row in (line.split(",") for line in tables("units")["unit_words"][1:]) if row[3] in ("", "mil", "alone", "open")]
DIGITS = [num2words(n) for n in range(10)]
PARTS = {2: "half", 4: "quarter", 8: "eighth", 16: "sixteenth", 32: "thirty second", 64: "sixty fourth"}


def whole(n: int) -> Iterator[str]:
    """The ways to say a whole number below 10,000 that can be nothing else (or are read so first)."""
    british = num2words(n, lang="en_GB").replace(",", "")
    yield british
    yield british.replace("-", " ")
    yield num2words(n, lang="en").replace(",", "")
    yield num2words(n, lang="en").replace(",", "").replace("-", " ").replace(" and ", " ")
    hundreds, rest = divmod(n, 100)
    if british.startswith(("one hundred", "one thousand")):
        yield "a" + british.removeprefix("one")
    if 0 < hundreds < 10 and rest >= 10:
        yield f"{num2words(hundreds)} {num2words(rest).replace('-', ' ')}"
    if 0 < hundreds < 10 and 0 < rest < 10:
        yield f"{num2words(hundreds)} oh {num2words(rest)}"
    if 10 < hundreds < 20 and not rest:
        yield f"{num2words(hundreds)} hundred"
    if n > 9:
        yield " ".join(DIGITS[int(d)] for d in str(n))


def decimals(thousandths: int) -> Iterator[str]:
    """The ways to say a decimal of up to three places."""
    text = f"{thousandths / 1000:.3f}".rstrip("0")
    if text.endswith("."):
        text += "0"
    before, after = text.split(".")
    digits = [DIGITS[int(d)] for d in after]
    lead = num2words(int(before))
    yield f"{lead} point {' '.join(digits)}"
    yield f"{lead} point {' '.join(digits).replace('zero', 'nought')}"
    if digits[-1] != "zero":
        yield f"{lead} point {' '.join(digits).replace('zero', 'oh')}"
    if before == "0":
        yield f"point {' '.join(digits)}"
        yield f"nought point {' '.join(digits)}"
    if len(after) == 2 and after[0] != "0":
        yield f"{lead} point {num2words(int(after)).replace('-', ' ')}"


def fractions(number: int, part: Fraction) -> Iterator[str]:
    """The ways to say a whole number and a binary fraction."""
    top, bottom = part.numerator, part.denominator
    name = PARTS[bottom]
    several = name if top == 1 else name + "s"
    said = [f"{num2words(top).replace('-', ' ')} {several}"]
    if top == 1:
        said.append(f"{'an' if name[0] == 'e' else 'a'} {name}")
    if bottom not in (2, 4):
        said.append(f"{num2words(top)} {num2words(bottom, to='ordinal')}{'s' if top > 1 else ''}")
    if bottom == 4 and top > 1:
        said.append(f"{num2words(top)} fourths")
    for text in said:
        yield f"{num2words(number)} and {text}" if number else text


def read(text: str) -> tuple[float | None, str | None]:
    """Value and unit of the one figure (and the unit after it) that the text holds; more than that is an error."""
    figures = [t for t in read_tokens(text, WORDS) if t.kind != "word"]
    assert figures and figures[0].figure, text
    unit = figures[1].unit.unit if len(figures) > 1 and figures[1].unit else None
    assert len(figures) == (2 if unit else 1), text
    return figures[0].value, unit


def all_said() -> Iterator[tuple[float, str]]:
    for n in range(10_000):
        yield from ((n, said) for said in whole(n))
    for n in range(10_000):
        yield from ((n / 1000, said) for said in decimals(n))
    for number in (*range(13), 20, 21, 99, 100, 125, 250):
        for sixty_fourths in range(1, 64):
            part = Fraction(sixty_fourths, 64)
            yield from ((number + float(part), said) for said in fractions(number, part))


@pytest.mark.slow
def test_every_number_is_read_back_exactly() -> None:
    wrong = [(value, said) for value, said in all_said() if read(said) != (value, None)]
    assert wrong == []


@pytest.mark.slow
def test_every_number_keeps_its_unit_in_every_spelling() -> None:
    forms = cycle(FORMS)
    wrong = []
    for (value, said), (unit, _, form) in zip(all_said(), forms, strict=False):
        text = f"{said} {form}"
        if read(text) != (value, unit):
            wrong.append((text, value, unit))
    assert wrong == []


def test_every_spelling_of_a_unit_after_some_numbers() -> None:
    numbers = [(18, "eighteen"), (125, "a hundred and twenty five"), (0.045, "point oh four five"), (2.5, "two and a half"), (46, "46")]
    wrong = [f"{said} {form}" for unit, _, form in FORMS for value, said in numbers if read(f"{said} {form}") != (value, unit)]
    assert wrong == []


@given(st.integers(0, 9999), st.data())
@settings(max_examples=80, deadline=None)
def test_whole_numbers(n: int, data: st.DataObject) -> None:
    said = data.draw(st.sampled_from(list(whole(n))))
    unit, _, form = data.draw(st.sampled_from(FORMS))
    assert read(f"{said} {form}") == (n, unit)


@given(st.integers(0, 9999), st.data())
@settings(max_examples=80, deadline=None)
def test_decimals(n: int, data: st.DataObject) -> None:
    said = data.draw(st.sampled_from(list(decimals(n))))
    unit, _, form = data.draw(st.sampled_from(FORMS))
    assert read(f"{said} {form}") == (n / 1000, unit)


@given(st.integers(0, 250), st.integers(1, 63), st.data())
@settings(max_examples=80, deadline=None)
def test_binary_fractions(number: int, sixty_fourths: int, data: st.DataObject) -> None:
    part = Fraction(sixty_fourths, 64)
    said = data.draw(st.sampled_from(list(fractions(number, part))))
    unit, _, form = data.draw(st.sampled_from(FORMS))
    assert read(f"{said} {form}") == (number + float(part), unit)


@given(st.integers(0, 999_999), st.integers(0, 999))
@settings(max_examples=80, deadline=None)
def test_written_numbers(n: int, thousandths: int) -> None:
    for text in (str(n), f"{n:,}"):
        assert read(text) == (n, None)
        assert read(f"{text}Nm") == (n, "N*m")
    assert read(f"{n}.{thousandths:03d} mm") == (float(f"{n}.{thousandths:03d}"), "mm")


@given(st.integers(0, 12), st.integers(1, 63))
@settings(max_examples=100, deadline=None)
def test_written_fractions(number: int, sixty_fourths: int) -> None:
    part = Fraction(sixty_fourths, 64)
    text = f"{part.numerator}/{part.denominator}"
    for said in (f"{number} {text}", f"{number}-{text}", f"{number} and {text}") if number else (text,):
        assert read(f"{said} inch socket") == (number + float(part), "in")
