"""A document in every form: the same facts in each, what was said stays text, tables are whole, PDF pages have heads and numbers."""

import csv
import io
import re
import subprocess
from dataclasses import replace
from datetime import UTC, datetime, timedelta, timezone
from html.parser import HTMLParser

import pytest
from markdown_it import MarkdownIt

from gudgeon.reports import Attachment, BuildView, SessionPart, as_csv, as_html, as_markdown, as_pdf, build_record
from gudgeon.reports.document import Band, Block, Document, Item, Row, Section, Table

NASTY = [
    "a | b",
    "<script>alert(1)</script>",
    "# heading",
    "1. list",
    "- list",
    "[x](http://example.org)",
    "![x](http://example.org/y.png)",
    "`code` *stars* __under__ ~~gone~~",
    "&lt;b&gt; &amp;",
    '#eval("1+1") #include "/etc/passwd" $x^2$ @ref \\u{41} /* */ //',
    "{{ 7 * 7 }} {% raw %}",
    "=1+1",
    "two\nlines",
    "“quotes” ' \" \\",
    "ÄÖÜ ß é ŵ Ω µ ½ Ж",
    "x" * 300,
]
PNG = bytes.fromhex(
    "89504e470d0a1a0a0000000d4948445200000001000000010802000000907753de0000000c4944415408d763f8cfc000000301010018dd8db00000000049454e44ae426082"
)


@pytest.fixture
def part(view):
    return SessionPart(session=view.session, notes=view.notes, entries=view.entries)


@pytest.fixture
def document(part, view):
    return build_record(
        BuildView(job="orchard tractor", parts=[part], items=view.items, made=datetime(2026, 6, 9, tzinfo=UTC), maker="gudgeon 9", zone=UTC)
    )


def nasty(text):
    """A document in which every text is one that could be taken for markup."""
    block = Block(lead=text, rows=(Row((text, text), "bad"),), under=(text,))
    table = Table(("A", "Judged", "C"), (0.3, 0.3, 0.4), (Band(title=text, lines=(text,), blocks=(block,)),))
    sections = (Section(title="S", text=(text,), table=table), Section(title="L", items=(Item(text, text),)))
    return Document(title="T", subject=text, made="2026-06-09", maker="gudgeon 9", facts=((text, text),), sections=sections)


class Seen(HTMLParser):
    """The text, the tags and the addresses of a page."""

    def __init__(self, page):
        super().__init__()
        self.text, self.tags, self.links = "", [], []
        self.feed(page)

    def handle_starttag(self, tag, attrs):
        self.tags.append(tag)
        self.links += [value for name, value in attrs if name in ("href", "src")]

    def handle_data(self, data):
        self.text += data + " "


def flat(text):
    return " ".join(text.split())


def pdf_text(data, tmp_path, *options):
    (tmp_path / "x.pdf").write_bytes(data)
    return subprocess.run(["pdftotext", *options, tmp_path / "x.pdf", "-"], check=True, capture_output=True).stdout.decode()


@pytest.mark.parametrize("text", NASTY)
def test_markdown_keeps_every_text(text):
    """Read back by a Markdown reader from outside: the texts are there, and no tag but those of the frame."""
    page = MarkdownIt("commonmark").enable("table").render(as_markdown(nasty(text)))
    seen = Seen(page)
    assert flat(seen.text).count(flat(text)) >= 9
    assert set(seen.tags) <= {"h1", "h2", "h3", "ul", "li", "p", "table", "thead", "tbody", "tr", "th", "td"} and not seen.links
    assert seen.tags.count("td") == 3 and seen.tags.count("h2") == 2


@pytest.mark.parametrize("text", NASTY)
def test_html_keeps_every_text(text):
    seen = Seen(as_html(nasty(text)))
    assert flat(seen.text).count(flat(text)) >= 9
    assert not {"script", "b1", "img", "a"} & set(seen.tags) and not seen.links


@pytest.mark.needs("pdftotext")
@pytest.mark.parametrize("text", NASTY)
def test_pdf_keeps_every_text(text, tmp_path):
    told = re.sub(r"\s|\u200b", "", pdf_text(as_pdf(nasty(text)), tmp_path, "-raw"))
    assert told.count(re.sub(r"\s", "", text)) >= 9


