"""The room's tables: every cell of a good row is kept, and a bad one is refused by its table and row; how words sound by the shipped spellings."""

from __future__ import annotations

import pytest

from gudgeon.domain import BadTable
from gudgeon.units import UnitWords
from gudgeon.units.rows import SoundCode, SoundRow, UnitRow, read_column, read_sound_codes, read_sound_rows, read_unit_rows
from gudgeon.units.sounds import Sounds, SoundTarget, distance

WORDS, SOUNDS, CODES = "unit,family,form,care,why", "unit,family,spoken,limit,loose,why", "spelling,sound,where,why"


def test_every_cell_of_a_good_row_is_kept() -> None:
    assert read_unit_rows([WORDS, "N*m,torque,nm,size,short"]) == [UnitRow("N*m", "torque", "nm", "size", "short", 2)]
    assert read_sound_rows([SOUNDS, "N*m,torque,newton metres,0.25,loose,fast", "N*cm,torque,newton centimetres,0.5,,"]) == [
        SoundRow("N*m", "torque", "newton metres", 0.25, True, 2),
        SoundRow("N*cm", "torque", "newton centimetres", 0.5, False, 3),
    ]
    assert read_sound_codes([CODES, "kn,n,start,silent", "kn,kn,any,"]) == [SoundCode("kn", "n", "start"), SoundCode("kn", "kn", "any")]
    assert read_column(["word", "one", "", "two"], "word") == ["one", "two"]


@pytest.mark.parametrize(
    ("read", "table", "head", "row", "reason"),
    [
        (read_unit_rows, "unit_words", WORDS, "furlong,length,furlong,,", "unit 'furlong' is not known"),
        (read_unit_rows, "unit_words", WORDS, "N*m,length,nm,,", "family 'length' does not fit unit 'N*m'"),
        (read_unit_rows, "unit_words", WORDS, "N*m,torque,nm,great,", "care 'great' is not known"),
        (read_unit_rows, "unit_words", WORDS, "N*m,torque,Nm,,", "form 'Nm' must be lower case"),
        (read_unit_rows, "unit_words", WORDS, "N*m,torque,n  m,,", "form 'n  m' must be lower case words parted by single spaces"),
        (read_unit_rows, "unit_words", WORDS, "N*m,torque,,,", "form '' must be"),
        (read_unit_rows, "unit_words", WORDS, "N*m,torque,first,,", "form 'first' stands already in row 2"),
        (read_unit_rows, "unit_words", WORDS, "N*m,torque,nm,", "has 4 cells, not 5"),
        (read_sound_rows, "unit_sounds", SOUNDS, "furlong,length,furlong,0.2,,", "unit 'furlong' is not known"),
        (read_sound_rows, "unit_sounds", SOUNDS, "N*m,torque,newton,far,,", "limit 'far' is no number"),
        (read_sound_rows, "unit_sounds", SOUNDS, "N*m,torque,newton,0,,", "a limit lies between 0 and 0.5"),
        (read_sound_rows, "unit_sounds", SOUNDS, "N*m,torque,newton,0.51,,", "a limit lies between 0 and 0.5"),
        (read_sound_rows, "unit_sounds", SOUNDS, "N*m,torque,,0.2,,", "the spoken form is not empty"),
        (read_sound_codes, "sound_codes", CODES, "kn,n,middle,", "where 'middle' is not known"),
        (read_sound_codes, "sound_codes", CODES, ",n,any,", "spelling '' is empty or stands twice"),
        (read_sound_codes, "sound_codes", CODES, "ph,f,any,", "spelling 'ph' is empty or stands twice"),
    ],
)
def test_a_bad_row_is_refused_by_table_and_row(read, table: str, head: str, row: str, reason: str) -> None:
    good = {"unit_words": "N*m,torque,first,,", "unit_sounds": "N*m,torque,newton metre,0.2,,", "sound_codes": "ph,f,any,"}[table]
    with pytest.raises(BadTable) as caught:
        read([head, good, row])
    assert caught.value.happened.startswith(f"Table {table}, row 3: ") and reason in caught.value.happened


@pytest.mark.parametrize(("read", "table"), [(read_unit_rows, "unit_words"), (read_sound_rows, "unit_sounds"), (read_sound_codes, "sound_codes")])
@pytest.mark.parametrize("lines", [[], ["something,else"]])
def test_another_header_is_refused(read, table: str, lines: list[str]) -> None:
    with pytest.raises(BadTable, match=f"The header of table {table} is not "):
        read(lines)


@pytest.mark.parametrize(
    ("word", "like"), [("knot", "not"), ("write", "rite"), ("though", "tho"), ("phone", "fone"), ("newtons", "nootons"), ("metre", "meter")]
)
def test_words_that_sound_alike(word: str, like: str, words: UnitWords) -> None:
    """Spellings at the start, at the end and of whole words are told apart: "knot" loses its k, "bank note" would not."""
    assert words.sounds.sound_of(word) == words.sounds.sound_of(like)


def test_a_spelling_counts_where_the_table_says() -> None:
    sounds = Sounds([SoundCode("kn", "n", "start"), SoundCode("e", "", "end"), SoundCode("two", "tu", "whole"), SoundCode("ck", "k", "any")], [])
    assert [sounds.sound_of(word) for word in ("knee", "banknote", "two", "twofold", "back", "backed")] == [
        "ne",
        "banknot",
        "tu",
        "twofold",
        "bak",
        "baked",
    ]
    assert sounds.sound_of_all(("knack", "knack")) == "naknak"


@pytest.mark.parametrize(
    ("one", "other", "nearer"),
    [
        (("muters", "meters"), ("mutdrs", "meters"), True),  # a vowel for a vowel is nearer than a consonant for one
        (("meterz", "meters"), ("meterk", "meters"), True),  # s and z are nearly one
        (("metres", "meters"), ("metres", "metres"), False),
        (("meters", ""), ("meters", "meters"), False),
    ],
)
def test_what_is_nearer(one: tuple[str, str], other: tuple[str, str], nearer: bool) -> None:
    assert (distance(*one) < distance(*other)) == nearer


def test_a_distance_beyond_the_limit_is_not_finished() -> None:
    assert distance("kkkkkkkk", "nutn", limit=0.2) == float("inf")
    assert distance("nutn", "nutn", limit=0.2) == 0.0
    assert 0.0 < distance("nuton", "nutn") < 1.0


@pytest.mark.parametrize(
    ("said", "unit", "length"),
    [
        ("newton meteors", "N*m", 2),
        ("new ton metres", "N*m", 3),
        ("newton matters", "N*m", 2),
        ("the newton metres", None, 0),
        ("cheese and onion", None, 0),
    ],
)
def test_a_unit_found_by_its_sound(said: str, unit: str | None, length: int, words: UnitWords) -> None:
    found = words.sounds.find(said.split(), 0)
    assert (found[0].unit, found[1]) == (unit, length) if found and unit else found is None
    assert found is None or isinstance(found[0], SoundTarget)
