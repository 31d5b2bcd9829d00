"""What the record gives back: stored notes, entries, open items, search hits and changes, with their ids."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import datetime

from gudgeon.domain import Entry, Fact, Judgement, Note, OpenItem, Session


@dataclass(frozen=True, slots=True, kw_only=True)
class Picture:
    """A picture kept with a note: its file (inside the record's folder), the name it came with, its form (``jpeg``, ``png``, ``webp``) and bytes.

    ``forgotten`` is when it was removed for good.
    """

    id: int
    note: int
    file: str
    name: str
    form: str
    size: int
    sha256: str
    added: datetime
    forgotten: datetime | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class StoredNote:
    """A note with its id, its place in the session (0, 1, …) and the facts read from it; ``struck`` when taken back."""

    id: int
    session: int
    position: int
    note: Note
    facts: tuple[Fact, ...] = ()
    struck: bool = False
    pictures: tuple[Picture, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class StoredEntry:
    """An entry as it stands now, the judgement of it, and how it was first read; ``fixed`` when changed by hand.

    ``entry.notes`` and the ``note`` of its values are positions in the session; ``notes`` are note ids.
    """

    id: int
    session: int
    position: int
    entry: Entry
    reading: Entry
    judgement: Judgement = field(default_factory=Judgement)
    struck: bool = False
    fixed: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class StoredItem:
    """An open item with where it came from: job, session, the notes that said it, and when it was raised and ended."""

    item: OpenItem
    job: str | None
    session: int | None
    raised: datetime
    ended: datetime | None = None
    notes: tuple[int, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class StoredSheet:
    """A spec sheet as it was loaded: its name, job and whole text."""

    id: int
    name: str
    job: str | None
    loaded: datetime
    text: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Change:
    """One line of an entry's or item's history."""

    at: datetime
    what: str
    target: int
    action: str
    field: str | None = None
    before: str | None = None
    after: str | None = None
    reason: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Search:
    """What to look for; every field that is given must hold. ``low_nm`` and ``high_nm`` are newton metres, ``since`` a moment in UTC."""

    words: tuple[str, ...] = ()
    part: str | None = None
    low_nm: float | None = None
    high_nm: float | None = None
    tool: str | None = None
    thread: str | None = None
    job: str | None = None
    since: datetime | None = None
    session: int | None = None
    verdict: str | None = None
    pictured: bool = False
    """Only what has a picture."""
    limit: int = 20


@dataclass(frozen=True, slots=True, kw_only=True)
class Hit:
    """One thing found: its session, the words said, where they are in the sound, and the entry they belong to (None for a bare note)."""

    session: Session
    note: int | None
    words: str
    start: float | None
    end: float | None
    entry: StoredEntry | None = None
    pictures: tuple[Picture, ...] = ()
    score: float = 0.0
    read_as: tuple[tuple[str, str], ...] = ()
    """(word typed, word it was taken for) where a word was not known as typed."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Sound:
    """A kept stretch of a session's sound: its file or folder of segments (inside the record's folder), where it starts, its seconds.

    ``forgotten`` is when it was removed for good.
    """

    file: str
    start: float
    seconds: float
    forgotten: datetime | None = None


@dataclass(frozen=True, slots=True)
class Trouble:
    """Something about the record that its owner should know: a stable code and a sentence; ``harmless`` when nothing is damaged or missing."""

    code: str
    text: str
    harmless: bool = False
