"""Figures, threads and units as people say and write them: the table of cases, and what tokens carry besides."""

from __future__ import annotations

import csv
from itertools import pairwise
from pathlib import Path

import pytest

from gudgeon.notes import Token, grade_at, quantity_at, read_tokens
from gudgeon.units import UnitWords

TABLES = Path(__file__).resolve().parent.parent / "tables"
with (TABLES / "figures.csv").open(encoding="utf-8", newline="") as lines:
    CASES = [(row["text"], row["reads"]) for row in csv.DictReader(lines)]


def _part(token: Token) -> str:
    """One token as the table writes it; words and signs are left out."""
    if token.kind in ("word", "punct"):
        return ""
    if token.thread:
        return token.thread.name.replace(" ", "_") + (f"_L{token.thread.length_mm:g}" if token.thread.length_mm else "")
    if token.unit:
        return f"{'~' if token.unit.mended else ''}{token.unit.unit}"
    if token.figure and token.kind == "star":
        return f"T{token.figure.value:g}"
    if token.figure:
        own = token.figure.unit.unit if token.figure.unit else ""
        form = {"ordinal": "th", "plural": "s"}.get(token.figure.form, "")
        return f"{'?' if token.figure.unsure else ''}{token.figure.value:.10g}{form}{own}"
    return token.norm if token.kind == "grade" else token.kind


def short(text: str, words: UnitWords) -> str:
    """18, ?1.252 (unsure), N*m, ~N*m (mended), M8x1.25_L40, 2th (ordinal), 10s (plural), T30, clock, 1.25in (the unit inside)."""
    return " ".join(part for token in read_tokens(text, words) if (part := _part(token)))


def figure(text: str, words: UnitWords) -> Token:
    return next(token for token in read_tokens(text, words) if token.figure)


def splits(text: str, words: UnitWords) -> list[list[float]]:
    found = figure(text, words).figure
    assert found
    return [[piece.value for piece in split] for split in found.splits]


@pytest.mark.parametrize(("text", "reads"), CASES, ids=[text for text, _ in CASES])
def test_case(text: str, reads: str, words: UnitWords) -> None:
    assert short(text, words) == reads


def test_every_token_points_at_its_source(words: UnitWords) -> None:
    for text, _ in CASES:
        tokens = read_tokens(text, words)
        assert all(text[t.start : t.end] == t.text for t in tokens)
        assert all(a.end <= b.start for a, b in pairwise(tokens))


def test_a_capital_changes_nothing_but_the_text(words: UnitWords) -> None:
    for text, _ in CASES:
        assert short(text[0].upper() + text[1:], words) == short(text, words)


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("two forty six", [[2, 46]]),
        ("three ninety", [[3, 90]]),
        ("one three", [[1, 3]]),
        ("one hundred", [[1, 100]]),
        ("a hundred and two", [[100, 2]]),
        ("twelve and a quarter", [[12, 0.25]]),
        ("three quarter", [[3, 0.25]]),
        ("twelve fifty", [[12, 50]]),
        ("2 3/8", [[2, 0.375]]),
        ("two forty point five", [[2, 40.5]]),
        ("forty six", []),
        ("seventeen", []),
    ],
)
def test_what_can_be_two_figures_says_so(text: str, expected: list[list[float]], words: UnitWords) -> None:
    assert splits(text, words) == expected


def test_pieces_of_a_split_point_at_their_words(words: UnitWords) -> None:
    text = "pass two forty six newton metres"
    found = figure(text, words).figure
    assert found
    assert [text[piece.start : piece.end] for piece in found.splits[0]] == ["two", "forty six"]


def test_one_twenty_five_may_be_a_decimal(words: UnitWords) -> None:
    found = figure("one twenty five", words).figure
    assert found and (found.value, found.others) == (125, (1.25,))


@pytest.mark.parametrize(
    ("text", "value", "low", "high", "unit"),
    [
        ("eight to ten newton metres", 9, 8, 10, "N*m"),
        ("8-10 Nm", 9, 8, 10, "N*m"),
        ("8 – 10 Nm", 9, 8, 10, "N*m"),
        ("30 Nm to 35 Nm", 32.5, 30, 35, "N*m"),
        ("between twenty and thirty foot pounds", 25, 20, 30, "lbf*ft"),
        ("half to three quarters of a turn", 0.625, 0.5, 0.75, "turn"),
        ("18 Nm", 18, None, None, "N*m"),
        ("half a turn", 0.5, None, None, "turn"),
        ("three quarters of an inch", 0.75, None, None, "in"),
        ("an inch and a quarter", 1.25, None, None, "in"),
        ("twelve to one", 12, None, None, None),
        ("thirty pounds", 30, None, None, "lb"),
        ("30 Nm to 35 ft-lb", 30, None, None, "N*m"),
    ],
)
def test_quantity(text: str, value: float, low: float | None, high: float | None, unit: str | None, words: UnitWords) -> None:
    found = quantity_at(read_tokens(text, words), 0)
    assert found and (found.value, found.low, found.high, found.unit) == (value, low, high, unit)
    assert found.start_char == 0


def test_no_quantity_where_no_figure_starts(words: UnitWords) -> None:
    tokens = read_tokens("the bolts at between them", words)
    assert [quantity_at(tokens, at) for at in range(7)] == [None] * 7


def test_ambiguous_units_say_why(words: UnitWords) -> None:
    for text in ("thirty pounds", "thirty kilos", "thirty newtons"):
        found = quantity_at(read_tokens(text, words), 0)
        assert found and found.hit and found.hit.ambiguous and found.hit.reason


@pytest.mark.parametrize(
    ("text", "grade"),
    [
        ("ten nine", "10.9"),
        ("ten point nine", "10.9"),
        ("10.9", "10.9"),
        ("eight point eight", "8.8"),
        ("eight eight", "8.8"),
        ("8.8", "8.8"),
        ("twelve nine", "12.9"),
        ("A2-70", "A2-70"),
        ("a two seventy", "A2-70"),
        ("a four eighty", "A4-80"),
        ("five", "5"),
        ("8", "8"),
        ("7.3", None),
        ("thirty", None),
        ("a bolt", None),
        ("bolt", None),
    ],
)
def test_grade(text: str, grade: str | None, words: UnitWords) -> None:
    tokens = read_tokens(text, words)
    assert grade_at(tokens, 0) == (None if grade is None else (grade, len(tokens)))


def test_grade_past_the_end_is_none(words: UnitWords) -> None:
    assert grade_at(read_tokens("", words), 0) is None


@pytest.mark.parametrize(
    ("text", "diameter", "pitch", "per_inch"),
    [
        ("M8x1.25", 8, 1.25, None),
        ("m eight", 8, None, None),
        ("5/16-18", 7.9375, None, 18),
        ("half inch whitworth", 12.7, None, 12),
        ("quarter unf", 6.35, None, 28),
        ("1/4 BSP", None, None, None),
    ],
)
def test_thread_sizes(text: str, diameter: float | None, pitch: float | None, per_inch: float | None, words: UnitWords) -> None:
    (token,) = read_tokens(text, words)
    assert token.thread
    assert (token.thread.diameter_mm, token.thread.pitch_mm, token.thread.per_inch) == (diameter, pitch, per_inch)


def test_words_are_cut_the_same_whether_hyphened_or_not(words: UnitWords) -> None:
    assert [t.norm for t in read_tokens("anti-seize the left-hand impeller’s didn't", words)] == [
        *("anti", "seize", "the", "left", "hand", "impeller", "'s", "didn't"),
    ]
    assert [t.joined for t in read_tokens("anti-seize on", words)] == [False, True, False]
