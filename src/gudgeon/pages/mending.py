"""Changes by hand from a page: what a form says, held against the entry as it stands, becomes corrections in the record."""

from __future__ import annotations

from collections.abc import Mapping

from gudgeon.domain import BadInput
from gudgeon.pages.house import House
from gudgeon.pages.views import entry_view, seen
from gudgeon.record import Record, StoredEntry
from gudgeon.session import mend_entry, mend_words, strike_entry, strike_talk, undo_entry, undo_strike, undo_words

TORQUE = "torque-"


def changes_of(stored: StoredEntry, form: Mapping[str, str]) -> list[tuple[str, str, int]]:
    """The fields of a form that differ from the entry, as (field, text, which); torques from the last to the first, so that places stay."""
    shown = entry_view(stored)
    if form.get("sure", "").isdigit():  # a value that was a guess, or heard unsurely, is set to what it is: a hand has said so
        return [("torque", value.typed, value.which or 0) for value in shown.values if str(value.which) == form["sure"]]
    changes = [(name, form[name], 0) for name, _, value in shown.fields if name in form and form[name].strip() != value]
    for value in reversed([value for value in shown.values if value.which is not None]):
        text = form.get(f"{TORQUE}{value.which}")
        if text is not None and text.strip() != value.typed:
            changes.append(("torque", text, value.which or 0))
    count = len(stored.entry.torques)
    if form.get(f"{TORQUE}new", "").strip():
        changes.insert(0, ("torque", form[f"{TORQUE}new"], count))
    return changes


def change_entry(house: House, record: Record, session: int, number: int, what: str, form: Mapping[str, str]) -> str:
    """Do what a form of an entry asks (``mend``, ``strike``, ``restore``, ``undo``); what was done, in words. Raises BadInput, MissingThing."""
    tools, stored = house.tools(record), record.entry(number)
    if stored.session != session:
        raise BadInput(f"Entry {number} is not of session {session}.", kept="Nothing was changed.")
    if what == "undo":
        undo_entry(tools, number)
        return f"The last change of entry {number} was taken back."
    if what in ("strike", "restore"):
        strike_entry(tools, number, struck=what == "strike")
        return f"Entry {number} was {'struck; it stays, and counts no more' if what == 'strike' else 'restored'}."
    if form.get("seen") != seen(stored):
        raise BadInput(
            f"Entry {number} was changed elsewhere since this page was shown.",
            kept="It was not changed, and what you typed is still in the form.",
            next_step="Load the page again to see it, then change it.",
        )
    changes = changes_of(stored, form)
    if not changes:
        return f"Nothing of entry {number} was changed."
    mended = mend_entry(tools, house.units, number, changes)
    verdicts = ", ".join(f"{value.words}: {value.code}" if value.code else value.words for value in entry_view(mended).values)
    return f"Entry {number} now reads {verdicts or entry_view(mended).name}."


def change_note(house: House, record: Record, session: int, number: int, what: str, form: Mapping[str, str]) -> str:
    """Do what a form of a note asks (``words``, ``undo``); what was done, in words. Raises BadInput, MissingThing."""
    if number not in [note.id for note in record.notes(session)]:
        raise BadInput(f"Note {number} is not of session {session}.", kept="Nothing was changed.")
    if what == "undo":
        undo_words(house.tools(record), session, number)
        return "The last change of the words was taken back."
    mend_words(house.tools(record), session, number, form.get("text", ""))
    return "The words were changed and read again."


def change_talk(house: House, record: Record, session: int, what: str) -> str:
    """Strike the notes of a session that came to nothing, or with ``back`` bring those back; in words. Raises BadInput, MissingThing."""
    record.session(session)
    if what == "strike":
        return f"{_notes(strike_talk(house.tools(record), session))} struck; they stay, and can be brought back."
    return f"{_notes(len(undo_strike(house.tools(record), session)))} brought back."


def _notes(count: int) -> str:
    return f"{count} {'note was' if count == 1 else 'notes were'}"
