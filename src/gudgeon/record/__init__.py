"""Sessions, notes, entries and open items go in and are found again: the only room that knows SQL."""

from gudgeon.record.entries import VERDICTS, Slot
from gudgeon.record.record import Record
from gudgeon.record.rows import Change, Hit, Search, Sound, StoredEntry, StoredItem, StoredNote, StoredSheet, Trouble

__all__ = [
    "VERDICTS",
    "Change",
    "Hit",
    "Record",
    "Search",
    "Slot",
    "Sound",
    "StoredEntry",
    "StoredItem",
    "StoredNote",
    "StoredSheet",
    "Trouble",
]
