"""A text with or without times goes in, a session in the record comes out: one note a line or cue, one transaction a note."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from gudgeon.domain import BadInput, Note
from gudgeon.session.sources import Origin, Start, begin, finish
from gudgeon.session.texts import notes_of, read_text
from gudgeon.session.tools import Step, Taken, Timing, Tools


def take_text(origin: Origin, tools: Tools, *, progress: Callable[[Step], None]) -> Taken:
    """Take a text as one session; Ctrl-C keeps what was read. Raises MissingThing, and BadInput when there is no note in it."""
    notes = notes_of(read_text(origin.path), origin.path.suffix.lower())
    if not notes:
        raise BadInput(f"There is no note in {origin.path}.", kept="No session was made.", next_step="Put one note on a line and take it again.")
    with begin(origin, tools.record, None) as start:
        if start.already:
            return Taken(session=start.session, timing=Timing(), already=True)
        return _take_notes(notes, start, tools, progress)


def _take_notes(notes: Sequence[Note], start: Start, tools: Tools, progress: Callable[[Step], None]) -> Taken:
    done = len(tools.record.notes(start.session.id))
    stopped = False
    try:
        for number, note in enumerate(notes[done:], start=done + 1):
            tools.record.add_note(start.session.id, note, tools.read(note.text), reached=number)
            progress(Step(number, note.text))
    except KeyboardInterrupt:
        stopped = True
    length = max((note.end or note.start or 0.0 for note in notes), default=0.0)
    session = finish(tools, start.session, seconds=length, stopped=stopped)
    return Taken(session=session, timing=Timing(), stopped=stopped, carried_on_from=start.reached)
