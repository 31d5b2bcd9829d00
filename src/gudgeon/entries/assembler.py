"""Facts of several notes → entries: walks the notes in order and keeps track of which joint is spoken of."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace

from gudgeon.domain import Action, Angle, AngleDone, Condition, Entry, Fact, Measure, OpenItem, Question, ReadNote, Todo, Torque, TorqueDone
from gudgeon.entries.bench import NEAR, Bench, Inherited, angle_done, said, torque_done
from gudgeon.entries.copies import copy_joints, same_cue
from gudgeon.entries.corrections import correct
from gudgeon.entries.drafts import Draft, words_of
from gudgeon.entries.endings import take_counts, take_thread
from gudgeon.entries.lines import Line, line_reader
from gudgeon.entries.mentions import Mention, Scene, link
from gudgeon.entries.opens import raise_items
from gudgeon.entries.pairs import copy_to_twin
from gudgeon.entries.scenes import asked_mention, build_scene, live_values
from gudgeon.entries.stations import copy_station, station_after
from gudgeon.entries.tools import take_compounds, take_tools
from gudgeon.entries.vocabulary import Vocabulary, load_vocabulary
from gudgeon.notes import Token, read_tokens
from gudgeon.units import UnitWords

_PATIENCE = 3
"""How many notes a value waits for its joint."""


@dataclass(frozen=True, slots=True)
class Assembler:
    """Puts entries together; made once from the room's tables, then used for any number of sessions."""

    words: Vocabulary
    line: Callable[[str], Line]

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
        return tuple(draft.entry() for draft in bench.ledger.drafts if draft.says_something)

    def open_items(self, notes: Sequence[ReadNote]) -> tuple[OpenItem, ...]:
        """The questions, guesses (``verify``), todos, things to buy and faults that a session raises, in order; ``note`` is the note's index."""
        return raise_items(notes, self._go_through(notes).faults)

    def _go_through(self, notes: Sequence[ReadNote]) -> Bench:
        bench = Bench(self.words)
        for index, note in enumerate(notes):
            if note.text.strip():
                _take(build_scene(index, note, self.words, self.line(note.text), bench.ledger), bench)
        bench.give_up()
        return bench


def _take(scene: Scene, bench: Bench) -> None:
    """One note."""
    scene = replace(scene, mentions=tuple(m for m in scene.mentions if m.part or m.fastener or m.size or bench.ledger.knows_place(m.place)))
    _remember_question(scene, bench)
    if not scene.facts and not scene.cues and not scene.mentions:
        return
    if correct(scene, bench):
        return
    before = bench.ledger.current
    cue = same_cue(scene)
    if cue is not None:
        scene = replace(scene, same_at=scene.tokens[cue.at].start)
        scene = _place_model(scene, bench)
    moved = copy_station(scene, bench.station, bench.ledger) if cue else None
    bench.station = moved or station_after(scene, bench.station)
    if moved is None and (cue is None or not copy_joints(scene, cue, bench)):
        _name_joints(scene, bench)
    _settle_waiting(scene, bench)
    measured = _place_values(scene, bench)
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
        _place_turn(fact, scene, bench)
    return replace(scene, facts=tuple(f for f in scene.facts if f not in early))


def _remember_question(scene: Scene, bench: Bench) -> None:
    if any(isinstance(f, Question) for f in scene.facts):
        mention = asked_mention(scene)
        bench.asked = bench.joint(mention, scene.index) if mention else bench.ledger.current


