"""Any text at all: no crash, no hang, every token at its place, and time that grows with the length alone."""

from __future__ import annotations

import time

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from gudgeon.cli.wiring import tables
from gudgeon.notes import grade_at, quantity_at, read_tokens
from gudgeon.notes.number_words import STARTS
from gudgeon.units import UnitWords

WORDS = UnitWords.from_tables(tables("units"))
PIECES = [
    *sorted(STARTS),
    *("and", "of", "m", "em", "t", "by", "x", "to", "half", "newton", "metres", "foot", "pounds", "inch", "in", "mil", "uh", "though", "o'clock"),
    *("M8", "M8x1.25", "5/16-18", "7/16", "1 1/2", "18Nm", "-4", ".5", "1,400", "1.2520", "80W-90", "£4", "1:30", "555-0142", "A2-70", "T30", "½"),
    *(
        '"',
        "°",
        "'",
        "’s",
        "-",
        "–",
        "/",
        "·",
        "*",
        ",",
        ".",
        "(",
        "\n",
        "\t",
        "\x00",
        "\u200b",
        "🔧",
        "ニュートン",
        "١٢",
        "²",
        "İ",
        "\ud800",
        "9" * 400,
    ),
]


def check(text: str) -> None:
    tokens = read_tokens(text, WORDS)
    end = 0
    for token in tokens:
        assert text[token.start : token.end] == token.text
        assert end <= token.start < token.end
        assert (token.figure is not None) == (token.kind in ("figure", "star"))
        assert (token.thread is not None) == (token.kind == "thread")
        assert (token.unit is not None) == (token.kind == "unit")
        assert token.norm
        end = token.end
    covered = "".join(text[t.start : t.end] for t in tokens)
    assert len(covered) <= len(text)
    for at in range(len(tokens)):
        quantity_at(tokens, at)
        grade_at(tokens, at)


@given(st.text())
@settings(max_examples=100, deadline=None)
def test_any_text(text: str) -> None:
    check(text)


@given(st.lists(st.sampled_from(PIECES), max_size=30), st.sampled_from([" ", "", "-", "\n"]))
@settings(max_examples=120, deadline=None)
def test_any_run_of_what_figures_are_made_of(pieces: list[str], between: str) -> None:
    check(between.join(pieces))


@given(st.text(alphabet='0123456789.,/-x×M "½°', max_size=60))
@settings(max_examples=100, deadline=None)
def test_any_run_of_digits_and_signs(text: str) -> None:
    check(text)


@given(st.text())
@settings(max_examples=100, deadline=None)
def test_nothing_but_spaces_and_hyphens_is_left_out(text: str) -> None:
    kept = "".join(t.text for t in read_tokens(text, WORDS))
    left_out = [c for c in text if not c.isspace() and c not in "-‐‑"]
    assert all(kept.count(c) >= left_out.count(c) for c in set(left_out))


LONG = [
    *("a", "(", "1", " ", "\n", "-", "'", '"', ".", "/", "½", "°", "\x00", "🔧", "_", "٣"),
    *(
        "a ",
        "1 ",
        "one ",
        "oh ",
        "ten ",
        "twenty ",
        "hundred ",
        "thousand ",
        "a hundred and ",
        "point ",
        "one point ",
        "half ",
        "and ",
        "minus ",
        "double ",
    ),
    *(
        "1/2 ",
        "1.",
        "1-",
        "1,000,",
        "m",
        "m ",
        "M8x",
        "m eight by ",
        "5/16-",
        "12 newton ",
        "12 foot ",
        "uh ",
        "12 uh ",
        "a'",
        "n · ",
        "12 n ·",
        "£1",
        "1:3",
    ),
    *("0", "+1 ", "t ", "A2-", "one thirty ", "second ", "a couple of ", "12 new ton meters ", "x1", "aaaa1", "\r", "one inch and a "),
]


@pytest.mark.parametrize("piece", LONG[::8], ids=repr)
def test_eight_thousand_of_anything(piece: str) -> None:
    taken = []
    for times in (2_000, 8_000):
        text = piece * times
        begun = time.process_time()
        tokens = read_tokens(text, WORDS)
        taken.append(time.process_time() - begun)
    assert taken[1] < 8 * taken[0] + 0.5  # four times the length: four times the time, not sixteen times
    assert all(text[t.start : t.end] == t.text for t in tokens[:100])


@pytest.mark.slow
@pytest.mark.parametrize("piece", LONG, ids=repr)
def test_time_is_linear_in_length(piece: str) -> None:
    def seconds(times: int) -> float:
        text = piece * times
        best = float("inf")
        for _ in range(2):
            begun = time.process_time()
            read_tokens(text, WORDS)
            best = min(best, time.process_time() - begun)
        return best

    assert seconds(6_000) < 3 * seconds(3_000) + 0.05


@pytest.mark.slow
def test_a_megabyte_on_one_line() -> None:
    text = "torqued the lid bolts to eighteen newton metres with a 12 mm socket " * 15_000
    begun = time.process_time()
    tokens = read_tokens(text, WORDS)
    assert time.process_time() - begun < 60
    assert sum(token.unit is not None for token in tokens) == 30_000


def test_a_line_end_parts_two_figures() -> None:
    texts = ("six hundred\nthousand", "twenty\nfive", "m\neight", "two\nand a half", "18\nNm", "five sixteenths\neighteen")
    assert [len(read_tokens(text, WORDS)) for text in texts] == [2, 2, 2, 3, 2, 2]


def test_numbers_of_four_hundred_digits_are_codes() -> None:
    for text in ("9" * 400, "9" * 400 + ".5", "0." + "1" * 400, "M" + "8" * 400, "9" * 400 + "/" + "9" * 400):
        assert all(token.figure is None or token.figure.value < 1e10 for token in read_tokens(text, WORDS))
