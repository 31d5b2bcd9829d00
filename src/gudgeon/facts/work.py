"""One note with everything the kinds look at: its phrases, things, names, actions and scopes."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from gudgeon.facts.corrections import Taken, find_taken_back
from gudgeon.facts.flags import Scopes
from gudgeon.facts.lexicon import Lexicon
from gudgeon.facts.marked import Marked, mark
from gudgeon.facts.names import Name, find_names, without_taken_back
from gudgeon.facts.passes import spread_passes
from gudgeon.facts.scopes import read_scopes
from gudgeon.facts.splits import COUNTERS, split_runs
from gudgeon.facts.things import Thing, find_things
from gudgeon.facts.verbs import Verb, find_verbs
from gudgeon.facts.wordset import word_set
from gudgeon.notes import Quantity, Token, grade_at, quantity_at
from gudgeon.units import UnitWords


@dataclass(slots=True)
class Work:
    """What the kinds share. ``quantities`` are all figures with their units, by first token; ``used`` marks figures that a fact has taken;
    ``torques_said`` are the quantities with a unit of torque; ``passes`` numbers the figures told in a row after "three passes".
    """

    note: Marked
    scopes: Scopes
    things: list[Thing]
    names: list[Name]
    verbs: list[Verb]
    quantities: dict[int, Quantity]
    taken: Taken
    units: UnitWords
    used: set[int] = field(default_factory=set)
    owners: dict[int, Quantity] = field(default_factory=dict)
    torques_said: list[Quantity] = field(default_factory=list)
    passes: dict[int, int] = field(default_factory=dict)

    def quantity_of(self, at: int) -> Quantity | None:
        """The quantity that a token belongs to."""
        return self.owners.get(at)

    def of_kind(self, kind: str) -> list[Thing]:
        """The things of one kind."""
        return [thing for thing in self.things if thing.kind == kind]


def prepare(text: str, tokens: Sequence[Token], lexicon: Lexicon, units: UnitWords) -> Work:
    """Everything that is found before the kinds are asked."""
    parted, told = spread_passes(text, tokens, units)
    note = mark(text, split_runs(parted), lexicon)
    scopes = read_scopes(note)
    things = find_things(note)
    passes = {at: told[token.start] for at, token in enumerate(note.tokens) if token.start in told and token.kind == "figure"}
    quantities = _quantities(note, passes)
    owners = {at: quantity for quantity in quantities.values() for at in range(quantity.at, quantity.end)}
    taken = find_taken_back(note, owners)
    verbs = find_verbs(note, things)
    names = without_taken_back(note, find_names(note, things, scopes))
    said = [quantity for quantity in quantities.values() if quantity.family == "torque" and quantity.unit]
    return Work(note, scopes, things, names, verbs, quantities, taken, units, owners=owners, torques_said=said, passes=passes)


def _is_count_to_value(note: Marked, quantity: Quantity) -> bool:
    """ "all six to thirty eight": a count and what they were brought to, no range."""
    if quantity.low is None or quantity.high is None or note.norms[quantity.at] == "between" or "to" not in note.norms[quantity.at : quantity.end]:
        return False
    return quantity.high > 2.5 * quantity.low or note.word(quantity.at - 1) in ("all", "both", "these", "those")


def _is_grade_and_value(note: Marked, quantity: Quantity) -> bool:
    """ "M16x70 12.9 - 210 Nm": the class of the bolts and a value, no range."""
    graded = note.kind(quantity.at - 1) == "thread" or note.word(quantity.at - 1) in ("grade", "class", "marked")
    return quantity.low is not None and graded and grade_at(note.tokens, quantity.at) is not None


CHANGING = word_set("changed raised increased dropped lowered reduced took taken went gone moved brought bumped altered upped changing raising")


def _changed_to(note: Marked, quantity: Quantity) -> int | None:
    """ "raised it from thirty to thirty five": where the figure behind the "to" stands, as this is no range."""
    if quantity.low is None or note.word(quantity.at - 1) != "from" or not CHANGING & set(note.norms[max(0, quantity.at - 10) : quantity.at - 1]):
        return None
    return next((at for at in range(quantity.end - 1, quantity.at, -1) if note.kinds[at] == "figure"), None)


def _is_label(note: Marked, at: int) -> bool:
    """Whether a figure only numbers something: "number one to twelve thou"."""
    if note.norms[at - 1] not in COUNTERS or note.kind(at + 1) == "unit" or note.word(at - 1) == "no":
        return False
    return note.norms[at - 1] == "number" or any(hit.end == at + 1 for hit in note.hits.get("stages", ()))


def _quantities(note: Marked, passes: Mapping[int, int]) -> dict[int, Quantity]:
    found: dict[int, Quantity] = {}
    at, size = 0, len(note.tokens)
    while at < size:
        if at and note.kinds[at] == "figure" and _is_label(note, at):
            at += 1
            continue
        if note.kinds[at] == "figure" or note.norms[at] == "between":
            quantity = quantity_at(note.tokens, at)
            if quantity is not None and quantity.low is not None and at in passes:
                quantity = quantity_at(note.tokens[: at + 1], at)
            if quantity is not None and (_is_count_to_value(note, quantity) or _is_grade_and_value(note, quantity)):
                at += 1
                continue
            if quantity is not None and (changed := _changed_to(note, quantity)):
                at = changed
                continue
            if quantity is not None:
                found[at] = quantity
                at = max(quantity.end, at + 1)
                continue
        at += 1
    return found
