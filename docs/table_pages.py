"""The page of the tables: every table of every room goes in, with what docs/tables.csv says of it; Markdown comes out."""

from __future__ import annotations

import csv
from pathlib import Path

HERE = Path(__file__).resolve().parent
ROOMS = HERE.parent / "src" / "gudgeon"
NO_SOURCE = "our own list; no outside source."
FEW, SHORT = 26, 22

Meanings = dict[tuple[str, str, str], str]


def meanings() -> Meanings:
    """(room, table, column) → what it means; the column is empty for the table itself, room and table are * for columns of many tables."""
    with (HERE / "tables.csv").open(encoding="utf-8") as file:
        return {(row["room"], row["table"], row["column"]): row["meaning"] for row in csv.DictReader(file)}


def tables() -> list[Path]:
    """Every bundled table, by room and name."""
    return sorted(ROOMS.glob("*/tables/*.csv"))


def room_of(table: Path) -> str:
    """The room a table belongs to."""
    return table.parents[1].name


def meaning(known: Meanings, room: str, table: str, column: str = "") -> str:
    """What a table holds, or one of its columns. Raises LookupError when docs/tables.csv does not say."""
    found = known.get((room, table, column)) or (known.get(("*", "*", column)) if column else None)
    if not found:
        raise LookupError(f"docs/tables.csv does not say what {room}/{table}{', column ' + column if column else ''} holds: add a row there.")
    return found


def values(rows: list[dict[str, str]], column: str) -> str:
    """The values of a column that can only be one of a few; empty for any other."""
    found = sorted({row[column] for row in rows if row[column]})
    closed = len(found) <= FEW and 2 * len(found) <= len(rows) and max(map(len, found)) <= SHORT
    numbers = all(value.replace(".", "", 1).isdigit() for value in found)
    return "" if not closed or numbers or column in ("standard", "size") else ", ".join(f"`{value}`" for value in found)


def sources(rows: list[dict[str, str]]) -> list[str]:
    """The sources of a table's rows, each once."""
    return sorted({row["source"] for row in rows}) if "source" in rows[0] else [NO_SOURCE]


def section(table: Path, known: Meanings) -> str:
    """One table as Markdown."""
    room, name = room_of(table), table.stem
    with table.open(encoding="utf-8") as file:
        rows = list(csv.DictReader(file))
    lines = [f"### {room}/{name}", "", meaning(known, room, name), "", "| column | what it holds | values |", "| --- | --- | --- |"]
    for column in rows[0]:
        if column != "source":
            lines.append(f"| `{column}` | {meaning(known, room, name, column)} | {values(rows, column)} |".replace("|  |", "| |"))
    where = sources(rows)
    lines += ["", f"Source: {where[0]}"] if len(where) == 1 else ["", "Sources:", "", *(f"- {source}" for source in where)]
    return "\n".join(lines)


def markdown() -> str:
    """All tables as one Markdown text, a heading for each room and each table."""
    known, parts = meanings(), []
    for room in sorted({room_of(table) for table in tables()}):
        parts.append(f"## {room}")
        parts += [section(table, known) for table in tables() if room_of(table) == room]
    return "\n\n".join(parts)
