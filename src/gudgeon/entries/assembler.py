"""Facts of several notes → entries: walks the notes in order and keeps track of which joint is spoken of."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field, replace

from gudgeon.domain import Angle, Entry, OpenItem, Question, ReadNote, Torque
from gudgeon.entries.afterthoughts import add_unit, take_back
from gudgeon.entries.bench import Asked, Bench
from gudgeon.entries.copies import copy_joints, same_cue
from gudgeon.entries.corrections import correct
from gudgeon.entries.endings import take_counts, take_thread
from gudgeon.entries.headings import under_heading
from gudgeon.entries.lines import Line, line_reader
from gudgeon.entries.mentions import Scene
from gudgeon.entries.naming import name_joints
from gudgeon.entries.opens import raise_items
from gudgeon.entries.pairs import copy_to_twin
from gudgeon.entries.place_corrections import correct_place
from gudgeon.entries.placing import place_turn, place_values
from gudgeon.entries.scenes import asked_mention, build_scene
from gudgeon.entries.stations import copy_station, station_after
from gudgeon.entries.tools import take_compounds, take_tools
from gudgeon.entries.vocabulary import Vocabulary, load_vocabulary
from gudgeon.entries.waiting import settle_waiting
from gudgeon.notes import Token, read_tokens
from gudgeon.units import UnitWords


@dataclass(frozen=True, slots=True)
class Assembler:
    """Puts entries together; made once from the room's tables, then used for any number of sessions."""

    words: Vocabulary
    line: Callable[[str], Line]
    _last: list[_Walk] = field(default_factory=list, repr=False, compare=False)
    """Where the last call got to: when a session has only grown since, the walk goes on from there."""

    @classmethod
    def from_tables(cls, tables: Mapping[str, Sequence[str]], units: UnitWords) -> Assembler:
        """From the lines of ``cues.csv``, ``places.csv`` and ``roles.csv``. Raises BadTable."""

        def read(text: str) -> Sequence[Token]:
            return read_tokens(text, units)

        words = load_vocabulary(tables, read)
        return cls(words, line_reader(words, read))

    def assemble(self, notes: Sequence[ReadNote]) -> tuple[Entry, ...]:
        """The entries of a session, in the order their joints were first spoken of. Linear in the number of notes; never raises."""
        bench = self._go_through(notes)
        return tuple(draft.entry() for draft in (*bench.ledger.drafts, *bench.unplaced()) if draft.says_something)

    def open_items(self, notes: Sequence[ReadNote]) -> tuple[OpenItem, ...]:
        """The questions, guesses (``verify``), todos, things to buy and faults that a session raises, in order; ``note`` is the note's index."""
        bench = self._go_through(notes)
        guessed = {torque.note: draft.part for draft in bench.ledger.drafts for torque in draft.torques if torque.hedged and torque.note is not None}
        return raise_items(notes, bench.faults, guessed)

    def _go_through(self, notes: Sequence[ReadNote]) -> Bench:
        try:
            walk = self._last.pop()
        except IndexError:
            walk = _Walk(Bench(self.words))
        if not walk.can_go_on(notes):
            walk = _Walk(Bench(self.words))
        for index in range(len(walk.notes), len(notes)):
            note = notes[index]
            walk.notes.append(note)
            if note.text.strip():
                _take(build_scene(index, note, self.words, self.line(note.text), walk.bench.ledger), walk.bench)
        self._last.append(walk)
        return walk.bench


_ASKING = frozenset(("what", "what's", "torque", "tight", "much", "many", "figure", "setting", "number", "value"))
"""Words of a question that a value answers."""


@dataclass(slots=True)
class _Walk:
    """How far a session was gone through, and what is known there."""

    bench: Bench
    notes: list[ReadNote] = field(default_factory=list)

    def can_go_on(self, notes: Sequence[ReadNote]) -> bool:
        """Whether the session begins with the very notes gone through."""
        return len(self.notes) <= len(notes) and all(old is new or old == new for old, new in zip(self.notes, notes, strict=False))


def _take(scene: Scene, bench: Bench) -> None:
    """One note."""
    _remember_question(scene, bench)
    if add_unit(scene, bench) or take_back(scene, bench) or (not scene.facts and not scene.cues and not scene.mentions):
        return
    scene = under_heading(scene, bench)
    bench.new_scene = (bench.new_scene or scene.has("scene")) and not any(m.part or m.fastener for m in scene.mentions)
    if correct(scene, bench) or correct_place(scene, bench):
        return
    before = bench.ledger.current
    cue = same_cue(scene)
    if cue is not None:
        scene = replace(scene, same_at=scene.tokens[cue.at].start)
        scene = _place_model(scene, bench)
    moved = copy_station(scene, bench.station, bench.ledger) if cue else None
    bench.station = moved or station_after(scene, bench.station)
    if moved is None and (cue is None or not copy_joints(scene, cue, bench)):
        name_joints(scene, bench)
    settle_waiting(scene, bench)
    measured = place_values(scene, bench)
    joint = bench.ledger.current
    take_compounds(scene, bench, measured, joint)
    take_tools(scene, bench, measured, joint)
    bench.give_kept_tool()
    take_counts(scene, bench, before)
    take_thread(scene, bench)
    copy_to_twin(scene, bench)


def _place_model(scene: Scene, bench: Bench) -> Scene:
    """Values said before "the same", of the joint worked on: "eight newton metres and the same for the cover". The rest of the note remains."""
    at = scene.same_at or 0
    if any(m.start < at for m in scene.mentions):
        return scene
    early = [f for f in scene.facts if isinstance(f, (Torque, Angle)) and f.span[1] <= at]
    for fact in early:
        place_turn(fact, scene, bench)
    return replace(scene, facts=tuple(f for f in scene.facts if f not in early))


def _remember_question(scene: Scene, bench: Bench) -> None:
    if any(isinstance(f, Question) for f in scene.facts):
        mention = asked_mention(scene)
        bench.asked = bench.joint(mention, scene.index) if mention else bench.ledger.current
        asks_value = any(t.figure for t in scene.tokens) or not _ASKING.isdisjoint(t.norm for t in scene.tokens)
        bench.asked_now = Asked(bench.asked, scene.index) if mention and bench.asked and asks_value else None
