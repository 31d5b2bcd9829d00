"""Facts of several notes → entries: walks the notes in order and keeps track of which joint is spoken of."""

from __future__ import annotations

import operator
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from functools import partial

from gudgeon.domain import Angle, Entry, OpenItem, Question, ReadNote, Torque
from gudgeon.entries.afterthoughts import add_unit, last_figure, take_back, take_bare, take_repeated
from gudgeon.entries.bench import Asked, Bench
from gudgeon.entries.copies import copy_joints
from gudgeon.entries.corrections import correct
from gudgeon.entries.endings import both_known, rest_of_known, take_counts, take_thread
from gudgeon.entries.lines import Line, line_reader
from gudgeon.entries.naming import name_joints
from gudgeon.entries.opens import raise_items
from gudgeon.entries.pairs import copy_to_twin
from gudgeon.entries.pieces import parted, pieces
from gudgeon.entries.place_corrections import correct_place
from gudgeon.entries.placing import place_turn, place_values
from gudgeon.entries.sameness import same_cue, without_model
from gudgeon.entries.scenes import asked_mention, build_scene
from gudgeon.entries.sections import copy_section, remember_joints, under_section
from gudgeon.entries.spoken import AS, TOWARDS, Mention, Scene
from gudgeon.entries.stations import copy_station, station_after
from gudgeon.entries.tools import take_compounds, take_tools
from gudgeon.entries.vocabulary import Cue, Vocabulary, load_vocabulary
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
            for piece in (piece for part in parted(note) for piece in pieces(part)):
                if piece.text.strip():
                    _take(build_scene(index, piece, self.words, self.line(piece.text), walk.bench.ledger), walk.bench)
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
    bench.bare.clear()
    _remember_question(scene, bench)
    if (
        add_unit(scene, bench)
        or take_back(scene, bench)
        or take_bare(scene, bench)
        or not (scene.facts or scene.cues or scene.mentions or scene.unknown)
    ):
        return
    scene = both_known(rest_of_known(under_section(scene, bench), bench), bench)
    bench.new_scene = (bench.new_scene or (scene.has("scene") and not scene.has("keep"))) and not any(m.part or m.fastener for m in scene.mentions)
    if correct_place(scene, bench) or correct(scene, bench):
        return
    scene = _of_the_asked(scene)
    scene = _of_its(_of_the_kept(_under_unknown(scene, bench), bench), bench)
    bench.before = bench.ledger.current
    bench.doubt = None if any(m.part or m.place for m in scene.mentions) else scene.unknown or bench.doubt
    if bench.doubt:
        scene = replace(scene, mentions=tuple(replace(m, stranger=m.stranger or bench.doubt) if m.fastener else m for m in scene.mentions))
    cue = same_cue(scene)
    if cue is not None:
        scene = _take_model(replace(scene, same_at=scene.tokens[cue.at].start), cue, bench)
    if cue is None or not _copy(scene, cue, bench):
        scene = without_model(scene, cue) if cue else scene
        bench.station = station_after(scene, bench.station)
        name_joints(scene, bench)
    settle_waiting(scene, bench)
    _place(scene, bench)
    take_repeated(scene, bench)
    bench.give_kept_tool()
    take_counts(scene, bench)
    take_thread(scene, bench)
    copy_to_twin(scene, bench)
    bench.figure = last_figure(scene, bench)
    remember_joints(scene, bench)


def _under_unknown(scene: Scene, bench: Bench) -> Scene:
    """ "Burn pot." and then "1 bolt, 16 Nm": words that are all a note says name the joint, when the next one begins with fasteners alone."""
    headed, bench.headed = bench.headed, (scene.index, scene.unknown) if scene.unknown and not scene.facts else None
    first = scene.mentions[0] if scene.mentions else None
    if headed is None or first is None or headed[0] != scene.index - 1 or first.fastener is None:
        return scene
    alone = len([m for m in scene.mentions if m.part or m.place or m.fastener]) == 1 and not (first.part or first.place)
    if not alone or scene.unknown or first.fastener.count is None or first.fastener.span[0] != scene.tokens[0].start:
        return scene
    return replace(scene, mentions=(replace(first, part=headed[1], firm=True, stranger=None), *scene.mentions[1:]))


