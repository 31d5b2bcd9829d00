"""The record as one object: a folder with ``record.db`` and ``sound/``, opened, read, added to and searched through typed methods."""

from __future__ import annotations

import sqlite3
from collections.abc import Callable, Iterable, Iterator, Sequence
from contextlib import AbstractContextManager, contextmanager
from datetime import UTC, datetime
from pathlib import Path
from types import TracebackType
from typing import Any

from gudgeon.domain import Entry, Fact, Job, Judgement, Note, OpenItem, PastValue, Session, SpecSheet
from gudgeon.record import claims, entries, exporting, fixes, importing, integrity, items, jobs, keeping, pictures, search, sessions, specs, store
from gudgeon.record.database import Database, transaction
from gudgeon.record.entries import Slot
from gudgeon.record.rows import Change, Hit, Picture, Search, Sound, StoredEntry, StoredItem, StoredNote, StoredSheet, Trouble


def _database_clock() -> datetime:
    """Now in UTC, asked of SQLite."""
    connection = sqlite3.connect(":memory:")
    try:
        text = connection.execute("select strftime('%Y-%m-%dT%H:%M:%f', 'now')").fetchone()[0]
    finally:
        connection.close()
    return datetime.fromisoformat(text).replace(tzinfo=UTC)


class Record:
    """A workshop's record. Use it in a ``with`` block: what the database refuses then comes out as a plain sentence (a GudgeonError)."""

    def __init__(self, db: Database, folder: Path, clock: Callable[[], datetime]) -> None:
        self._db = db
        self.folder = folder
        self._now = clock

    @classmethod
    def open(cls, folder: str | Path, *, clock: Callable[[], datetime] | None = None) -> Record:
        """Open the record in ``folder``, made when it is not there. Raises BadInput, Failure, NewerRecord."""
        clock = clock or _database_clock
        return cls(store.open_database(Path(folder), clock()), Path(folder), clock)

    def __enter__(self) -> Record:
        return self

    def __exit__(self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None) -> None:
        self.close()
        if isinstance(error, sqlite3.Error):
            raise store.plain_error(error, self.folder / store.FILE) from error

    def close(self) -> None:
        """Let go of the file."""
        self._db.close()

    @contextmanager
    def transaction(self) -> Iterator[None]:
        """All that is written inside is kept together or not at all."""
        with transaction(self._db):
            yield

    # jobs
    def new_job(self, name: str) -> Job:
        """Make a job. Raises BadInput when the name is empty or taken."""
        return jobs.new_job(self._db, name, self._now())

    def job(self, name: str) -> Job:
        """The job of that name. Raises MissingThing."""
        return jobs.job(self._db, name)

    def jobs(self) -> tuple[Job, ...]:
        """All jobs, open ones first."""
        return jobs.jobs(self._db)

    def close_job(self, name: str) -> Job:
        """Close a job; its sessions stay."""
        return jobs.close_job(self._db, name, self._now())

    # sessions, notes, sound
    def begin_session(
        self,
        *,
        started: datetime,
        source: str,
        job: str | None = None,
        source_key: str | None = None,
        recogniser: str | None = None,
        by: str | None = None,
    ) -> Session:
        """Start a session in the state ``open``."""
        return sessions.begin_session(self._db, job=job, started=started, source=source, source_key=source_key, recogniser=recogniser, by=by)

    def session(self, number: int) -> Session:
        """The session of that number. Raises MissingThing."""
        return sessions.session(self._db, number)

    def sessions(self, job: str | None = None, *, newest: int | None = None) -> tuple[Session, ...]:
        """All sessions, or those of one job, in the order of their time; with ``newest`` the last so many of them."""
        return sessions.sessions(self._db, job, newest)

    def count_sessions(self) -> int:
        """How many sessions there are."""
        return sessions.count_sessions(self._db)

    def latest_session(self, job: str | None = None) -> Session | None:
        """The session that was added last."""
        return sessions.latest_session(self._db, job)

    def session_of_source(self, source_key: str, *states: str) -> Session | None:
        """The newest session read from a source with that key that is in one of these states."""
        return sessions.session_of_source(self._db, source_key, states or ("open", "unfinished", "finished"))

    def mark_session(self, number: int, *, state: str, seconds: float | None = None, reached: float | None = None) -> Session:
        """Set the state of a session: ``open``, ``unfinished`` or ``finished``."""
        return sessions.mark_session(self._db, number, state=state, seconds=seconds, reached=reached)

    def claim(self, session: int) -> AbstractContextManager[None]:
        """Hold a session for this program alone while it is filled. Raises Failure when another program fills it."""
        return claims.claim(self.folder, session)

    def add_note(self, session: int, note: Note, facts: Sequence[Fact] = (), *, reached: float | None = None) -> StoredNote:
        """Store one note with its facts, in one transaction; when this returns it is on the disk."""
        return sessions.add_note(self._db, session, note, facts, self._now(), reached)

    def notes(self, session: int) -> tuple[StoredNote, ...]:
        """The notes of a session, with their facts."""
        return sessions.notes(self._db, session)

    def strike_note(self, note: int, *, reason: str = "") -> None:
        """Take a note back: it stays, and nothing is put together from it any more."""
        self.strike_notes([note], reason=reason)

    def strike_notes(self, notes: Sequence[int], *, struck: bool = True, reason: str = "") -> None:
        """Take notes back together, or bring them back; in their history this has one and the same time."""
        sessions.strike_notes(self._db, notes, self._now(), reason, struck=struck)

    def mend_note(self, note: int, text: str, facts: Sequence[Fact], *, reason: str = "") -> None:
        """Change the words of a note by hand; the words before stay in its history. The caller settles the session again."""
        sessions.mend_note(self._db, note, text, facts, self._now(), reason)

    # pictures
    def add_picture(self, note: int, data: bytes, name: str) -> Picture:
        """Keep a picture (JPEG, PNG or WebP, told by its content) with a note, unchanged. Raises BadInput, MissingThing, Failure."""
        return pictures.add_picture(self._db, self.folder, note, data, name, self._now())

    def pictures(self, note: int) -> tuple[Picture, ...]:
        """The pictures of a note; ``record.folder / picture.file`` is the file as it came. Notes read with ``notes`` carry them too."""
        return pictures.pictures(self._db, note)

    def picture_bytes(self, picture: Picture, *, location: bool = False) -> bytes:
        """A picture to be given away: without its place, time and camera unless ``location``, pixel for pixel the same. Raises MissingThing."""
        return pictures.picture_bytes(self.folder, picture, location=location)

    def picture(self, session: int, note: int, number: int) -> Picture:
        """One picture of a note of a session. Raises MissingThing when it is not there or was forgotten."""
        return pictures.picture(self._db, session, note, number)

    def picture_small(self, picture: Picture, *, most: int = 480) -> bytes:
        """A picture as a JPEG of at most ``most`` pixels a side, as itself when it is light; without its place. Raises MissingThing, BadInput."""
        return pictures.picture_small(self.folder, picture, most)

    def forget_pictures(self, session: int | None = None) -> int:
        """Remove the pictures of a session, or of all, for good; the words stay. How many went."""
        return pictures.forget_pictures(self._db, self.folder, session, self._now())

    # sound
    def add_sound(self, session: int, sound: Sound) -> None:
        """Note where a stretch of a session's sound is kept."""
        sessions.add_sound(self._db, session, sound)

    def sounds(self, session: int) -> tuple[Sound, ...]:
        """The kept stretches of a session's sound, in order."""
        return sessions.sounds(self._db, session)

    def unsettled(self) -> tuple[int, ...]:
        """Sessions with notes that no entries were put together from yet."""
        return sessions.unsettled(self._db)

    # entries
    def place_readings(self, session: int, readings: Sequence[Entry]) -> tuple[Slot, ...]:
        """Match a new reading of a session to the entries it had; hand-made changes are kept."""
        return entries.place_readings(self._db, session, readings)

    def put_entries(self, session: int, judged: Sequence[tuple[Slot, Judgement]]) -> tuple[StoredEntry, ...]:
        """Store the entries of a session as they are now."""
        return entries.put_entries(self._db, session, judged)

    def entries(self, session: int) -> tuple[StoredEntry, ...]:
        """The entries of a session."""
        return entries.entries(self._db, session)

    def entries_on_sheet(self, job: str | None) -> tuple[Entry, ...]:
        """The entries of a job that belong to a joint or size of its sheet, oldest first: all that its progress is made of."""
        return entries.entries_on_sheet(self._db, job)

    def doubtful_entries(self, job: str | None, *, limit: int = 50) -> tuple[StoredEntry, ...]:
        """Entries of a job with a torque that nobody should rely on yet, newest first; values that a later entry said anew are left out."""
        return entries.doubtful_entries(self._db, job, limit)

    def entry(self, number: int) -> StoredEntry:
        """The entry of that number. Raises MissingThing."""
        return entries.entry(self._db, number)

    def past_values(self, job: str | None, part: str | None, *, before: int) -> tuple[PastValue, ...]:
        """Torques of sessions before that one, of the same job and part."""
        return entries.past_values(self._db, job, part, before)

    def set_field(self, entry: int, name: str, value: Any, *, reason: str = "") -> StoredEntry:
        """Change one field of an entry by hand; what it was stays in its history."""
        return fixes.set_field(self._db, entry, name, value, self._now(), reason)

    def strike_entry(self, entry: int, *, struck: bool = True, reason: str = "") -> StoredEntry:
        """Strike an entry (it stays, and counts no more) or restore it."""
        return fixes.strike_entry(self._db, entry, struck=struck, now=self._now(), reason=reason)

    def split_entry(self, entry: int, at: int, *, reason: str = "") -> StoredEntry:
        """Move the torques from ``at`` (0, 1, …) on into an entry of their own; that new entry."""
        return fixes.split_entry(self._db, entry, at, self._now(), reason)

    def join_entries(self, entry: int, other: int, *, reason: str = "") -> StoredEntry:
        """Put all that another entry holds into this one; the other is struck."""
        return fixes.join_entries(self._db, entry, other, self._now(), reason)

    def history(self, what: str, target: int) -> tuple[Change, ...]:
        """Every change of one ``entry``, ``item`` or ``note``, oldest first."""
        return entries.history(self._db, what, target)

    # open items
    def raise_items(self, session: int, found: Sequence[OpenItem]) -> tuple[StoredItem, ...]:
        """Store what a session's notes raise; what was said before is joined to the item that is open."""
        return items.raise_items(self._db, session, found, self._now())

    def add_item(self, item: OpenItem, *, job: str | None = None) -> StoredItem:
        """Raise an open item by hand."""
        return items.add_item(self._db, item, job, self._now())

    def item(self, number: int) -> StoredItem:
        """The open item of that number. Raises MissingThing."""
        return items.stored_item(self._db, number)

    def items(
        self, *, job: str | None = None, state: str | None = "open", kind: str | None = None, limit: int | None = None, begin: int = 0
    ) -> tuple[StoredItem, ...]:
        """Items as they were raised, ``limit`` from ``begin`` on; ``state`` None gives ended ones too, "ended" those alone, the newest end first."""
        return items.items(self._db, job=job, state=state, kind=kind, limit=limit, begin=begin)

    def count_items(self, *, job: str | None = None, state: str | None = "open") -> dict[str, int]:
        """How many items there are of each kind that has any."""
        return items.count_items(self._db, job=job, state=state)

    def items_of_session(self, session: int) -> tuple[StoredItem, ...]:
        """Items that a note of this session raised or said again."""
        return items.items_of_session(self._db, session)

    def answer(self, item: int, text: str) -> StoredItem:
        """Close an item with what answered it."""
        return items.end_item(self._db, item, state="answered", text=text, now=self._now())

    def drop(self, item: int, why: str) -> StoredItem:
        """Close an item that needs no answer, with the reason."""
        return items.end_item(self._db, item, state="dropped", text=why, now=self._now())

    def reopen(self, item: int, why: str = "") -> StoredItem:
        """Open an ended item again; how it had ended stays in its history."""
        return items.end_item(self._db, item, state="open", text=why, now=self._now())

    # spec sheets, search, integrity
    def put_sheet(self, *, name: str, text: str, sheet: SpecSheet, job: str | None = None) -> StoredSheet:
        """Keep a spec sheet as the current one of a job; earlier sheets stay."""
        return specs.put_sheet(self._db, job=job, name=name, text=text, sheet=sheet, now=self._now())

    def sheet(self, job: str | None) -> StoredSheet | None:
        """The sheet in use for a job, or None."""
        return specs.current_sheet(self._db, job)

    def put_tools(self, *, name: str, text: str) -> StoredSheet:
        """Keep the owner's tools file as the current one; earlier ones stay."""
        return specs.put_tools(self._db, name=name, text=text, now=self._now())

    def tools(self) -> StoredSheet | None:
        """The owner's tools file in use, or None."""
        return specs.current_tools(self._db)

    def learn_joint(self, job: str | None, entry_key: str, row_key: str) -> None:
        """Remember that entries of this name belong to that joint of the sheet (an empty ``row_key``: to none)."""
        specs.learn_joint(self._db, job, entry_key, row_key, self._now())

    def learnt_joints(self, job: str | None) -> dict[str, str]:
        """The matches that the owner has set for a job."""
        return specs.learnt_joints(self._db, job)

    def find(self, query: Search) -> tuple[Hit, ...]:
        """What matches, best first."""
        return search.find(self._db, query)

    def backup(self, target: str | Path, *, sound: bool = True) -> int:
        """Write the record into one new file, consistent while in use; its size in bytes."""
        return keeping.backup(self._db, self.folder, Path(target), sound=sound)

    @staticmethod
    def restore(source: str | Path, folder: str | Path) -> None:
        """Unpack a backup into a folder that holds no record yet."""
        keeping.restore(Path(source), Path(folder))

    def forget_sound(self, session: int | None = None) -> int:
        """Remove the sound of a session, or of all, for good; the words stay. How many stretches of sound went."""
        return keeping.forget_sound(self._db, self.folder, session, self._now())

    def export_lines(self, job: str | None = None, *, location: bool = False) -> Iterator[dict[str, Any]]:
        """The whole record, or one job of it, as one JSON object a line, without sound; pictures without their place unless ``location``."""
        name = jobs.job(self._db, job).name if job else None
        return exporting.export_lines(self._db, self.folder, name, self._now(), location=location)

    def import_lines(self, lines: Iterable[str]) -> dict[str, int]:
        """Take in what ``export_lines`` gave, all or nothing; how many of each kind came in. What is there already is passed over."""
        return importing.import_lines(self._db, self.folder, lines)

    def check(self) -> tuple[Trouble, ...]:
        """Troubles with the record; an empty tuple means that it is whole."""
        return integrity.check(self._db, self.folder)
