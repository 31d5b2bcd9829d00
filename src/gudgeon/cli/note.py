"""``gudgeon note``: a typed note."""

from __future__ import annotations

from typing import Annotated

import typer

from gudgeon.cli.options import AsJson, JobName, RecordDir, Speaker
from gudgeon.cli.show import print_json, print_lines, tell, width

Text = Annotated[list[str], typer.Argument(metavar="TEXT", help="The note, as you would say it.")]


def note(text: Text, job: JobName = None, by: Speaker = None, as_json: AsJson = False, record: RecordDir = None) -> None:
    """Store a typed note in the session that is open at the keyboard, or in a new one.

    Example: gudgeon note "sump plug at 35 Nm with a new washer" --job "orchard tractor"
    """
    from gudgeon.cli import shapes, wiring
    from gudgeon.session import add_note

    with wiring.open_record(record) as opened:
        job = wiring.pick_job(opened, job, make=True, tell=tell)
        stored = add_note(" ".join(text), wiring.tools(opened), job=job, by=by or wiring.setting("by") or None)
        notes = opened.notes(stored.session)
        touched = [entry for entry in opened.entries(stored.session) if stored.position in entry.entry.notes]
        items = [item for item in opened.items_of_session(stored.session) if stored.id in item.notes]
        if as_json:
            found = shapes.taken_json(opened.session(stored.session), [stored], [], items, None)
            print_json(found | {"entries": [shapes.entry_json(entry, notes) for entry in touched]})
            return
        from gudgeon.reports import note_lines

        print_lines(note_lines(stored, notes, touched, items, width=width()))
