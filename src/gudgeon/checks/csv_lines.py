"""Lines of a table that a person made, as records: commas, semicolons or tabs, quoted cells over a few lines, and no line that spoils the rest."""

from __future__ import annotations

import csv
from collections.abc import Iterator, Mapping, Sequence

_LONGEST_QUOTE = 20


def records(lines: Sequence[str]) -> Iterator[tuple[int, list[str], str]]:
    """(line number, cells, trouble) of each record; a quoted cell may run over a few lines, an unclosed quote costs its own line only."""
    mark = _delimiter(lines)
    at = 0
    while at < len(lines):
        text, took = lines[at], 1
        while text.count('"') % 2 and took < _LONGEST_QUOTE and at + took < len(lines):
            text += "\n" + lines[at + took]
            took += 1
        trouble = ""
        if text.count('"') % 2:
            text, took, trouble = lines[at], 1, "a quotation mark is opened and never closed"
        record: list[str] = []
        if not trouble:
            try:
                record = next(csv.reader([text], delimiter=mark), [])
            except csv.Error as bad:
                trouble = f"cannot be read as CSV ({bad})"
        yield at + 1, record, trouble
        at += took


def _delimiter(lines: Sequence[str]) -> str:
    first = next((line for line in lines if line.strip()), "")
    return max(",;\t", key=first.count)


def column(cell: str, short: Mapping[str, str]) -> str:
    """A header cell as a column's name: lower case, words joined by underscores, short forms written out."""
    name = "_".join(cell.strip().lower().replace("-", " ").split())
    return short.get(name, name)
