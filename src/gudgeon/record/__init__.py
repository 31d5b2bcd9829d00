"""Sessions, notes, entries and open items go in and are found again: the only room that knows SQL."""

from gudgeon.record.entries import VERDICTS, Slot
from gudgeon.record.picture_files import MOST_BYTES as MOST_PICTURE_BYTES
from gudgeon.record.record import Record
from gudgeon.record.rows import Change, Hit, Picture, Search, Sound, StoredEntry, StoredItem, StoredNote, StoredSheet, Trouble
from gudgeon.record.sessions import TYPED

__all__ = [
    "MOST_PICTURE_BYTES",
    "TYPED",
    "VERDICTS",
    "Change",
    "Hit",
    "Picture",
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
