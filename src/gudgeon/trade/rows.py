"""Rows of a bundled table, checked cell by cell while they are read; a bad row is refused by table, line and column."""

from __future__ import annotations

import csv
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from gudgeon.domain import BadTable


@dataclass(frozen=True, slots=True)
class Row:
    """One row of a table: its cells by column, the table's name and the line, for the error's sentence."""

    table: str
    line: int
    cells: Mapping[str, str]

    def text(self, name: str) -> str:
        """A cell that must be filled in."""
        value = self.cells[name].strip()
        if not value:
            raise self.bad(f"{name} is empty")
        return value

    def one_of(self, name: str, allowed: Sequence[str]) -> str:
        """A cell that must be one of a few words."""
        value = self.text(name)
        if value not in allowed:
            raise self.bad(f"{name} “{value}” is none of {', '.join(allowed)}")
        return value

    def number(self, name: str, low: float, high: float) -> float:
        """A number between low and high."""
        text = self.text(name)
        try:
            value = float(text)
        except ValueError:
            raise self.bad(f"{name} “{text}” is no number") from None
        if not low <= value <= high:
            raise self.bad(f"{name} {text} is not between {low:g} and {high:g}")
        return value

    def maybe(self, name: str, low: float, high: float) -> float | None:
        """A number between low and high, or None where the cell is empty."""
        return self.number(name, low, high) if self.cells[name].strip() else None

    def bad(self, why: str) -> BadTable:
        """The error that names this row."""
        return BadTable(
            f"Table {self.table}.csv, line {self.line}: {why}.", next_step="Correct that row; nothing else is wrong with the rest of the table."
        )


def read_rows(tables: Mapping[str, Sequence[str]], table: str, columns: str) -> tuple[Row, ...]:
    """All rows of ``table``, whose header must be exactly ``columns`` and whose ``source`` must be filled in. Raises BadTable."""
    if table not in tables:
        raise BadTable(f"Table {table}.csv is missing.", next_step="Install gudgeon again.")
    records = list(csv.reader(tables[table]))
    if not records or records[0] != columns.split():
        raise BadTable(f"Table {table}.csv must have the columns {columns}.", next_step="Correct its header row.")
    rows = []
    for line, record in enumerate(records[1:], start=2):
        if len(record) != len(records[0]):
            raise BadTable(
                f"Table {table}.csv, line {line}: {len(record)} cells where the header has {len(records[0])}.", next_step="Correct that row."
            )
        row = Row(table, line, dict(zip(records[0], record, strict=True)))
        row.text("source")
        rows.append(row)
    return tuple(rows)
