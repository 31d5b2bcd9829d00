"""The guides: every page stands in the index, no link leads nowhere, and every example is what happens."""

import csv
import re
import shlex
import sys
from fractions import Fraction
from pathlib import Path
from typing import get_args

import av
import numpy as np
import pytest

from gudgeon.cli.help_pages import commands
from gudgeon.domain import Fact

HERE = Path(__file__).parent
DOCS = HERE.parent / "docs"
for folder in (HERE, DOCS):
    sys.path.append(str(folder)) if str(folder) not in sys.path else None

import table_pages  # noqa: E402 - beside the pages

import examples  # noqa: E402 - beside this file

PAGES = sorted([*DOCS.rglob("*.md"), *(DOCS.parent / name for name in ("README.md", "DEVELOPERS.md", "SECURITY.md"))])
LINK = re.compile(r"\]\(([^)#\s]*)(?:#([^)\s]*))?\)")
LANGUAGES = {"console", "python", "csv", "sql", "text", "json", ""}
"""``console`` and ``sql`` run here, ``python`` in tests/cli/test_library.py, bare blocks of docs/facts.md in tests/facts; the others hold files."""
COMMANDS = dict(commands())
BY_HAND = ("listen", "serve")
"""Commands that wait for a person."""


def text_of(page: Path) -> str:
    return page.read_text(encoding="utf-8")


def named(page: Path) -> str:
    return str(page.relative_to(DOCS.parent))


def runs(page: Path) -> bool:
    return any(block.language == "console" and "not run" not in block.notes for block in examples.blocks(text_of(page)))


def slow(page: Path) -> bool:
    return any("slow" in block.notes for block in examples.blocks(text_of(page)))


def marked(page: Path):
    return pytest.param(page, id=named(page), marks=[pytest.mark.slow] if slow(page) else [])


def anchors(page: Path) -> set[str]:
    """The anchors of a page's headings, as the common Markdown renderers make them."""
    outside = re.sub(r"```.*?```", "", text_of(page), flags=re.DOTALL)
    headings = re.findall(r"^#+ (.+)$", outside, re.MULTILINE)
    return {re.sub(r"[^\w\- ]", "", heading.lower()).replace(" ", "-") for heading in headings}


def test_every_page_is_in_the_index() -> None:
    linked = {link for link, _ in LINK.findall(text_of(DOCS / "README.md"))}
    assert {page.name for page in DOCS.glob("*.md")} - {"README.md"} == {name for name in linked if "/" not in name}


@pytest.mark.parametrize("page", PAGES, ids=named)
def test_links_lead_somewhere(page: Path) -> None:
    for link, anchor in LINK.findall(text_of(page)):
        if link.startswith(("https://", "http://", "mailto:")):
            continue
        target = page.parent / link if link else page
        assert target.exists(), link
        assert not anchor or anchor in anchors(target), f"{link}#{anchor}"


@pytest.mark.parametrize("page", [marked(page) for page in PAGES if runs(page)])
def test_examples_print_what_the_page_says(page: Path, tmp_path: Path) -> None:
    for block, ran in examples.run_page(text_of(page), tmp_path):
        assert ran, block.body
        for example in ran:
            assert example.same, (
                f"$ {example.command}\nThe page says:\n{example.expected}\nIt prints:\n{example.printed}\n(`make docs` writes what is printed)"
            )


@pytest.mark.parametrize("page", PAGES, ids=named)
def test_every_block_is_of_a_kind_that_is_tested(page: Path) -> None:
    for block in examples.blocks(text_of(page)):
        assert block.language in LANGUAGES, block
        assert block.notes.get("not run", "a reason"), "a block that is not run says why"


@pytest.mark.parametrize("page", PAGES, ids=named)
def test_nothing_is_left_to_be_filled_in(page: Path) -> None:
    plain = re.sub(r"```.*?```|`[^`]*`|https?://\S+", "", text_of(page), flags=re.DOTALL)
    assert re.findall(r"\b(?:TODO|FIXME|XXX|TBD|[A-Z]{2,}_[A-Z_]+)\b", plain) == []


def command_lines(page: Path) -> list[str]:
    """Every `gudgeon …` of a page, in a sentence, in a block or on an indented line."""
    text = text_of(page)
    found = re.findall(r"`(gudgeon [^`\n]+)`", text)
    found += re.findall(r"^(?: {4}|\$ )(gudgeon (?:[^\n]|\\\n)*)", text, re.MULTILINE)
    return [re.split(r"  +| # | [|>] ", line.replace("\\\n", " "))[0].strip() for line in found]