def test_the_same_facts_in_every_form(document, tmp_path):
    """Each word of the Markdown is in the page."""
    page = flat(Seen(as_html(document)).text)
    for text in (
        "gearbox lid",
        "18 ± 4 %",
        "heard, confidence 0.90",
        "45° further",
        "left wheel hub stud stripped",
        "bled on Sunday",
        "copper washer (4)",
    ):
        assert text in page, text
        assert text in as_markdown(document), text


def test_markdown_tables_are_whole(document):
    rows = [line for line in as_markdown(document).splitlines() if line.startswith("|")]
    assert rows and {line.replace("\\|", "").count("|") for line in rows} <= {6, 5}


def test_html_is_one_file_without_scripts_and_fetches_nothing(part, view):
    picture, sound = Attachment("picture", "lid.png", 21, 1), Attachment("sound", "Sound at 0:40", 21)
    changed = replace(part, attached={21: (picture, sound)})
    made = build_record(BuildView(job="x", parts=[changed], items=view.items, made=datetime(2026, 6, 9, tzinfo=UTC), maker="gudgeon 9"))
    seen = Seen(as_html(made, {picture: PNG, sound: b"\xff\xf3"}))
    assert {"img", "audio"} <= set(seen.tags) and "script" not in seen.tags and "link" not in seen.tags
    assert {link.split(",")[0] for link in seen.links} == {"data:image/png;base64", "data:audio/mpeg;base64"}
    without = Seen(as_html(made))
    assert "picture: lid.png (not in this file)" in flat(without.text) and "Sound at" not in without.text


def test_a_block_is_one_body_that_is_not_torn(document):
    page = as_html(document)
    assert page.count("<tbody>") == sum(len(band.blocks) for section in document.sections if section.table for band in section.table.bands)
    assert "tbody, tr, li, figure { break-inside: avoid; }" in page and "display: table-header-group" in page


@pytest.mark.needs("pdftotext")
@pytest.mark.needs("pdfinfo")
def test_pdf_pages(tmp_path):
    """Forty entries over many pages: numbers and heads on each, no entry cut, and the title in the metadata."""
    blocks = tuple(
        Block(lead=f"begin{at:02}", rows=(Row(("9 N·m", "9", "within\nas it should", "Ada")),) * (1 + at % 4), under=("word " * 80, f"end{at:02}"))
        for at in range(40)
    )
    table = Table(("Lead", "Value as said", "In N·m", "Judged", "Said by"), (0.2, 0.2, 0.1, 0.3, 0.2), (Band(title="", blocks=blocks),))
    facts = (("Sessions", "1"),)
    made = Document(
        title="Build record",
        subject="orchard tractor",
        made="2026-06-09",
        maker="gudgeon 9",
        facts=facts,
        sections=(Section(title="J", table=table),),
    )
    pages = pdf_text(as_pdf(made), tmp_path, "-layout").split("\f")[:-1]
    assert len(pages) >= 4
    for at, page in enumerate(pages, start=1):
        assert f"{at} of {len(pages)}" in page
        assert "Value as said" in page
        begun, ended = re.findall(r"begin(\d\d)", page), re.findall(r"end(\d\d)", page)
        assert begun == ended, f"page {at} cuts an entry"
    told = subprocess.run(["pdfinfo", tmp_path / "x.pdf"], check=True, capture_output=True, text=True).stdout
    assert re.search(r"Title: +Build record: orchard tractor", told) and re.search(r"Tagged: +yes", told) and re.search(r"Page size: .*A4", told)


@pytest.mark.needs("pdftotext")
@pytest.mark.parametrize("where", ["under", "cell", "lead", "rows", "lines", "item", "remark", "fact", "text", "title"])
def test_what_is_taller_than_a_page_is_not_lost(where, tmp_path):
    """Two thousand words, or hundreds of rows, in any place: all of them are in the PDF."""
    said = " ".join(f"w{at:04}" for at in range(2000))

    def at(place, plain="x"):
        return said if where == place else plain

    rows = tuple(Row((f"w{n:04}", "9", "within\nok")) for n in range(200)) if where == "rows" else (Row((at("cell"), "9", "within")),)
    band = Band(title=at("title"), lines=(at("lines"),), blocks=(Block(lead=at("lead"), rows=rows, under=(at("under"),)),))
    table = Table(("Lead", "Value as said", "In N·m", "Judged"), (0.3, 0.3, 0.2, 0.2), (band,))
    sections = (Section(title="J", text=(at("text"),), table=table), Section(title="L", items=(Item(at("item"), at("remark")),)))
    made = replace(nasty("x"), facts=(("Fact", at("fact")),), sections=sections)
    found = set(re.findall(r"w\d{4}", pdf_text(as_pdf(made), tmp_path)))
    assert len(found) == (200 if where == "rows" else 2000)