def _of_the_kept(scene: Scene, bench: Bench) -> Scene:
    """ "Keeping that socket on for the right bracket", and then "six bolts there too": the bolts of what the tool was kept for."""
    waiting, bench.kept_for = bench.kept_for, None
    alone = scene.has("keep") and len(scene.asides) == 1 and scene.asides[0].part and not scene.mentions
    if alone and not any(f.kind in {"torque", "angle", "fastener"} for f in scene.facts):
        bench.kept_for = (scene.index, scene.asides[0])
        return scene
    first = scene.mentions[0] if scene.mentions else None
    if waiting is None or waiting[0] != scene.index - 1 or first is None or len(scene.mentions) > 1:
        return scene
    if first.part or first.place or first.fastener is None or first.fastener.count is None or first.some:
        return scene
    return replace(scene, mentions=(replace(first, part=waiting[1].part, place=waiting[1].place),))


def _of_the_asked(scene: Scene) -> Scene:
    """ "Not sure what the gearbox lid wants, but all six screws have had 22": the fasteners of the part that was only asked about before."""
    first, asked = (scene.mentions[0] if scene.mentions else None), (scene.asides[0] if len(scene.asides) == 1 else None)
    if first is None or asked is None or len(scene.mentions) > 1 or first.part or first.place or first.fastener is None or asked.part is None:
        return scene
    if asked.start > first.start or not any(isinstance(f, Torque) and f.part == asked.part for f in scene.facts):
        return scene
    return replace(scene, mentions=(replace(first, part=asked.part, place=asked.place),))


def _of_its(scene: Scene, bench: Bench) -> Scene:
    """ "Big end clearance is eleven thou", and then "its two bolts are back in": those of the part spoken of in the note before."""
    first = scene.mentions[0] if scene.mentions else None
    if first is None or first.part or first.place or first.fastener is None or scene.tokens[0].norm != "its" or len(scene.mentions) > 1:
        return scene
    spoken = [d for d in bench.ledger.drafts if d.part and scene.index - 1 in d.notes]
    if len({(d.part, d.place) for d in spoken}) != 1:
        return scene
    return replace(scene, mentions=(replace(first, part=spoken[0].part, place=spoken[0].place),))


def _place(scene: Scene, bench: Bench) -> None:
    """The values, compounds and tools of a note whose joints were named."""
    measured = place_values(scene, bench)
    joint = bench.ledger.current
    take_compounds(scene, bench, measured, joint)
    take_tools(scene, bench, measured, joint)


def _copy(scene: Scene, cue: Cue, bench: Bench) -> bool:
    """What "the same" was said of, copied: the sizes of a station, the joints under a heading, or one joint; False when nothing was."""
    moved = copy_station(scene, bench.station, bench.ledger)
    if moved is not None:
        bench.station = moved
        return True
    bench.station = station_after(scene, bench.station)
    return copy_section(scene, bench) or copy_joints(scene, cue, bench)


def _take_model(scene: Scene, cue: Cue, bench: Bench) -> Scene:
    """What a note says before "the same": "eight newton metres and the same for the cover". The rest of the note remains."""
    at = scene.same_at or 0
    in_model = _model_of(scene, cue, at)
    if in_model is not None:
        facts, mentions = tuple(f for f in scene.facts if in_model(f.span[0])), tuple(m for m in scene.mentions if in_model(m.start))
        model = replace(scene, facts=facts, mentions=mentions, same_at=None)
        name_joints(model, bench)
        _place(model, bench)
        return replace(scene, facts=tuple(f for f in scene.facts if f not in facts), mentions=tuple(m for m in scene.mentions if m not in mentions))
    told = _told_there(scene, at)
    if told is not None:
        place_turn(replace(told, part=None, place=None), replace(scene, mentions=()), bench)
        return replace(scene, facts=tuple(f for f in scene.facts if f is not told))
    if any(m.start < at for m in scene.mentions):
        return scene
    early = tuple(f for f in scene.facts if isinstance(f, (Torque, Angle)) and f.span[1] <= at)
    for fact in early:
        place_turn(fact, scene, bench)
    return replace(scene, facts=tuple(f for f in scene.facts if f not in early))


