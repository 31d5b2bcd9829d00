"""The tables as a spreadsheet reads them: another reader than Python's csv (numpy's, written in C), no text that is run or taken for a day."""

import csv
import io
import re
from dataclasses import replace
from datetime import UTC, datetime

import numpy as np
import pytest

from gudgeon.domain import Action, Note, Part, SpecRow, SpecSheet
from gudgeon.record import StoredNote
from gudgeon.reports import SessionPart, as_csv, items_csv, steps_csv, steps_of
from gudgeon.trade import read_thread

FIGURES = {"session", "entry", "count", "length (mm)", "value as said", "torque (N·m)", "angle (°)", "stage", "at (s)", "confidence (0 to 1)"}


@pytest.fixture
def part(view):
    return SessionPart(session=view.session, notes=view.notes, entries=view.entries)


def by_numpy(text):
    """Rows as numpy's reader cuts them, with its own rules for quotes."""
    return np.loadtxt(io.StringIO(text), delimiter=",", quotechar='"', dtype=str, comments=None)


def python_rows(text):
    return list(csv.DictReader(io.StringIO(text)))


def test_another_reader_cuts_the_same_cells(part):
    """Commas, quotes, line ends and signs of every kind in the words."""
    said = 'six "quoted", then\na comma; µ, ½ and “Ω”; # no remark'
    notes = [replace(note, note=replace(note.note, text=said)) for note in part.notes]
    text = as_csv([replace(part, notes=notes)], zone=UTC)
    table, rows = by_numpy(text), python_rows(text)
    assert table.shape == (1 + len(rows), len(rows[0])) and len(rows) == 6
    for cells, row in zip(table[1:], rows, strict=True):
        assert list(cells) == list(row.values())
    assert set(table[1:, list(table[0]).index("words")]) == {" ".join(said.split())}


def test_figures_are_figures_and_the_rest_is_text(part):
    table = by_numpy(as_csv([part], zone=UTC))
    for heading, *cells in table.T:
        filled = [cell for cell in cells if cell]
        if heading in FIGURES:
            assert all(np.isfinite(np.array(filled, dtype=float))), heading
        else:
            assert all(not re.fullmatch(r"[\d.]+", cell) for cell in filled if heading != "grade"), heading


@pytest.mark.parametrize(
    ("thread", "cell"),
    [
        ("M8x1.25", "M8x1.25"),
        ("M8", "M8"),
        ("1/4", '1/4"'),
        ("1/2-20", '1/2"-20'),
        ("1-8", '1"-8'),
        ("1/4 BSP", "1/4 BSP"),
        ("#10-32", "#10-32"),
        ("5/16 UNF", "5/16 UNF"),
    ],
)
def test_no_thread_is_taken_for_a_day(part, thread, cell):
    """LibreOffice 7.4 made the fourth of January of 1/4; with its inch mark it stays, and gudgeon reads it as the same thread."""
    first = part.entries[0]
    rows = python_rows(as_csv([replace(part, entries=(replace(first, entry=replace(first.entry, thread=thread)),))]))
    assert rows[0]["thread"] == cell
    assert read_thread(cell) == read_thread(thread)


@pytest.mark.parametrize("said", ["1/4", "5-7", "2026-11-26", "12/25/26"])
def test_no_word_is_taken_for_a_day(part, said):
    notes = [replace(note, note=replace(note.note, text=said)) for note in part.notes]
    assert python_rows(as_csv([replace(part, notes=notes)]))[0]["words"] == "'" + said


@pytest.mark.parametrize("said", ["half a turn", "5-7-9-11", "M8", "12", "1/4 in"])
def test_other_words_stay_as_they_are(part, said):
    notes = [replace(note, note=replace(note.note, text=said)) for note in part.notes]
    assert python_rows(as_csv([replace(part, notes=notes)]))[0]["words"] == said


@pytest.mark.parametrize("said", ["=1+1", "@cmd", "+49", "-2", "＝1", "\t=1"])
def test_no_open_item_is_run_by_a_spreadsheet(view, said):
    asked = replace(view.items[0], item=replace(view.items[0].item, text=said, part=said, ended_by=said), job=said)
    row = python_rows(items_csv([asked]))[0]
    assert {row[name] for name in ("text", "part", "job", "ended_by")} == {"'" + said.strip()}


def test_open_items(view):
    rows = python_rows(items_csv(view.items, zone=UTC))
    assert [(row["id"], row["kind"], row["count"], row["state"]) for row in rows][1] == ("8", "buy", "4", "open")
    assert {row["raised"] for row in rows} == {"2026-05-04 07:30+00:00"} and rows[3]["ended_by"] == "bled on Sunday"
    assert {row["ended"] for row in rows} == {""}


def test_steps_of_putting_together(view):
    def off(number, part, text):
        facts = (Action(action="remove", status="done", span=(0, 1)), Part(name=part, span=(0, 1)))
        return StoredNote(id=number, session=3, position=number, note=Note(text=text, start=60.0 * number), facts=facts)

    sheet = SpecSheet(rows=(SpecRow(part="fan", line=2, fastener="bolt", count=4, torque=9.0, unit="N*m"),))
    notes = (off(1, "hood", "took the hood off"), off(2, "fan", "=then the fan"))
    session = replace(view.session, started=datetime(2026, 5, 4, 7, 30, tzinfo=UTC))
    steps = steps_of([SessionPart(session=session, notes=notes, entries=())], sheet=sheet, zone=UTC)
    assert python_rows(steps_csv(steps)) == [
        {
            "step": "1",
            "what": "fan",
            "words": "'=then the fan",
            "the sheet asks for": "4 bolts 9 N·m",
            "put back, as said in": "",
            "session": "3",
            "said in": "session 3, 4 May 2026 at 2:00",
        },
        {
            "step": "2",
            "what": "hood",
            "words": "took the hood off",
            "the sheet asks for": "",
            "put back, as said in": "",
            "session": "3",
            "said in": "session 3, 4 May 2026 at 1:00",
        },
    ]