def _name_joints(scene: Scene, bench: Bench) -> None:
    """Open the joints that a note names, and make the one it is about the current one."""
    drafts: list[tuple[Mention, Draft]] = []
    for mention in scene.mentions:
        if mention.size or not (mention.firm or mention.fastener):
            continue
        if not mention.part and not mention.fastener and not _speaks(scene):
            continue
        if not _only_faults(mention, scene):
            draft = bench.joint(mention, scene.index)
            drafts.append((mention, draft))
            if mention.part or mention.fastener:
                draft.step(scene.index, f"names {draft.name()}")
            bench.ledger.current = draft
    if scene.has("both"):
        for _, draft in drafts:
            draft.each = draft.place is None
    named = [d for m, d in drafts if m.fastener] or [d for _, d in drafts]
    if named:
        bench.ledger.current = named[0] if not any(d.fastener for d in named) else named[-1]
    undone = any(isinstance(f, Action) and f.status in {"todo", "not done"} for f in scene.facts) or any(isinstance(f, Todo) for f in scene.facts)
    for draft in named:
        draft.left_undone = undone and not draft.turned


def _speaks(scene: Scene) -> bool:
    return bool(scene.facts) or scene.has("back", "same", "open")


def _only_faults(mention: Mention, scene: Scene) -> bool:
    """Whether a part is named only for a size or fault of its own, so that no fastened joint is opened."""
    if mention.fastener is not None or any(f.kind in {"torque", "angle"} for f in scene.facts):
        return False
    values = [f for f in live_values(scene) if (link(f, scene) or mention).part == mention.part]
    return bool(values) and not any(f.kind in {"fastener"} for f in scene.facts)


def _settle_waiting(scene: Scene, bench: Bench) -> None:
    """Values that waited go to the joint named now, when the words allow it; a value put into the current joint may be claimed back."""
    mention = next((m for m in scene.mentions if m.part or m.fastener or m.place), None)
    claims = scene.has("names last")
    own = any(isinstance(f, Torque) for f in scene.facts)
    if bench.waiting:
        forward = all(w.forward for w in bench.waiting)
        if mention and (claims or ((forward or scene.has("names waiting")) and not own)):
            draft = bench.joint(mention, scene.index)
            for waiting in bench.waiting:
                _put(draft, replace(waiting.value, note=waiting.note), bench, f"named in note {scene.index + 1}")
            draft.step(scene.index, "names the joint of the value before")
            bench.waiting.clear()
            bench.ledger.current = draft
        elif scene.mentions or own or scene.index - bench.waiting[0].note >= _PATIENCE:
            bench.give_up()
    elif claims and mention and bench.inherited and not own and scene.index - bench.inherited.note <= _PATIENCE:
        _claim(bench.joint(mention, scene.index), scene, bench)


def _claim(draft: Draft, scene: Scene, bench: Bench) -> None:
    """Move the last value, which had named no joint, to the one it was meant for."""
    last = bench.inherited
    if last is None or draft is last.draft or last.value not in last.draft.torques:
        return
    last.draft.torques.remove(last.value)
    last.draft.history.append(f"note {scene.index + 1}: {said(last.value)} turned out to belong to {draft.name()}")
    bench.add_torque(draft, last.value, f"named in note {scene.index + 1}")
    draft.step(scene.index, "names the joint of the value before")
    bench.inherited = None
    bench.ledger.current = draft


def _put(draft: Draft, value: TorqueDone | AngleDone, bench: Bench, why: str) -> None:
    if isinstance(value, TorqueDone):
        bench.add_torque(draft, value, why)
    else:
        bench.add_angle(draft, value, why)


def _place_values(scene: Scene, bench: Bench) -> list[Draft]:
    """Every value of a note goes to its joint; gives back the entries of sizes measured in it."""
    measured: list[Draft] = []
    for fact in live_values(scene):
        if isinstance(fact, (Torque, Angle)):
            if not scene.has("untouched"):
                _place_turn(fact, scene, bench)
        elif isinstance(fact, Measure):
            draft = _place_measure(fact, scene, bench)
            measured.extend([draft] if draft else [])
        elif isinstance(fact, Condition):
            _place_condition(fact, scene, bench)
    return measured


