"""``gudgeon summary``: what a session did."""

from __future__ import annotations

from typing import TYPE_CHECKING

from gudgeon.cli.options import AsJson, JobName, RecordDir, SessionNumber, ToMarkdown, Why
from gudgeon.cli.show import print_json, print_report, wanted_width

if TYPE_CHECKING:
    from gudgeon.record import Record
    from gudgeon.session import Timing


def summary(
    session: SessionNumber = None, job: JobName = None, why: Why = False, to: ToMarkdown = None, as_json: AsJson = False, record: RecordDir = None
) -> None:
    """Show what was done in a session: by part, each value with its verdict, what needs a look first, and the open items raised.

    Example: gudgeon summary 3 --why
    """
    from gudgeon.cli import wiring
    from gudgeon.domain import MissingThing

    with wiring.open_record(record) as opened:
        if session is None:
            latest = opened.latest_session(job)
            if latest is None:
                raise MissingThing("There is no session yet.", next_step="Make one with `gudgeon take FILE` or `gudgeon note TEXT`.")
            session = latest.id
        show_session(opened, opened.session(session).id, as_json=as_json, why=why, to=to)


def show_session(record: Record, session: int, *, as_json: bool, why: bool, timing: Timing | None = None, to: str | None = None) -> None:
    """Print a session as a summary or as JSON; one whose entries are behind its notes (after a fall) is put together first."""
    from gudgeon.cli import shapes

    if session in record.unsettled():
        settle_now(record, session)
    notes, entries, items = record.notes(session), record.entries(session), record.items_of_session(session)
    home = record.session(session)
    if as_json:
        print_json(shapes.taken_json(home, notes, entries, items, timing, why=why))
        return
    from gudgeon.reports import SessionView, summary

    sheet = record.sheet(home.job)
    view = SessionView(session=home, notes=notes, entries=entries, items=items, sheet=sheet.name if sheet else None)
    print_report(summary(view, width=wanted_width(to), why=why), to)


def settle_now(record: Record, session: int) -> None:
    """Put a session's entries together from its notes."""
    from gudgeon.cli import wiring
    from gudgeon.session import settle

    settle(record, session, wiring.rules())
