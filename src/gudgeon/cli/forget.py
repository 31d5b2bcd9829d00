"""``gudgeon forget``: sound is removed for good."""

from __future__ import annotations

from typing import Annotated

import typer

from gudgeon.cli.options import AsJson, RecordDir
from gudgeon.cli.show import print_json


def forget(
    session: Annotated[int | None, typer.Argument(metavar="SESSION", help="The session whose sound goes.")] = None,
    everything: Annotated[bool, typer.Option("--all", help="The sound of every session.")] = False,
    yes: Annotated[bool, typer.Option("--yes", help="Do not ask.")] = False,
    as_json: AsJson = False,
    record: RecordDir = None,
) -> None:
    """Remove the sound of a session, or of all, for good; the words stay, and the record says that the sound is gone.

    Backups made before still hold it.

    Example: gudgeon forget 3
    """
    from gudgeon.cli import wiring
    from gudgeon.domain import BadInput

    if (session is None) != everything:
        raise BadInput("Name one session, or say --all.", kept="No sound was removed.", next_step="For example: gudgeon forget 3")
    with wiring.open_record(record) as opened:
        if session is not None:
            opened.session(session)
        whose = "every session" if session is None else f"session {session}"
        if not yes and not typer.confirm(f"Remove the sound of {whose} for good?", err=True):
            print("No sound was removed.")
            return
        count = opened.forget_sound(session)
    if as_json:
        print_json({"schema": 1, "session": session, "removed": count})
    else:
        print(f"The sound of {whose} is gone; the words stay." if count else f"There was no sound of {whose}.")