def _place_turn(fact: Torque | Angle, scene: Scene, bench: Bench) -> None:
    value = torque_done(fact, scene.index) if isinstance(fact, Torque) else angle_done(fact, scene.index)
    mention = link(fact, scene) or _named_last(scene)
    if mention is not None:
        draft = bench.joint(mention, scene.index)
        _put(draft, value, bench, "its joint was named in the same note")
        bench.ledger.current = draft
        if draft.part is None and draft.unclear is None:
            draft.unclear = f"{said(value)} was said of the {draft.fastener or 'joint'}, and no part was named"
        return
    draft_or_none = _answered(fact, scene, bench) or bench.target(scene)
    if draft_or_none is None:
        bench.wait(value, scene)
        return
    _put(draft_or_none, value, bench, f"no joint named, so the one being worked on: {draft_or_none.name()}")
    bench.ledger.current = draft_or_none
    if isinstance(value, TorqueDone):
        bench.inherited = Inherited(draft_or_none, value, scene.index)


def _named_last(scene: Scene) -> Mention | None:
    """The joint named after the value: "60 Nm. That's what the drop arm nut has had"."""
    return next((m for m in scene.mentions if m.part or m.fastener), None) if scene.has("names last") else None


def _answered(fact: Torque | Angle, scene: Scene, bench: Bench) -> Draft | None:
    """The joint that a value said to be the answer belongs to: the one asked about, else the only one that still lacks its torque."""
    if not isinstance(fact, Torque) or not scene.has("answer"):
        return None
    asked, bench.asked = bench.asked, None
    if asked is not None:
        return asked
    lacking = [d for d in bench.ledger.drafts[-NEAR:] if d.fastener and not d.turned and not d.left_undone]
    return lacking[0] if len(lacking) == 1 else None


def _place_measure(fact: Measure, scene: Scene, bench: Bench) -> Draft | None:
    mention = link(fact, scene)
    current = bench.ledger.current
    if mention is None:
        if current is None or current.part is None:
            return None
        mention = Mention(*fact.span, part=current.part, place=current.place)
    elif not mention.part and current is not None and mention.place is None:
        mention = replace(mention, part=current.part, place=current.place)
    station = bench.station
    under = station is not None and mention.part is not None and mention.place is None and words_of(mention.part) != station.part
    if station is not None and under:
        mention = replace(mention, place=station.place)
    draft = bench.joint(replace(mention, fastener=None, size=None), scene.index, alone=True)
    if draft.part is None:
        return None
    if station is not None and under and draft not in station.measured:
        station.measured.append(draft)
        draft.step(station.note, f"under {' '.join(station.part)} {station.place}")
    bench.add_measure(draft, fact, scene.index)
    bench.ledger.current = draft
    return draft


def _place_condition(fact: Condition, scene: Scene, bench: Bench) -> None:
    mention = link(fact, scene)
    role = bench.words.role("condition", fact.condition)
    current = bench.ledger.current
    if mention is None or not (mention.part or mention.fastener or mention.place):
        if current is not None:
            alone = role == "part" and current.part is not None
            draft = bench.joint(Mention(*fact.span, part=current.part, place=current.place), scene.index, alone=True) if alone else current
            bench.add_condition(draft, fact, scene.index)
        return
    on_fastener = mention.fastener is not None and (role != "part" or _right_before(mention, fact, scene))
    if not on_fastener and role == "thread":
        joint = bench.ledger.find(replace(mention, fastener=None), note=scene.index)
        on_fastener = joint is not None
    draft = bench.joint(mention if on_fastener else replace(mention, fastener=None), scene.index, alone=not on_fastener)
    bench.add_condition(draft, fact, scene.index)
    bench.ledger.current = draft


def _right_before(mention: Mention, fact: Fact, scene: Scene) -> bool:
    """Whether a fault is said of the fastener itself: "the union is weeping"."""
    fastener = mention.fastener
    return fastener is not None and fastener.span[1] <= fact.span[0] and len(scene.between(fastener.span[1], fact.span[0])) <= 3
