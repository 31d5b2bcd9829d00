"""The reader: one note in, its facts out."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from gudgeon.domain import Fact
from gudgeon.facts.actions import find_actions
from gudgeon.facts.angles import find_angles
from gudgeon.facts.attach import give_parts
from gudgeon.facts.buys import make_buys, mark_purchases
from gudgeon.facts.compounds import find_compounds
from gudgeon.facts.conditions import find_conditions
from gudgeon.facts.drafts import AngleDraft, MeasureDraft, TorqueDraft
from gudgeon.facts.fasteners import find_fasteners
from gudgeon.facts.gate import speaks_of_work
from gudgeon.facts.hedges import read_hedges
from gudgeon.facts.lexicon import Lexicon
from gudgeon.facts.marks import find_marks
from gudgeon.facts.measures import find_measures
from gudgeon.facts.parts import find_parts
from gudgeon.facts.plans import make_todos, mark_plans
from gudgeon.facts.questions import make_questions, mark_questions
from gudgeon.facts.stages import find_stages, give_stages
from gudgeon.facts.tools import find_tools
from gudgeon.facts.torques import find_torques
from gudgeon.facts.work import Work, prepare
from gudgeon.notes import read_tokens
from gudgeon.units import UnitWords

PIECE, AROUND, LONGEST = 4_000, 250, 100_000
"""Characters read in one go, seen before and after them, and read at most; a longer note is no speech."""


@dataclass(frozen=True, slots=True)
class Reader:
    """Reads facts from notes; build it once with ``from_tables``."""

    lexicon: Lexicon
    units: UnitWords

    @classmethod
    def from_tables(cls, tables: Mapping[str, Sequence[str]], units: UnitWords) -> Reader:
        """Build from the lines of the rule tables (file stem → lines) and the house's unit words. Raises BadTable with the row."""
        return cls(Lexicon(tables), units)

    def read(self, text: str) -> tuple[Fact, ...]:
        """The facts of one note, in the order they were said; spans are offsets in ``text``. Never raises, on any text."""
        if len(text) <= PIECE:
            return self._read_piece(text)
        return tuple(fact for at in range(0, min(len(text), LONGEST), PIECE) for fact in self._around(text, at))

    def _around(self, text: str, at: int) -> Iterator[Fact]:
        """The facts that begin in one piece of a long text; what stands around it is seen too, so that no value is cut in two."""
        start = max(0, at - AROUND)
        for fact in self._read_piece(text[start : at + PIECE + AROUND]):
            if at <= fact.span[0] + start < at + PIECE:
                yield _moved(fact, start)

    def _read_piece(self, text: str) -> tuple[Fact, ...]:
        tokens = read_tokens(text, self.units)
        return _facts(prepare(text, tokens, self.lexicon, self.units)) if tokens else ()


def _moved(fact: Fact, by: int) -> Fact:
    return replace(fact, span=(fact.span[0] + by, fact.span[1] + by))


def _facts(work: Work) -> tuple[Fact, ...]:
    purchases = mark_purchases(work)
    questions = mark_questions(work)
    plans = mark_plans(work)
    torques = find_torques(work)
    stages = find_stages(work)
    angles = find_angles(work, torques, stages)
    tools = find_tools(work)
    fasteners = find_fasteners(work)
    measures = find_measures(work)
    values: list[TorqueDraft | AngleDraft] = [*torques, *angles]
    values.sort(key=lambda value: value.at)
    give_stages(work, stages, values)
    guessable: list[TorqueDraft | MeasureDraft] = [*torques, *measures]
    assumptions = read_hedges(work, sorted(guessable, key=lambda value: value.at))
    give_parts(work, [*values, *measures])
    facts: list[Fact] = [value.fact(work.note) for value in values]
    facts += [measure.fact(work.note) for measure in measures]
    facts += [*tools, *fasteners, *find_parts(work), *find_compounds(work), *find_actions(work), *find_conditions(work), *find_marks(work)]
    facts += [*make_questions(work, questions), *assumptions, *make_todos(work, plans), *make_buys(work, purchases)]
    return tuple(sorted(facts, key=lambda fact: fact.span)) if speaks_of_work(work, facts) else ()
