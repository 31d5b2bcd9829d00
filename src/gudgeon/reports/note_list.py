"""Every note of a session in its order, with its number and what came of it: to be looked through, and to be struck by number."""

from __future__ import annotations

from collections.abc import Set

from gudgeon.record import StoredNote
from gudgeon.reports import saying
from gudgeon.reports.lines import Line, fit, wrapped
from gudgeon.reports.summary import SessionView


def note_list(view: SessionView, talk: Set[int], *, width: int = 80, hide_chatter: bool = False) -> list[Line]:
    """The notes; ``talk`` are the ids of those that came to nothing. With ``hide_chatter`` they are left out, and their count is told."""
    width = fit(width)
    shown = [note for note in view.notes if not (hide_chatter and note.id in talk)]
    title = f"Session {view.session.id} · {view.session.job or 'no job'} · {saying.counted(len(view.notes), 'note')}"
    lines = wrapped(title, width, tone="heading")
    for note in shown:
        lines += _note_lines(note, view, talk, width)
    hidden = len(view.notes) - len(shown)
    if hidden:
        lines += wrapped(f"{saying.counted(hidden, 'note')} without a value or an open item not shown.", width, tone="faint")
    return lines


def _note_lines(note: StoredNote, view: SessionView, talk: Set[int], width: int) -> list[Line]:
    when = saying.clock(note.note.start) if note.note.start is not None else "typed"
    words = note.note.text or "(speech that could not be read; its sound is kept)"
    made = [f"entry {stored.id}" for stored in view.entries if note.position in stored.entry.notes and not stored.struck]
    made += [f"open item {item.item.id}" for item in view.items if note.id in item.notes]
    marks = ["struck"] if note.struck else made
    tone = "faint" if note.struck or note.id in talk else "unsure" if note.note.unheard else "plain"
    return wrapped(f"{note.position + 1:>4}  {when:>7}  {words}" + (f"  [{', '.join(marks)}]" if marks else ""), width, hang=15, tone=tone)
