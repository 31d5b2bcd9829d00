from importlib import resources

import pytest

from gudgeon.domain import BadTable, SizeLimit, SpecRow, SpecSheet
from gudgeon.speech import likely, read_phrases, sheet_phrases

TABLE = resources.files("gudgeon.speech") / "tables" / "phrases.csv"


def test_the_built_in_list():
    phrases = read_phrases(TABLE.read_text(encoding="utf-8").splitlines())
    assert len(phrases) > 300
    assert len(phrases) == len(set(phrases))
    assert {"newton metres", "newton meters", "foot pounds", "inch pounds", "torque wrench", "drain plug"} <= set(phrases)
    assert not [p for p in phrases if p != p.strip()]


def test_no_phrase_brings_a_value_with_it():
    """A phrase with a figure could put that figure into a note; thread names such as M8 are the only figures allowed."""
    phrases = read_phrases(TABLE.read_text(encoding="utf-8").splitlines())
    assert all(word[0] == "M" for phrase in phrases for word in phrase.split() if any(c.isdigit() for c in word))


def test_empty_rows_are_left_out_and_a_wrong_table_is_refused():
    assert read_phrases(["phrase,kind", "drain plug,part", " ,part"]) == ["drain plug"]
    with pytest.raises(BadTable, match="phrase"):
        read_phrases(["word", "x"])


def test_names_of_a_sheet_become_phrases_and_its_values_do_not():
    sheet = SpecSheet(
        rows=(SpecRow(part="pump housing", place="left", fastener="bolt", thread="M8x1.25", torque=22.0, unit="N*m", tool="13 mm socket", line=2),),
        sizes=(SizeLimit(part="valve", quantity="clearance", unit="mm", low=0.2, high=0.3, line=3),),
    )
    phrases = sheet_phrases(sheet)
    assert {"pump housing", "left pump housing", "pump housing bolt", "pump housing bolts", "M8", "clearance"} <= set(phrases)
    assert not [p for p in phrases if any(c.isdigit() for c in p) and p != "M8"]


def test_likely_names():
    assert likely(["track  rod", "track rod", "tr", "x" * 41, "90 degrees", "M10", "gears"]) == [
        "track rod", "track rods", "M10", "gears"
    ]  # fmt: skip
    assert sheet_phrases(SpecSheet()) == []
