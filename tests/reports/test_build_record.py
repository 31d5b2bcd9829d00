"""The build record: every value of the job with its verdict and its words, as Markdown that nothing said can break, and as CSV."""

import csv
import io
from dataclasses import replace

import pytest

from gudgeon.reports import SessionPart, build_csv, build_markdown


@pytest.fixture
def parts(view):
    return [SessionPart(session=view.session, notes=view.notes, entries=view.entries)]


def test_markdown(parts, view):
    text = build_markdown("orchard tractor", parts, view.items)
    for words in (
        "# Build record: orchard tractor",
        "- Session 3: ",
        "## gearbox lid",
        "| 8 bolts M8x1.25, grade 8.8 | 18 N·m | within | 12 mm socket, thread locker, medium strength | 3 | eight gearbox lid bolts",
        "| nut | pass 1: 90 lb·ft (122 N·m) + 90° | over: 122 N·m is above",
        "|  | pass 2: 40 (no unit said), a guess | unit not said: ",
        "end float 0.12 mm",
        "- copper washer (4)",
        "- bleed the brakes — answered: bled on Sunday",
        "The maker's manual decides",
    ):
        assert words in text, words
    assert "never shown" not in text
    assert text.index("## gearbox lid") < text.index("## main shaft") < text.index("## wheel hub, left")


def test_every_table_row_has_six_cells(parts, view):
    rows = [line for line in build_markdown("x", parts, view.items).splitlines() if line.startswith("|")]
    assert rows and all(line.replace("\\|", "").count("|") == 7 for line in rows)


@pytest.mark.parametrize("said", ["a | b", "<script>alert(1)</script>", "# heading", "[x](http://example.org)", "`code`", "*stars*", "two\nlines"])
def test_what_was_said_stays_text(parts, view, said):
    notes = [replace(note, note=replace(note.note, text=said)) for note in view.notes]
    text = build_markdown(said, [replace(parts[0], notes=notes)], ())
    rows = [line for line in text.splitlines() if line.startswith("|")]
    assert all(line.replace("\\|", "").count("|") == 7 for line in rows)
    assert "<script" not in text.replace("\\<", "") and "](" not in text.replace("\\[", "[").replace("[x](", "")
    assert not [line for line in text.splitlines() if line.startswith("# ") and not line.startswith("# Build record")]


def test_csv(parts):
    rows = list(csv.DictReader(io.StringIO(build_csv(parts))))
    lid = rows[0]
    assert (lid["part"], lid["what"], lid["value"], lid["unit"], lid["nm"], lid["verdict"]) == (
        "gearbox lid",
        "torque",
        "18.0",
        "N*m",
        "18.0",
        "within",
    )
    assert [row["what"] for row in rows] == ["torque", "torque", "torque", "turn", "end float", "torque"]
    assert rows[2]["guess"] == "yes" and rows[2]["nm"] == ""


@pytest.mark.parametrize("said", ["=1+1", "@cmd", "+49", "-2"])
def test_no_cell_is_run_by_a_spreadsheet(parts, view, said):
    notes = [replace(note, note=replace(note.note, text=said)) for note in view.notes]
    rows = list(csv.DictReader(io.StringIO(build_csv([replace(parts[0], notes=notes)]))))
    assert rows[0]["words"] == "'" + said