@pytest.mark.needs("pdfimages")
def test_pdf_carries_pictures(tmp_path):
    picture = Attachment("picture", "lid.png", 21, 1)
    made = replace(nasty("x"), sections=(Section(title="L", items=(Item("here", attached=(picture, Attachment("picture", "gone.png", 22))),)),))
    (tmp_path / "p.pdf").write_bytes(as_pdf(made, {picture: PNG}))
    listed = subprocess.run(["pdfimages", "-list", tmp_path / "p.pdf"], check=True, capture_output=True, text=True).stdout
    assert len(listed.splitlines()) == 3
    assert "picture: gone.png (kept in the record)" in flat(pdf_text((tmp_path / "p.pdf").read_bytes(), tmp_path))


def test_pdf_is_the_same_each_time(document):
    assert as_pdf(document) == as_pdf(document)


def test_without_the_package_it_is_said_how_to_get_it(document, monkeypatch):
    import sys

    from gudgeon.domain import MissingThing

    monkeypatch.setitem(sys.modules, "typst", None)
    with pytest.raises(MissingThing, match=r"gudgeon\[pdf\]"):
        as_pdf(document)


def rows_of(parts):
    return list(csv.DictReader(io.StringIO(as_csv(parts, zone=timezone(timedelta(hours=2))))))


def test_csv(part):
    rows = rows_of([part])
    lid = rows[0]
    wanted = {"part": "gearbox lid", "what": "torque", "value as said": "18.0", "unit as said": "N·m", "torque (N·m)": "18.0", "verdict": "within"}
    assert {name: lid[name] for name in wanted} == wanted
    assert (lid["said by"], lid["at (s)"], lid["confidence (0 to 1)"]) == ("Ada", "0.0", "0.9")
    assert lid["session started (your time, and how far from UTC)"] == "2026-05-04 09:30:00+02:00"
    assert [row["what"] for row in rows] == ["torque", "torque", "torque", "turn", "end float", "torque"]
    assert rows[2]["guess"] == "yes" and rows[2]["torque (N·m)"] == "" and rows[2]["unit as said"] == ""
    assert rows[3]["angle (°)"] == "45.0"
    assert rows[1]["findings"] == "unit-mix-up"


def test_csv_says_what_a_hand_changed(part):
    first = part.entries[0]
    mended = replace(first, fixed=True, entry=replace(first.entry, torques=(replace(first.entry.torques[0], value=20.0),)))
    assert [row["changed by hand"] for row in rows_of([replace(part, entries=(first, mended))])] == ["", "yes"]


def test_every_figure_of_the_csv_has_its_unit_in_the_heading(part):
    text = as_csv([part]).splitlines()[0]
    for heading in ("length (mm)", "torque (N·m)", "angle (°)", "at (s)", "confidence (0 to 1)", "session started (your time, and how far from UTC)"):
        assert heading in text


@pytest.mark.parametrize("said", ["=1+1", "@cmd", "+49", "-2", "＝1", "＋1"])
def test_no_cell_is_run_by_a_spreadsheet(part, view, said):
    notes = [replace(note, note=replace(note.note, text=said)) for note in view.notes]
    lid = replace(part.entries[0], entry=replace(part.entries[0].entry, part=f"\t\r\n {said}"))
    rows = rows_of([replace(part, notes=notes, entries=(lid,))])
    assert rows[0]["words"] == rows[0]["part"] == "'" + said


def test_line_ends_do_not_break_a_row(part, view):
    notes = [replace(note, note=replace(note.note, text="one\r\ntwo\rthree\tfour")) for note in view.notes]
    assert {row["words"] for row in rows_of([replace(part, notes=notes)])} == {"one two three four"}
