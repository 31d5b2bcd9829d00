"""``gudgeon parse``: notes on standard input, facts or entries out as JSON Lines."""

from __future__ import annotations

import json
import sys
from collections.abc import Iterable, Iterator
from typing import TYPE_CHECKING, Annotated, Any

import typer

if TYPE_CHECKING:
    from gudgeon.facts import Reader


def parse(
    session: Annotated[bool, typer.Option("--session", help="Put the notes of each session together: an empty line ends a session.")] = False,
    why: Annotated[bool, typer.Option("--why", help="Show the rule and table row behind each fact, and how each entry was put together.")] = False,
) -> None:
    """Read notes from standard input, one a line, and print what they say as JSON, one object a line. Touches no record.

    Example: echo "lid bolts at eighteen newton metres" | gudgeon parse
    """
    from gudgeon.cli import wiring

    lines = _lines()
    first = next(lines, None)
    if first is None:
        return
    reader = wiring.reader()
    notes = _with_first(first, lines)
    rows = _session_rows(reader, notes, why=why) if session else (_note_row(reader, text, why=why) for text in notes)
    for row in rows:
        sys.stdout.write(json.dumps(row, ensure_ascii=False) + "\n")


def _lines() -> Iterator[str]:
    """The lines of standard input; bytes that are no UTF-8 become a replacement sign each."""
    for line in sys.stdin.buffer:
        yield line.decode("utf-8", errors="replace").rstrip("\r\n")


def _with_first(first: str, rest: Iterable[str]) -> Iterator[str]:
    yield first
    yield from rest


def _note_row(reader: Reader, text: str, *, why: bool) -> dict[str, Any]:
    from gudgeon.domain import fact_to_dict

    facts = reader.read(text)
    said = [{"words": text[slice(*fact.span)]} if why else {} for fact in facts]
    return {"text": text, "facts": [fact_to_dict(fact, why=why) | words for fact, words in zip(facts, said, strict=True)]}


def _session_rows(reader: Reader, lines: Iterable[str], *, why: bool) -> Iterator[dict[str, Any]]:
    notes: list[str] = []
    for line in lines:
        if line.strip():
            notes.append(line)
        elif notes:
            yield _session_row(reader, notes, why=why)
            notes = []
    if notes:
        yield _session_row(reader, notes, why=why)


def _session_row(reader: Reader, texts: list[str], *, why: bool) -> dict[str, Any]:
    from gudgeon.cli import wiring
    from gudgeon.domain import ReadNote, entry_to_dict

    read = [ReadNote(text, reader.read(text)) for text in texts]
    rows = []
    for entry in wiring.assembler().assemble(read):
        row = entry_to_dict(entry)
        if not why:
            del row["how"]
        rows.append(row)
    return {"notes": texts, "entries": rows}
