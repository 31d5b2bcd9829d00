from importlib import resources

import pytest

from gudgeon.domain import BadTable
from gudgeon.speech import read_phrases

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
