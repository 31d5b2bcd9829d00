"""Open items of a document by kind, and those that were answered or dropped with what ended them."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import tzinfo

from gudgeon.record import StoredItem
from gudgeon.reports import saying
from gudgeon.reports.document import Item, Section
from gudgeon.reports.summary import SECTIONS

WORDS = {"fault": "Fault", "question": "Question", "verify": "Guess to verify"}


def open_section(items: Sequence[StoredItem], zone: tzinfo | None) -> Section | None:
    """Items that are still open, kind after kind."""
    points = []
    for kind, title in SECTIONS:
        for stored in items:
            if stored.item.kind == kind and stored.item.state == "open":
                points.append(Item(f"{WORDS.get(kind, title)}: {_text(stored)}", f"item {stored.item.id}, raised {saying.date(stored.raised, zone)}"))
    return Section(title="Open items", items=tuple(points)) if points else None


def answered_section(items: Sequence[StoredItem], zone: tzinfo | None) -> Section | None:
    """Items that were answered or dropped, with what ended them."""
    points = []
    for stored in items:
        item = stored.item
        if item.state != "open":
            day = f", {saying.date(stored.ended, zone)}" if stored.ended else ""
            points.append(Item(f"{_text(stored)} — {item.state}: {item.ended_by or 'nothing was noted'}", f"item {item.id}, {item.kind}{day}"))
    return Section(title="Questions and their answers", items=tuple(points)) if points else None


def _text(stored: StoredItem) -> str:
    item = stored.item
    about = f"{item.part}: " if item.part and item.part.casefold() not in item.text.casefold() else ""
    return f"{about}{item.text}" + (f" ({item.count})" if item.count and item.kind == "buy" else "")
