"""Questions, guesses, work left, things to buy and faults: the open items that notes raise, each joined when it was said twice."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace

from gudgeon.domain import Assumption, Buy, OpenItem, Part, Question, ReadNote, Todo
from gudgeon.entries.drafts import Draft, words_of

_KINDS = {Question: "question", Assumption: "verify", Todo: "todo"}


@dataclass(frozen=True, slots=True)
class Fault:
    """A bad condition, in which note it was found, and the joint or part it was found at."""

    note: int
    condition: str
    draft: Draft


def raise_items(notes: Sequence[ReadNote], faults: Iterable[Fault], guessed: Mapping[int, str | None]) -> tuple[OpenItem, ...]:
    """The open items of a session, in the order of their notes; the note of the first time they were said is kept.

    ``guessed`` gives, for a note with a guessed value, the part that the value was put to.
    """
    raised = [item for index, note in enumerate(notes) for item in _of_note(index, note, guessed.get(index))]
    raised += [OpenItem(kind="fault", text=f"{f.draft.name()}: {f.condition}", note=f.note, part=f.draft.part) for f in faults]
    joined: dict[tuple[str, frozenset[str]], OpenItem] = {}
    for item in sorted(raised, key=lambda i: i.note or 0):
        key = (item.kind, frozenset(words_of(item.text.replace(":", " "))))
        known = joined.get(key)
        if known is None:
            joined[key] = item
        elif item.count is not None and item.count > (known.count or 0):
            joined[key] = replace(known, count=item.count)
    return tuple(joined.values())


def _of_note(index: int, note: ReadNote, guessed: str | None) -> list[OpenItem]:
    items: list[OpenItem] = []
    for fact in note.facts:
        if isinstance(fact, Buy):
            items.append(OpenItem(kind="buy", text=fact.item, note=index, count=fact.count))
        elif isinstance(fact, (Question, Assumption, Todo)):
            inside = (f.name for f in note.facts if isinstance(f, Part) and fact.span[0] <= f.span[0] < fact.span[1])
            part = guessed if isinstance(fact, Assumption) else next(inside, None)
            items.append(OpenItem(kind=_KINDS[type(fact)], text=fact.text.strip() or note.text.strip(), note=index, part=part))
    return items
