"""A document for people, ready to be written in any form: facts about it, then sections with sentences, a table or a list. Plain text throughout."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Attachment:
    """A picture or a stretch of sound that belongs to a note: its kind (``picture`` or ``sound``), a name for people, the note's id, and
    which of the note's it is."""

    kind: str
    name: str
    note: int
    number: int = 0


@dataclass(frozen=True, slots=True)
class Row:
    """One row of a table. In a cell the first line stands out, further lines are small. ``tone`` is one of plain, good, unsure, bad."""

    cells: tuple[str, ...]
    tone: str = "plain"


@dataclass(frozen=True, slots=True, kw_only=True)
class Block:
    """Rows that belong together and are never torn apart: ``lead`` stands once before them, ``under`` are sentences below them."""

    lead: str
    rows: tuple[Row, ...]
    under: tuple[str, ...] = ()
    attached: tuple[Attachment, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Band:
    """A stretch of a table under a title of its own, with sentences below the title."""

    title: str
    lines: tuple[str, ...] = ()
    blocks: tuple[Block, ...]


@dataclass(frozen=True, slots=True)
class Table:
    """A table: the first column holds the leads of blocks. ``widths`` are shares of the page's width."""

    columns: tuple[str, ...]
    widths: tuple[float, ...]
    bands: tuple[Band, ...]


@dataclass(frozen=True, slots=True)
class Item:
    """One point of a list, with a small remark behind it."""

    text: str
    remark: str = ""
    attached: tuple[Attachment, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Section:
    """A part of a document under a heading; ``numbered`` lists are steps to be done in order."""

    title: str
    text: tuple[str, ...] = ()
    table: Table | None = None
    items: tuple[Item, ...] = ()
    numbered: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Document:
    """A whole document; ``made`` is the day it was made as YYYY-MM-DD, ``maker`` the program that made it."""

    title: str
    subject: str
    made: str
    maker: str
    facts: tuple[tuple[str, str], ...]
    sections: tuple[Section, ...]
