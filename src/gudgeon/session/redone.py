"""Whether a note says that a joint was done anew. An earlier session's value is then superseded, and no clash."""

from __future__ import annotations

import csv
import re
from collections.abc import Sequence

from gudgeon.domain import Action, BadTable, Entry, Fact, Part, Question, ReadNote

GAP = 6
"""How many words may stand at the … of a wording: "torqued the left head nuts again"."""
NOT_DONE = ("todo", "not done")
Span = tuple[int, int]


class Redone:
    """The wordings of the table ``redone.csv``: words in order, ``*`` for any ending, ``…`` for a few words between."""

    def __init__(self, lines: Sequence[str]) -> None:
        """``lines`` is the table with the columns said, source. Raises BadTable when the first is missing or a wording is empty."""
        said = [(row.get("said") or "").split() for row in csv.DictReader(lines)]
        if not said or not all(said):
            raise BadTable("The table of words for a joint done anew lacks wordings in its column said.")
        self._pattern = re.compile("|".join(_pattern(words) for words in said), re.IGNORECASE)

    def joint(self, entry: Entry, notes: Sequence[ReadNote]) -> bool:
        """Whether a note of the entry says that its joint was done anew: not that it is to be, was not, or that another part was."""
        return any(self._of(entry, notes[at]) for at in entry.notes if at < len(notes))

    def _of(self, entry: Entry, note: ReadNote) -> bool:
        return any(not _left_undone(found.span(), note.facts) and _nearest(found.span(), note, entry) for found in self._pattern.finditer(note.text))


def _pattern(words: Sequence[str]) -> str:
    gap = rf"(?:[\s-]+[\w'’.,]+){{0,{GAP}}}?"
    text = ""
    for word in words:
        text += gap if word == "…" else (r"[\s-]+" if text else "") + re.escape(word).replace(r"\*", r"\w*")
    return rf"\b{text}\b"


def _left_undone(span: Span, facts: Sequence[Fact]) -> bool:
    """Whether the words are of something to do later, something not done, or a question."""
    for fact in facts:
        touches = fact.span[0] < span[1] and span[0] < fact.span[1]
        if touches and (isinstance(fact, Question) or (isinstance(fact, Action) and fact.status in NOT_DONE)):
            return True
    return False


def _nearest(span: Span, note: ReadNote, entry: Entry) -> bool:
    """Whether the part named nearest to the words is the entry's; a note that names none speaks of the joint worked on."""
    parts = [fact for fact in note.facts if isinstance(fact, Part)]
    if not parts:
        return True
    near = min(parts, key=lambda part: max(part.span[0] - span[1], span[0] - part.span[1], 0))
    return entry.part is not None and (near.name == entry.part or near.name in entry.part.split() or entry.part in near.name)