def _told_there(scene: Scene, at: int) -> Torque | None:
    """ "7 Nm there, and the east bracket's had the very same": a value before all that is named, which is of the joint worked on."""
    torques = [f for f in scene.facts if isinstance(f, Torque) and f.span[1] <= at]
    first = next((m for m in scene.mentions if m.part or m.place or m.fastener), None)
    if len(torques) != 1 or first is None or not torques[0].span[1] < first.start < at:
        return None
    between = scene.between(torques[0].span[1], first.start)
    return torques[0] if "there" in between and "and" in between else None


def _model_of(scene: Scene, cue: Cue, at: int) -> Callable[[int], bool] | None:
    """Which places of a note, by their characters, tell of the model of "the same" alone; None when nothing does.

    These are its earlier sentences; or all before "the same" when the joint that gets it is named after it ("8 Nm on the lid, same on the cover");
    or a joint with its value before the next joint ("left pedal 35 Nm, and the right pedal likewise").
    """
    torques = [f for f in scene.facts if isinstance(f, Torque) and f.span[1] <= at]
    told_here = any(scene.sentence(f.span[0]) == scene.sentence(at) for f in torques)  # "collar 4 Nm. Left arm 14 Nm, right ditto"
    if not told_here and any(scene.sentence(f.span[0]) < scene.sentence(at) for f in torques):
        named_here = [m for m in scene.mentions if m.start < at and (m.part or m.fastener or m.place)]
        last = scene.sentence(named_here[-1].start) if named_here else 0
        bare = not any(scene.sentence(m.start) == scene.sentence(at) for m in scene.mentions)
        if bare and any(scene.sentence(f.span[0]) < last for f in torques) and not any(scene.sentence(f.span[0]) == last for f in torques):
            return lambda start: scene.sentence(start) < last  # "return line flange. Identical."
        return lambda start: scene.sentence(start) < scene.sentence(at)
    named = sorted((m for m in scene.mentions if m.part or m.fastener or m.place), key=lambda m: m.start)
    before, after = [m for m in named if m.start < at], [m for m in named if m.start > at]
    as_model = any(token.norm in AS for token in scene.tokens[cue.end - 1 : cue.end + 1])
    if torques and before and after and not as_model:
        return partial(operator.gt, at)
    for torque in reversed(torques):
        later = [m for m in before if m.start >= torque.span[1]]
        if later and any(t.norm in TOWARDS for t in scene.tokens if torque.span[1] <= t.start < later[0].start):
            own, later = True, later[1:]
        else:
            own = any(_is_said_of(m, torque) and m.start < torque.span[0] for m in before)
        if own and later:
            return partial(operator.gt, later[0].start)
    return None


def _is_said_of(mention: Mention, torque: Torque) -> bool:
    """Whether a torque was read with a mention's part, or with none beside a fastener of its own."""
    if torque.part is None:
        return mention.fastener is not None
    return mention.part == torque.part and torque.place in (None, mention.place)


def _remember_question(scene: Scene, bench: Bench) -> None:
    if any(isinstance(f, Question) for f in scene.facts):
        mention = asked_mention(scene)
        bench.asked = bench.joint(mention, scene.index) if mention else bench.ledger.current
        asks_value = any(t.figure for t in scene.tokens) or not _ASKING.isdisjoint(t.norm for t in scene.tokens)
        bench.asked_now = Asked(bench.asked, scene.index) if mention and bench.asked and asks_value else None
