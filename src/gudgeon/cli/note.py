"""``gudgeon note``: a typed note."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from gudgeon.cli.options import AsJson, JobName, RecordDir, Speaker
from gudgeon.cli.show import print_json, print_lines, tell, width

if TYPE_CHECKING:
    from gudgeon.session import Tools

Text = Annotated[list[str], typer.Argument(metavar="TEXT", help="The note, as you would say it.")]


Photos = Annotated[
    list[Path] | None, typer.Option("--photo", metavar="FILE", help="A picture (JPEG, PNG or WebP) to keep with it; may be given several times.")
]


def note(text: Text, job: JobName = None, by: Speaker = None, photo: Photos = None, as_json: AsJson = False, record: RecordDir = None) -> None:
    """Store a typed note, with pictures if there are any, in the session that is open at the keyboard, or in a new one.

    A picture is kept unchanged; when the record is exported, what it says of its place, time and camera is left out.

    Example: gudgeon note "sump plug at 35 Nm with a new washer" --job "orchard tractor"
    """
    from gudgeon.cli import shapes, wiring
    from gudgeon.session import add_note

    with wiring.open_record(record) as opened:
        job = wiring.pick_job(opened, job, make=True, tell=tell)
        tools = wiring.tools(opened)
        stored = add_note(" ".join(text), tools, job=job, by=by or wiring.setting("by") or None, photos=photo or ())
        notes = opened.notes(stored.session)
        touched = [entry for entry in opened.entries(stored.session) if stored.position in entry.entry.notes]
        items = [item for item in opened.items_of_session(stored.session) if stored.id in item.notes]
        if as_json:
            found = shapes.taken_json(opened.session(stored.session), [stored], [], items, None)
            print_json(found | {"entries": [shapes.entry_json(entry, notes) for entry in touched]})
            return
        from gudgeon.reports import note_lines

        home = opened.session(stored.session)
        print_lines(note_lines(stored, notes, touched, items, width=width(), sheet=opened.sheet(home.job) is not None))
        offer_answers(tools, stored.session, since=stored.position)


def offer_answers(tools: Tools, session: int, *, since: int = 0) -> None:
    """Say which open items the new values may answer; on a terminal ask, and close those that the owner confirms."""
    from gudgeon.reports import offer_lines
    from gudgeon.session import offers, take_offer

    for offer in offers(tools.record, session, tools.read, since=since):
        print_lines(offer_lines(offer.item, offer.values, width=width()))
        if sys.stdin.isatty() and sys.stdout.isatty() and typer.confirm("Close it with this?", default=False):
            take_offer(tools, offer, offer.note.note.text)
            print(f"Answered {offer.item.item.id}.")
