"""``gudgeon strike``: notes are taken back, several at once, and brought back."""

from __future__ import annotations

import re
from typing import Annotated

import typer

from gudgeon.cli.options import AsJson, JobName, RecordDir
from gudgeon.cli.show import tell

MOST = 100_000


def strike(
    notes: Annotated[
        list[str] | None, typer.Argument(metavar="NOTES", help="Notes of the session by their numbers: 4 7-12 (see: gudgeon summary --notes).")
    ] = None,
    talk: Annotated[bool, typer.Option("--talk", help="All spoken notes that came to nothing: no value, no open item.")] = False,
    undo: Annotated[bool, typer.Option("--undo", help="Bring back those that were struck last, together.")] = False,
    session: Annotated[int | None, typer.Option("--session", metavar="N", help="The session; the latest when left out.")] = None,
    job: JobName = None,
    why: Annotated[str, typer.Option("--why", metavar="TEXT", help="The reason; kept in the history.")] = "",
    as_json: AsJson = False,
    record: RecordDir = None,
) -> None:
    """Take notes back, several at once: they stay, with their sound, and nothing is read from them. Entries and verdicts follow at once.

    Speech that could not be read is no talk: it may be about the work.

    Example: gudgeon strike --talk
    """
    from gudgeon.cli import wiring
    from gudgeon.cli.summary import chosen_session, show_session
    from gudgeon.domain import BadInput
    from gudgeon.session import other_talk, strike_notes, undo_strike

    if sum((bool(notes), talk, undo)) != 1:
        raise BadInput("Name the notes, or --talk, or --undo, and one of these alone.", kept="Nothing was changed.")
    numbers = numbers_in(notes or ())
    with wiring.open_record(record) as opened:
        chosen, tools = chosen_session(opened, session, job), wiring.tools(opened)
        with opened.transaction():
            if talk:
                numbers = [note.position + 1 for note in other_talk(opened, chosen)]
            changed = undo_strike(tools, chosen) if undo else strike_notes(tools, chosen, numbers, reason=why or ("other talk" if talk else ""))
        if as_json:
            show_session(opened, chosen, as_json=True, why=False)
            return
    if not changed:
        print(f"Session {chosen} has no such note that stands.")
        return
    count = f"{len(changed)} note{'' if len(changed) == 1 else 's'}"
    print(f"{'Brought back' if undo else 'Struck'}: {count} of session {chosen}, {', '.join(str(note.position + 1) for note in changed)}")
    if not undo:
        tell("They stay in the record. To bring them back: gudgeon strike --undo" + (f" --session {chosen}" if session else ""))


def numbers_in(texts: list[str] | tuple[str, ...]) -> list[int]:
    """The numbers in ``4``, ``7-12`` and ``4,9``. Raises BadInput."""
    from gudgeon.domain import BadInput

    numbers: list[int] = []
    for text in ",".join(texts).split(",") if texts else ():
        found = re.fullmatch(r"\s*(\d{1,6})(?:\s*-\s*(\d{1,6}))?\s*", text, re.ASCII)
        first, last = (int(found[1]), int(found[2] or found[1])) if found else (1, 0)
        if first > last:
            raise BadInput(f"{text!r} is no number of a note.", kept="Nothing was struck.", next_step="Write it like 4 or 7-12.")
        numbers += range(first, last + 1)
        if len(numbers) > MOST:
            raise BadInput("These are more notes than a session has.", kept="Nothing was struck.")
    return numbers