@pytest.mark.parametrize("page", [page for page in PAGES if command_lines(page) and page.name != "commands.md"], ids=named)
def test_pages_name_only_commands_and_options_that_exist(page: Path) -> None:
    for line in command_lines(page):
        words = shlex.split(line.replace("…", "").replace("'", "’"))[1:]
        name = next((n for n in (f"gudgeon {' '.join(words[:2])}", f"gudgeon {words[0]}" if words else "gudgeon") if n in COMMANDS), None)
        assert name or words[0].startswith("-"), line
        meant = [command for full, command in COMMANDS.items() if full == name or full.startswith(f"{name or 'gudgeon'} ")]
        options = {option for command in meant for parameter in command.params for option in (*parameter.opts, *parameter.secondary_opts)}
        known = options | {"--help", "-h", "--version"}
        assert {word for word in words if re.match(r"--?[a-z]", word)} <= known, line


def indented(page: Path) -> list[str]:
    """The commands that a page shows on indented lines, without what is said beside them; those that wait for a person are left out."""
    found = [re.split(r" {2,}| # ", line)[0].strip() for line in re.findall(r"^ {4}(gudgeon [^\n]+)", text_of(page), re.MULTILINE)]
    return [command for command in found if shlex.split(command)[1] not in BY_HAND]


def a_picture() -> bytes:
    """A small grey picture, as JPEG."""
    context = av.CodecContext.create("mjpeg", "w")
    context.width, context.height, context.pix_fmt, context.time_base = 64, 48, "yuvj444p", Fraction(1, 1)
    frame = av.VideoFrame.from_ndarray(np.full((48, 64, 3), 128, np.uint8), "rgb24").reformat(format="yuvj444p")
    return b"".join(bytes(packet) for packet in (*context.encode(frame), *context.encode(None)))


@pytest.mark.parametrize("page", [page for page in PAGES if indented(page)], ids=named)
def test_commands_on_indented_lines_work(page: Path, tmp_path: Path) -> None:
    with examples.Bench(tmp_path) as bench:
        (tmp_path / "my_sheet.csv").write_text(text_of(HERE.parent / "sample_audio" / "orchard_spec.csv"), encoding="utf-8")
        (tmp_path / "hub.jpg").write_bytes(a_picture())
        for command in indented(page):
            printed = bench.run(command)
            assert bench.status == 0, f"{command}\n{printed}"


@pytest.mark.slow
def test_the_demo_prints_what_the_readme_shows(tmp_path: Path) -> None:
    readme = text_of(DOCS.parent / "README.md")
    shown = re.search(r"^ {4}Look at these first\n((?: {4}.*\n)+)", readme, re.MULTILINE)
    assert shown
    with examples.Bench(tmp_path) as bench:
        printed = bench.run("gudgeon demo").splitlines()
    for line in shown[1].splitlines():
        assert line[4:] in printed


def test_the_query_of_the_library_page_runs(tmp_path: Path) -> None:
    from gudgeon import Record

    queries = [block.body for block in examples.blocks(text_of(DOCS / "library.md")) if block.language == "sql"]
    assert queries
    with Record.open(tmp_path) as record:
        for query in queries:
            assert record._db.execute(query).description


def test_every_kind_of_fact_has_its_section() -> None:
    kinds = {kind.kind for kind in get_args(Fact)}
    assert len(kinds) > 10
    assert kinds <= set(re.findall(r"^### (.+)$", text_of(DOCS / "facts.md"), re.MULTILINE))


def test_every_table_and_column_is_explained() -> None:
    known = table_pages.meanings()
    used = set()
    for table in table_pages.tables():
        room, name = table_pages.room_of(table), table.stem
        with table.open(encoding="utf-8") as file:
            columns = next(csv.reader(file))
        for column in ("", *(column for column in columns if column != "source")):
            assert table_pages.meaning(known, room, name, column)
            used |= {(room, name, column), ("*", "*", column)}
    assert set(known) <= used, f"docs/tables.csv explains what is not there: {set(known) - used}"


def test_the_runner_sees_a_difference() -> None:
    assert examples.matches("a\n…\nb … d\n", "a\nx\ny\nb c d\n")
    assert examples.matches("a\n…\n", "a\n")
    assert not examples.matches("a\n", "b\n")
    assert not examples.matches("a\n", "a\nb\n")
    assert not examples.matches("", "anything\n")
    assert not examples.matches("a … c\n", "a b\nc\n")


def test_the_runner_writes_what_is_printed(tmp_path: Path) -> None:
    page = "<!-- file: n.txt -->\n\n```text\nlid bolts at 24 Nm\n```\n\n```console\n$ cat n.txt | wc -l\nold\n$ echo 'a | b'\na …\n```\n"
    assert examples.rewritten(page, tmp_path) == page.replace("old\n", "1\n")


def test_what_is_written_keeps_what_was_left_out() -> None:
    expected = "begun … ago\na\n…\nz\n\nlast\n…\n"
    assert examples.merged(expected, "begun 3 days ago\na\nb\nc\nz\n\nnew\nlast\nmore\n") == "begun … ago\na\n…\nz\n\nnew\nlast\n…\n"
    assert examples.merged("a\n…\n\nz\n", "a\nb\n\nc\n\nz\ny\n") == "a\n…\n\nz\ny\n"
    assert examples.merged("gone\n…\n", "a\n") == "…\n"
    assert examples.merged("a\n", "b\n") == "b\n"
