"""A document as Markdown (CommonMark with tables). What was said stays text: it cannot become a heading, a link, a cell or HTML."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence

from gudgeon.reports.document import Attachment, Band, Block, Document, Item, Section, Table
from gudgeon.reports.lines import Line

LIST_SIGN = re.compile(r"^(?:[-+=]|\d+(?=[.)](?:\s|$)))")
SIGNS = re.compile(r"([\\|<>`*_\[\]#~&])")


def as_markdown(document: Document, files: Mapping[Attachment, str] | None = None) -> str:
    """The document as Markdown. ``files`` are names of pictures and sound files that lie beside it; what has none is only named."""
    lines = [f"# {_plain(document.title)}: {_plain(document.subject)}", ""]
    lines += [f"- {_plain(name)}: {_plain(value)}" for name, value in document.facts]
    lines += [line for section in document.sections for line in _section(section, files or {})]
    return "\n".join(lines) + "\n"


def lines_as_markdown(lines: Sequence[Line]) -> str:
    """A report as Markdown: the first heading as the title, the others below it, everything set in as nested lists.

    Make the report with the width ``ENDLESS``, so that every sentence is one line.
    """
    told: list[str] = []
    headings = 0
    deeper: list[int] = []  # how far the lists that are open are set in
    for line in lines:
        text = _plain(re.sub(r"(?<=\S) {2,}", " — ", line.text.strip()))
        indent = len(line.text) - len(line.text.lstrip())
        if not text:
            continue
        if line.tone == "heading" or indent == 0:
            deeper = []
            told += ["", f"{'#' if headings == 0 else '##'} {text}" if line.tone == "heading" else text, ""]
            headings += line.tone == "heading"
            continue
        while deeper and deeper[-1] > indent:
            deeper.pop()
        if not deeper or deeper[-1] < indent:
            deeper.append(indent)
        told.append(f"{'  ' * (len(deeper) - 1)}- {text}")
    return re.sub(r"\n{3,}", "\n\n", "\n".join(told)).strip() + "\n"


def _section(section: Section, files: Mapping[Attachment, str]) -> Iterator[str]:
    yield from ("", f"## {_plain(section.title)}")
    for text in section.text:
        yield from ("", _plain(text))
    if section.items:
        yield ""
    for at, item in enumerate(section.items, start=1):
        yield f"{f'{at}.' if section.numbered else '-'} {_item(item, files)}"
    if section.table:
        for band in section.table.bands:
            yield from _band(section.table, band, files)


def _item(item: Item, files: Mapping[Attachment, str]) -> str:
    remark = f" ({_plain(item.remark)})" if item.remark else ""
    named = "".join(f", {_attached(thing, files)}" for thing in _shown(item.attached, files))
    return _plain(item.text) + remark + named


def _band(table: Table, band: Band, files: Mapping[Attachment, str]) -> Iterator[str]:
    if band.title:
        yield from ("", f"### {_plain(band.title)}")
    if band.lines:
        yield from ("", *(f"- {_plain(line)}" for line in band.lines))
    yield from ("", _row(table.columns), "| " + " | ".join("---" for _ in table.columns) + " |")
    for block in band.blocks:
        for at, row in enumerate(block.rows):
            yield _row((block.lead if at == 0 else "", *row.cells))
    told = [line for block in band.blocks for line in _under(block, files)]
    if told:
        yield from ("", *told)


def _under(block: Block, files: Mapping[Attachment, str]) -> Iterator[str]:
    name = block.lead.split("\n")[-1]
    told = [_plain(text) for text in block.under] + [_attached(thing, files) for thing in _shown(block.attached, files)]
    yield from (f"- {_plain(name)}: {text}" for text in told)


def _row(cells: Sequence[str]) -> str:
    return "| " + " | ".join(_cell(text) for text in cells) + " |"


def _cell(text: str) -> str:
    first, *rest = text.split("\n")
    return _plain(first + (" — " if first and rest else "") + "; ".join(rest))


def _shown(things: Sequence[Attachment], files: Mapping[Attachment, str]) -> list[Attachment]:
    """What is worth a line: sound only where there is a file of it."""
    return [thing for thing in things if thing.kind == "picture" or thing in files]


def _attached(thing: Attachment, files: Mapping[Attachment, str]) -> str:
    if thing not in files:
        return f"{thing.kind} {_plain(thing.name)}"
    return f"{'!' if thing.kind == 'picture' else ''}[{_plain(thing.name)}](<{files[thing]}>)"


def _plain(text: str) -> str:
    """Text on one line that means nothing but itself."""
    line = " ".join(SIGNS.sub(r"\\\1", text).split())
    return LIST_SIGN.sub(lambda found: f"\\{found[0]}" if found[0] in "-+=" else f"{found[0]}\\", line)
