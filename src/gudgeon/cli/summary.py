"""``gudgeon summary``: what a session did."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, Annotated

import typer

from gudgeon.cli.options import AsJson, JobName, RecordDir, SessionNumber, ToMarkdown, Why
from gudgeon.cli.show import print_json, print_report, wanted_width

if TYPE_CHECKING:
    from gudgeon.record import Record, StoredNote
    from gudgeon.session import Timing


def summary(
    session: SessionNumber = None,
    job: JobName = None,
    why: Why = False,
    notes: Annotated[bool, typer.Option("--notes", help="Every note instead, with its number, and what came of it.")] = False,
    hide_chatter: Annotated[
        bool, typer.Option("--hide-chatter", help="Leave out spoken notes that came to nothing, with --notes and with --json.")
    ] = False,
    to: ToMarkdown = None,
    as_json: AsJson = False,
    record: RecordDir = None,
) -> None:
    """Show what was done in a session: by part, each value with its verdict, what needs a look first, and the open items raised.

    Example: gudgeon summary 3 --why
    """
    from gudgeon.cli import wiring

    with wiring.open_record(record) as opened:
        chosen = chosen_session(opened, session, job)
        if notes and not as_json:
            _show_notes(opened, chosen, hide_chatter=hide_chatter, to=to)
        else:
            show_session(opened, chosen, as_json=as_json, why=why, to=to, hide_chatter=hide_chatter)


def chosen_session(record: Record, session: int | None, job: str | None) -> int:
    """The session of that number, else the latest (of a job). Raises MissingThing."""
    from gudgeon.domain import MissingThing

    if session is None:
        latest = record.latest_session(job)
        if latest is None:
            raise MissingThing("There is no session yet.", next_step="Make one with `gudgeon take FILE` or `gudgeon note TEXT`.")
        session = latest.id
    return record.session(session).id


def show_session(
    record: Record, session: int, *, as_json: bool, why: bool, timing: Timing | None = None, to: str | None = None, hide_chatter: bool = False
) -> None:
    """Print a session as a summary or as JSON; one whose entries are behind its notes (after a fall) is put together first."""
    from gudgeon.cli import shapes

    if session in record.unsettled():
        settle_now(record, session)
    notes, entries, items = record.notes(session), record.entries(session), record.items_of_session(session)
    home, missing = record.session(session), _missing(record, session)
    if as_json:
        shown = _without_chatter(record, session, notes) if hide_chatter else notes
        print_json(shapes.taken_json(home, shown, entries, items, timing, why=why, missing=missing))
        return
    from gudgeon.reports import SessionView, summary

    sheet = record.sheet(home.job)
    view = SessionView(session=home, notes=notes, entries=entries, items=items, sheet=sheet.name if sheet else None, missing=missing)
    print_report(summary(view, width=wanted_width(to), why=why), to)


def _show_notes(record: Record, session: int, *, hide_chatter: bool, to: str | None) -> None:
    from gudgeon.reports import SessionView, note_list
    from gudgeon.session import other_talk

    if session in record.unsettled():
        settle_now(record, session)
    notes, entries, items = record.notes(session), record.entries(session), record.items_of_session(session)
    view = SessionView(session=record.session(session), notes=notes, entries=entries, items=items)
    talk = {note.id for note in other_talk(record, session)}
    print_report(note_list(view, talk, width=wanted_width(to), hide_chatter=hide_chatter), to)


def _without_chatter(record: Record, session: int, notes: Sequence[StoredNote]) -> Sequence[StoredNote]:
    from gudgeon.session import other_talk

    talk = {note.id for note in other_talk(record, session)}
    return [note for note in notes if note.id not in talk]


def _missing(record: Record, session: int) -> tuple[tuple[float, float], ...]:
    """Where sound of a session never came, as (second of the sound, seconds)."""
    from gudgeon.audio import kept_gaps

    return tuple((gap.at, gap.lasted) for gap in kept_gaps(record.folder / f"sound/{session}"))


def settle_now(record: Record, session: int) -> None:
    """Put a session's entries together from its notes."""
    from gudgeon.cli import wiring
    from gudgeon.session import settle

    settle(record, session, wiring.rules())
