"""What is said: units in full, threads as they are spoken, and a figure with a twin digit by digit as well."""

import pytest

from gudgeon.cli import wiring
from gudgeon.domain import BadTable
from gudgeon.reports import aloud, read_aloud

WORDS = read_aloud(wiring.tables("reports")["aloud"])


@pytest.mark.parametrize(
    ("shown", "said"),
    [
        ("Sump drain plug: 25 lb·ft, by the spec sheet.", "Sump drain plug: 25 pound feet, by the spec sheet."),
        ("Gearbox lid: 30 N·m.", "Gearbox lid: 30, three zero, newton metres."),
        ("Lid: 113 N·m", "Lid: 113, one one three, newton metres"),
        ("Lid: 24 N·m + 60°", "Lid: 24 newton metres plus 60 degrees"),
        ("M10x1.25 of grade 10.9", "M 10 by 1.25 of grade 10.9"),
        ("M8 bolts, 12 mm long", "M 8 bolts, 12 millimetres long"),
        ("“lid at 18” Read as: lid 18 N·m, within.", "lid at 18 Read as: lid 18, one eight, newton metres, within."),
        ("Nothing is open.", "Nothing is open."),
        ("24 N·m ± 5 %", "24 newton metres plus or minus 5 per cent"),
        ("comma gamma M mm", "comma gamma M millimetres"),
        ("", ""),
    ],
)
def test_as_it_is_said(shown, said):
    assert aloud(shown, WORDS) == said


def test_a_long_text_is_cut_at_a_sentence_and_says_so():
    said = aloud("One thing is left. " * 60, WORDS)
    assert len(said) < 450 and said.endswith("One thing is left. The rest is on the screen.")


def test_a_table_without_its_columns_is_refused():
    with pytest.raises(BadTable, match="written"):
        read_aloud(["a,b", "1,2"])
