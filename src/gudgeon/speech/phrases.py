"""Likely phrases: the built-in list (units as said, threads, tools, parts and other words of the trade), and those of an owner's sheet."""

from __future__ import annotations

import csv
import re
from collections.abc import Iterable, Sequence

from gudgeon.domain import BadTable, SpecSheet

LONGEST = 40
"""Letters of a phrase that is still worth its place; longer texts are remarks."""

_THREAD = re.compile(r"M\d{1,2}")


def read_phrases(lines: Sequence[str], *, kind: str | None = None) -> list[str]:
    """The phrases of a table with the columns ``phrase`` and ``kind``, in its order, all or those of a kind. Raises BadTable when one is missing."""
    rows = csv.DictReader(lines)
    for column in ("phrase", "kind"):
        if column not in (rows.fieldnames or ()):
            raise BadTable(f"The list of phrases has no column called {column!r}.")
    return [row["phrase"].strip() for row in rows if row["phrase"] and row["phrase"].strip() and kind in (None, row["kind"])]


def read_instructions(lines: Sequence[str]) -> list[str]:
    """The words of a table with the column ``word``: behind them "torque to" is an instruction. Raises BadTable."""
    rows = csv.DictReader(lines)
    if "word" not in (rows.fieldnames or ()):
        raise BadTable("The list of words before an instruction has no column called 'word'.")
    return [row["word"].strip().lower() for row in rows if row["word"] and row["word"].strip()]


def sheet_phrases(sheet: SpecSheet) -> list[str]:
    """What the sheet's parts, places, fasteners, tools and compounds are called, alone and together; no value of the sheet is in it.

    A value of the sheet must never be put into a mouth, so everything with a figure is left out, but for metric threads' names.
    """
    names: list[str | None] = []
    for row in sheet.rows:
        names += [row.part, row.place, row.fastener, row.tool, row.compound]
        names += [_joined(row.place, row.part), _joined(row.part, row.fastener)]
        names += _THREAD.findall(row.thread or "")
    for size in sheet.sizes:
        names += [size.part, size.place, size.quantity, _joined(size.place, size.part)]
    return likely(name for name in names if name)


def likely(names: Iterable[str]) -> list[str]:
    """Names as phrases: each once, in small pieces of text only, without figures but for metric threads' names; each also in the plural."""
    found: dict[str, None] = {}
    for name in names:
        phrase = " ".join(name.split())
        if 2 < len(phrase) <= LONGEST and not any(c.isdigit() for c in phrase):
            found[phrase] = None
            found[phrase if phrase.endswith("s") else f"{phrase}s"] = None
        elif _THREAD.fullmatch(phrase):
            found[phrase] = None
    return list(found)


def _joined(first: str | None, second: str | None) -> str | None:
    return f"{first} {second}" if first and second else None
