"""What the documents of ``gudgeon export`` are made from: the sessions of a job with their pictures, sound and changes."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from pathlib import Path

    from gudgeon.record import Picture, Record, StoredNote
    from gudgeon.reports import Attachment, BuildView, Document, SessionPart

MARGIN_S = 0.15
LONGEST_S = 60.0


def parts_of(record: Record, job: str | None, *, every_job: bool = False, sound: bool = False) -> list[SessionPart]:
    """The sessions of a job (or of all), oldest first; those whose entries are behind their notes after a fall are put together first."""
    from gudgeon.cli.summary import settle_now
    from gudgeon.reports import SessionPart

    parts = []
    behind = record.unsettled()
    for session in record.sessions():
        if session.job == job or every_job:
            if session.id in behind:
                settle_now(record, session.id)
            notes, entries = record.notes(session.id), record.entries(session.id)
            attached = {note.id: things for note in notes if (things := tuple(_attached(note, sound=sound)))}
            changes = {entry.id: told for entry in entries if entry.fixed and (told := tuple(_changes(record, entry.id)))}
            parts.append(SessionPart(session=session, notes=notes, entries=entries, attached=attached, changes=changes))
    return parts


def _attached(note: StoredNote, *, sound: bool) -> Iterator[Attachment]:
    from gudgeon.reports import Attachment, saying

    for picture in note.pictures:
        if picture.forgotten is None:
            yield _picture(picture)
    if sound and note.note.start is not None and note.note.end is not None:
        yield Attachment("sound", f"Sound of session {note.session} at {saying.clock(note.note.start)}", note.id)


def _picture(picture: Picture) -> Attachment:
    from gudgeon.reports import Attachment

    return Attachment("picture", picture.name, picture.note, picture.id)


def _changes(record: Record, entry: int) -> Iterator[str]:
    from gudgeon.reports import saying

    for change in record.history("entry", entry):
        what = change.action
        if change.action == "set":
            what = f"{change.field}, {saying.changed(change.field, change.before)} → {saying.changed(change.field, change.after)}"
        yield f"{what}, {saying.date(change.at)}{f' ({change.reason})' if change.reason else ''}"


def view_of(record: Record, job: str | None, parts: list[SessionPart]) -> BuildView:
    """All that the build record of a job is made from."""
    from importlib.metadata import version

    from gudgeon.cli import wiring
    from gudgeon.cli.brief import progress_of
    from gudgeon.reports import BuildView
    from gudgeon.session import job_sheet

    stored = record.sheet(job)
    return BuildView(
        job=job,
        parts=parts,
        items=[item for item in record.items(state=None) if item.job == job],
        made=wiring.clock(),
        maker=f"gudgeon {version('gudgeon')}",
        sheet=job_sheet(record, job),
        sheet_name=stored.name if stored else None,
        progress=progress_of(record, job),
    )


def build(record: Record, job: str | None, parts: list[SessionPart], *, reverse: bool) -> Document:
    """The build record of a job, or with ``reverse`` the order of putting together."""
    from gudgeon.reports import build_record, putting_together

    view = view_of(record, job, parts)
    return putting_together(job, parts, made=view.made, maker=view.maker, sheet=view.sheet) if reverse else build_record(view)


def files_of(record: Record, parts: list[SessionPart], *, location: bool) -> dict[Attachment, bytes]:
    """The bytes of every picture, and of every stretch of sound that is asked for and still kept; what is gone is left out, and told."""
    from gudgeon.cli.show import tell
    from gudgeon.domain import GudgeonError

    found: dict[Attachment, bytes] = {}
    for part in parts:
        kept = [sound.file for sound in record.sounds(part.session.id) if sound.forgotten is None]
        for note in part.notes:
            pictures = {_picture(picture): picture for picture in note.pictures}
            for thing in part.attached.get(note.id, ()):
                try:
                    if thing.kind == "picture":
                        found[thing] = record.picture_bytes(pictures[thing], location=location)
                    elif kept:
                        found[thing] = _clip(record.folder / kept[0], note)
                except GudgeonError as gone:
                    tell(gone.happened)
    return found


def _clip(folder: Path, note: StoredNote) -> bytes:
    """A note's sound, a breath wider, at most a minute. Raises MissingThing when it is not there."""
    from gudgeon.audio import cut, mp3

    start, end = note.note.start or 0.0, note.note.end or 0.0
    return mp3(cut(folder, max(start - MARGIN_S, 0.0), min(end, start + LONGEST_S) + MARGIN_S))
