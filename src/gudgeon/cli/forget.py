"""``gudgeon forget``: sound is removed for good."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated

import typer

from gudgeon.cli.options import AsJson, RecordDir
from gudgeon.cli.show import print_json

if TYPE_CHECKING:
    from gudgeon.domain import BadInput
    from gudgeon.record import Record


def forget(
    session: Annotated[int | None, typer.Argument(metavar="SESSION", help="The session whose sound goes.")] = None,
    everything: Annotated[bool, typer.Option("--all", help="The sound of every session.")] = False,
    pictures: Annotated[bool, typer.Option("--pictures", help="Its pictures too.")] = False,
    yes: Annotated[bool, typer.Option("--yes", help="Do not ask.")] = False,
    as_json: AsJson = False,
    record: RecordDir = None,
) -> None:
    """Remove the sound of a session, or of all, for good; the words stay, and the record says that the sound is gone. Alone: what there is.

    Backups made before still hold it.

    Example: gudgeon forget 3
    """
    from gudgeon.cli import wiring
    from gudgeon.domain import BadInput

    if session is not None and everything:
        raise BadInput("Name one session or say --all, not both.", kept="No sound was removed.", next_step="For example: gudgeon forget 3")
    with wiring.open_record(record) as opened:
        if session is None and not everything:
            raise _nothing_named(opened)
        if session is not None:
            opened.session(session)
        whose = "every session" if session is None else f"session {session}"
        what = "sound and the pictures" if pictures else "sound"
        if not yes and not typer.confirm(f"Remove the {what} of {whose} for good?", err=True):
            print("Nothing was removed.")
            return
        count = opened.forget_sound(session)
        shown = opened.forget_pictures(session) if pictures else 0
    if as_json:
        print_json({"schema": 1, "session": session, "removed": count, "pictures": shown})
        return
    print(f"The sound of {whose} is gone; the words stay." if count else f"There was no sound of {whose.replace('every', 'any')}.")
    if pictures:
        print(f"{shown} picture{'' if shown == 1 else 's'} of {whose} went.")


def _nothing_named(record: Record) -> BadInput:
    """Which sessions have sound that can be removed."""
    from gudgeon.domain import BadInput
    from gudgeon.reports import saying

    kept = [(session, sum(sound.seconds for sound in record.sounds(session.id) if sound.forgotten is None)) for session in record.sessions()]
    there = [f"{session.id} ({saying.day(session.started)}, {saying.length(seconds)})" for session, seconds in kept if seconds]
    what = f"Sound is kept of {'session' if len(there) == 1 else 'sessions'} {', '.join(there[-20:])}." if there else "No sound is kept."
    how = f"For example: gudgeon forget {there[-1].split()[0]}, or gudgeon forget --all" if there else ""
    return BadInput("Name the session whose sound is to go.", kept=what, next_step=how)
