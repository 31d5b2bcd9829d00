"""Unit words: every spelling, what needs care, what is mended by its sound and what must not be."""

from __future__ import annotations

import pytest

from gudgeon.cli.wiring import tables
from gudgeon.domain import BadInput, BadTable
from gudgeon.units import UnitWords

FORMS = [line.split(",") for line in tables("units")["unit_words"][1:]]


def found(text: str, words: UnitWords, *, figure: str = "12") -> tuple[str, int] | None:
    hit = words.match([figure, *text.split()], 1)
    return (hit.unit, hit.length) if hit else None


def test_every_form_is_read_whole(words: UnitWords) -> None:
    rows = [row for row in FORMS if row[3] not in ("size", "last")]
    assert [row for row in rows if found(row[2], words) != (row[0], len(row[2].split()))] == []


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("ft - lb", ("lbf*ft", 3)),
        ("n · m", ("N*m", 3)),
        ("ft . lbs", ("lbf*ft", 3)),
        ("lb in", ("lbf*in", 2)),
        ("lb in the", ("lb", 1)),
        ("in long", ("in", 1)),
        ("in the", None),
        ("in", None),
        ("um", ("um", 1)),
        ("um bolts", None),
        ("newton centimetres", ("N*cm", 2)),
        ("kilometres", None),
        ("knm", None),
        ("bolts", None),
    ],
)
def test_care(text: str, expected: tuple[str, int] | None, words: UnitWords) -> None:
    assert found(text, words) == expected


def test_single_letters_need_a_written_figure(words: UnitWords) -> None:
    assert found("c", words) == ("degC", 1)
    assert found("c", words, figure="twelve") is None


def test_mil_is_what_the_owner_says() -> None:
    assert found("mil", UnitWords.from_tables(tables("units"))) == ("mm", 1)
    assert found("mil", UnitWords.from_tables(tables("units"), mil="thou")) == ("thou", 1)
    with pytest.raises(BadInput):
        UnitWords.from_tables(tables("units"), mil="inch")


@pytest.mark.parametrize("text", ["pounds", "lbs", "kilos", "kg", "newtons"])
def test_a_weight_is_no_torque_unit(text: str, words: UnitWords) -> None:
    hit = words.match(["twelve", text], 1)
    assert hit and hit.ambiguous and hit.reason and hit.family != "torque"


@pytest.mark.parametrize(
    ("text", "unit"),
    [
        *((f"newton {heard}", "N*m") for heard in ("members", "matters", "mattress", "matrices", "emptors", "developers", "demanders")),
        ("new tonne metres", "N*m"),
        ("new ton meters", "N*m"),
        ("mutant metres", "N*m"),
        ("foot pounce", "lbf*ft"),
        ("foot bounds", "lbf*ft"),
        ("put pounds", "lbf*ft"),
        ("inch pence", "lbf*in"),
        ("inch pounce", "lbf*in"),
        ("killer gram metres", "kgf*m"),
        ("though", "thou"),
    ],
)
def test_misheard_units_are_mended_by_sound(text: str, unit: str, words: UnitWords) -> None:
    hit = words.sounds_like(["twelve", *text.split(), "and", "then"], 1)
    assert hit and (hit.unit, hit.mended, hit.length) == (unit, text, len(text.split()))


@pytest.mark.parametrize(
    "text",
    [
        *("members of the club", "new members", "new metres", "good points", "food parcels", "foot fence", "inch pins", "inch pipes", "inch pans"),
        *("bolts", "of the six", "no wait", "metres", "men", "the", "they", "then", "footballs", "foot planks", "matters", "newton because"),
        *(
            "",
            "nuts and bolts",
            "mattresses",
            "points",
            "times",
            "inch bolts",
            "new tractors",
            "neighbours",
            "foot path",
            "minutes",
            "meters of pipe",
        ),
    ],
)
def test_ordinary_talk_is_not_mended(text: str, words: UnitWords) -> None:
    assert words.sounds_like(["twelve", *text.split()], 1) is None


@pytest.mark.parametrize(
    ("table", "row"),
    [
        ("unit_words", "furlong,length,furlong,,"),
        ("unit_words", "mm,torque,milly,,"),
        ("unit_words", "mm,length,mm,,"),
        ("unit_words", "mm,length,MilliMetre,,"),
        ("unit_words", "mm,length,,,"),
        ("unit_words", "mm,length,milly,never,"),
        ("unit_words", "mm,length"),
        ("unit_sounds", "N*m,torque,newton metres,far,,"),
        ("unit_sounds", "N*m,torque,newton metres,0.9,,"),
        ("sound_codes", "ch,C,any,"),
        ("sound_codes", "zz,z,middle,"),
    ],
)
def test_a_wrong_row_is_refused_with_its_number(table: str, row: str) -> None:
    lines = {name: list(text) for name, text in tables("units").items()}
    lines[table].append(row)
    with pytest.raises(BadTable, match=f"row {len(lines[table])}"):
        UnitWords.from_tables(lines)


def test_a_wrong_header_is_refused() -> None:
    lines = dict(tables("units")) | {"size_words": ["words", "long"]}
    with pytest.raises(BadTable, match="header"):
        UnitWords.from_tables(lines)
