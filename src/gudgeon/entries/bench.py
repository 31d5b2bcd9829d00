"""The state of a session half understood: its entries, the values that wait for a name, and how a value is put into an entry."""

from __future__ import annotations

from dataclasses import dataclass, field, replace

from gudgeon.domain import Angle, AngleDone, Condition, Measure, SizeMeasured, ToolUsed, Torque, TorqueDone
from gudgeon.entries.drafts import Draft, add_rest, copy_of, same_torque, take_fastener
from gudgeon.entries.ledger import Ledger
from gudgeon.entries.opens import Fault
from gudgeon.entries.spoken import Mention, Scene
from gudgeon.entries.stations import Station
from gudgeon.entries.vocabulary import Vocabulary

SOON = 2
"""How many notes later a value is said again with its unit."""
NEAR = 8
"""How many notes back a joint that still lacks its torque may be taken up by a value that names nothing."""


_BACK_TO_IT = ("redo", "on it", "count", "done", "both", "correct", "correct start", "back", "confirm", "same", "partial", "open")
_GOING_ON = frozenset(("and", "then", "plus", "so", "but", "until", "till"))
_MEANT = frozenset(("those", "them", "it", "they", "that", "all", "each", "every", "both", "apiece", "finish", "final", "finally", "more", "pair"))
"""Words of a note that go on with the joint worked on, or point back to it."""
_HEADING = 5
"""Words before a colon that can be a name, at most."""
_SAME = 1e-6
_POINTING = frozenset(("that", "this"))


@dataclass(frozen=True, slots=True)
class Waiting:
    """A torque or turn whose joint was not named yet; ``forward`` when the speaker said that the name comes next."""

    value: TorqueDone | AngleDone
    note: int
    forward: bool
    why: str | None = None
    """Why it was not put to the joint worked on."""


@dataclass(frozen=True, slots=True)
class Figure:
    """A figure without a unit that ended a note about a fastened joint: a torque if the next note is a unit."""

    draft: Draft
    value: TorqueDone
    note: int
    led: bool = False
    """Whether "to" or "at" stood before it."""


@dataclass(frozen=True, slots=True)
class Inherited:
    """The last torque that named no joint and was put into the current one."""

    draft: Draft
    value: TorqueDone
    note: int
    bolted: bool = False
    """Whether fasteners were named with it, and only their part was not."""


@dataclass(slots=True)
class Section:
    """What heads the parts named after it: a place by itself, or a part with its place; with the joints told under it.

    ``note`` is the last note it held, ``opened`` its first, ``twin`` the heading of the same part at another place that was spoken of before.
    """

    part: tuple[str, ...]
    place: str
    note: int
    opened: int
    twin: Section | None = None
    joints: list[Draft] = field(default_factory=list)


@dataclass(frozen=True, slots=True)
class Asked:
    """The joint whose value was asked for by name, and in which note."""

    draft: Draft
    note: int


@dataclass(frozen=True, slots=True)
class Kept:
    """A tool said to be kept: on which parts (any when empty), and whether up to the last of them."""

    tool: ToolUsed
    note: int
    parts: tuple[tuple[str, ...], ...] = ()
    until: bool = False


class Bench:
    """What is known while notes are read one after another."""

    def __init__(self, words: Vocabulary) -> None:
        self.words = words
        self.ledger = Ledger(words)
        self.waiting: list[Waiting] = []
        self.kept_for: tuple[int, Mention] | None = None
        """What a tool was said to be kept for in a note that said nothing else, and that note."""
        self.inherited: Inherited | None = None
        self.figure: Figure | None = None
        self.asked: Draft | None = None
        self.section: Section | None = None
        self.sections: list[Section] = []
        self.before: Draft | None = None
        """The joint that was worked on when the note being read began."""
        self.bare: dict[Mention, Draft] = {}
        """What the fasteners that the note being read names by themselves stand for: its other joints do not change that."""
        self.headed: tuple[int, str] | None = None
        """The last note that was nothing but words no list knows, by its number, and the words: they may head what follows."""
        self.doubt: str | None = None
        """Words that may have named another joint, since the last one that was named for sure."""
        self.new_scene = False
        """Whether another job was begun and no joint of it was named yet."""
        self.asked_now: Asked | None = None
        self.kept: Kept | None = None
        self.last_tool: ToolUsed | None = None
        self.named_together: list[Draft] = []
        """Joints that one note named before any of them got its value, so that a value alone is no one's."""
        self.station: Station | None = None
        self.faults: list[Fault] = []
        self.newly: list[Draft] = []
        """Joints that got their first value in the note being read."""

    def joint(self, mention: Mention, note: int, *, alone: bool = False) -> Draft:
        """The draft of a mention, found or opened, with what the mention adds."""
        bare = not (mention.part or mention.place or mention.size or alone)
        draft = (self.bare.get(mention) if bare else None) or self.ledger.find(mention, note=note, alone=alone)
        if draft is None:
            draft = self.ledger.open(replace(mention, fastener=None) if alone else mention, note=note)
        elif not alone and mention.fastener is not None:
            known = replace(mention.fastener, count=None) if mention.rest and draft.turned else mention.fastener
            take_fastener(draft, known, some=mention.some)
            if mention.rest:
                add_rest(draft, mention.fastener, note)
        if mention.place and draft.part and set((draft.place or "").split()) < set(mention.place.split()) and not (draft.place and draft.turned):
            self.ledger.rename(draft, part=draft.part, place=mention.place)
        draft.state = draft.state or mention.state
        draft.job = draft.job or mention.job
        self.ledger.touch(draft)
        if bare:
            self.bare[mention] = draft
        return draft

    def target(self, scene: Scene, at: int, *, earlier: bool = False) -> Draft | None:
        """The joint a value at a character of the note belongs to that names none, or None when it is not clear.

        It is the one worked on; ``earlier`` when what the note names is another one, told after the value.
        """
        first = scene.mentions[0].start if scene.mentions else at
        before = earlier or scene.sentence(at) < scene.sentence(first)
        current = self.before if self.before and before else self.ledger.current
        if current is None or self.new_scene or self.doubt or is_of_next(scene) or scene.has("lost"):
            return None
        if not before and self.headed_by_unknown(scene, at):
            return None
        if scene.has("pointing") and current.turned and not (earlier or scene.has("redo") or scene.mentions):
            return None  # "140 Nm this one's had", behind a joint that has its value: another one, which nobody but the speaker sees
        if current in self.named_together and not any(d.turned for d in self.named_together):
            return None
        if not before and not earlier and _is_of_another(current, scene):
            return None
        if current.put_off and not current.turned and not scene.has("redo", "on it") and scene.index - current.opened <= 1:
            return None  # "silencer bolts want ninety, but not till after dinner", and then "twenty five there"
        if not (current.is_part_alone or current.aside or self.ledger.lies_between(current)):
            going_on = scene.has("redo") or any(getattr(f, "stage", None) for f in scene.facts)
            return None if current.complete and current.turned and not going_on and not scene.has("on it") else current
        same = [d for d in self.ledger.same_part(current.part, current.place) if not d.is_part_alone and not d.aside]
        if same:
            return same[0]
        if scene.has("on it"):
            return current
        lacking = [d for d in self.ledger.drafts[-NEAR:] if d.fastener and not d.turned and scene.index - d.opened <= NEAR and not d.left_undone]
        if len(lacking) == 1 and current.place and lacking[0].part == current.part and not lacking[0].place and scene.tokens[0].norm in _POINTING:
            draft = copy_of(lacking[0], part=current.part, place=current.place, note=scene.index)  # "rail number four was loose", "that one's …"
            draft.count = None
            return self.ledger.add(draft)
        return lacking[-1] if len(lacking) == 1 else None

    def headed_by_unknown(self, scene: Scene, at: int) -> bool:
        """Whether words that no list knows stand before a colon and a value: "tailplane front attachment: 160 in-lb" is not the joint before."""
        led = [t for t in scene.tokens if t.end <= at]
        colon = next((i for i in range(len(led) - 1, -1, -1) if led[i].norm == ":"), None)
        if colon is None:
            return False
        here = scene.sentence(led[colon].start)
        heading = [t for t in led[:colon] if t.kind == "word" and scene.sentence(t.start) == here]
        covered = any(f.span[0] < led[colon].start and f.span[1] > heading[0].start for f in scene.facts) if heading else True
        unknown = [t for t in heading if not self.words.role("word", t.norm) and t.norm not in self.words.places]
        return bool(unknown) and not covered and len(heading) <= _HEADING

    def add_torque(self, draft: Draft, done: TorqueDone, why: str, *, again: bool = False) -> None:
        """Put a torque into an entry, unless it only repeats one that stands there."""
        note = done.note if done.note is not None else draft.opened
        bare = next((t for t in draft.torques if t.unit is None and done.unit and t.value == done.value and note - (t.note or 0) <= SOON), None)
        if bare is not None:
            draft.torques[draft.torques.index(bare)] = done
            draft.step(note, f"{said(done)}, {why}")
            return
        earlier = [t for t in draft.torques if done.stage and t.stage == done.stage and abs(t.value - done.value) > _SAME and t.note != done.note]
        if len(earlier) == 1 and not again and not draft.complete and done.unit in (None, earlier[0].unit):
            self._replace_stage(draft, earlier[0], done, note)
            return
        twin = next((t for t in draft.torques if same_torque(t, done)), None)
        if twin is not None and not again:
            if done.angle_deg and not twin.angle_deg:
                draft.torques[draft.torques.index(twin)] = replace(twin, angle_deg=done.angle_deg, angle_heard=done.angle_heard)
            draft.step(note, f"{said(done)} said again")
        else:
            self.newly += [draft] if not draft.turned else []
            draft.torques.append(done)
            draft.step(note, f"{said(done)}, {why}")
            if done.replaces is not None:
                draft.history.append(f"note {note + 1}: {done.replaces:g} was said first and taken back for {said(done)}")
        self.ledger.touch(draft)

    def _replace_stage(self, draft: Draft, old: TorqueDone, done: TorqueDone, note: int) -> None:
        """ "Head went to 26 at stage 2", where 24 stands: a joint has one second stage."""
        scaled = old.nm * done.value / old.value if old.nm is not None and old.value else None
        new = replace(done, unit=done.unit or old.unit, nm=done.nm if done.unit else scaled, replaces=old.value)
        draft.torques[draft.torques.index(old)] = new
        draft.history.append(f"note {note + 1}: {said(old)} was said anew as {said(new)}")
        draft.step(note, f"{said(new)} in place of {said(old)}")
        self.ledger.touch(draft)

    def add_angle(self, draft: Draft, done: AngleDone, why: str) -> None:
        """Put a turn into an entry."""
        note = done.note if done.note is not None else draft.opened
        self.newly += [draft] if not draft.turned else []
        draft.angles.append(done)
        draft.step(note, f"a turn of {done.angle_deg:g} degrees, {why}")
        self.ledger.touch(draft)

    def add_measure(self, draft: Draft, fact: Measure, note: int) -> None:
        """Put a measured size into an entry."""
        size = SizeMeasured(quantity=fact.quantity, value=fact.value, unit=fact.unit, heard=fact.heard, note=note)
        if not any((m.quantity, m.value, m.unit) == (size.quantity, size.value, size.unit) for m in draft.measures):
            draft.measures.append(size)
        draft.step(note, f"{fact.quantity or 'size'} {fact.value:g} {fact.unit}")

    def add_condition(self, draft: Draft, fact: Condition, note: int) -> None:
        """Put a condition into an entry."""
        if fact.condition not in draft.conditions:
            draft.conditions.append(fact.condition)
        draft.step(note, f"found {fact.condition}")
        if fact.condition != "good":
            self.faults.append(Fault(note, fact.condition, draft))

    def wait(self, value: TorqueDone | AngleDone, scene: Scene) -> None:
        """Keep a value until a joint is named for it."""
        self.waiting.append(Waiting(value, scene.index, is_of_next(scene) or scene.has("pointing"), self._why_not(scene)))

    def _why_not(self, scene: Scene) -> str | None:
        """Why a value that names no joint is not put to the one worked on; None when there is none."""
        current = self.ledger.current
        if self.doubt:
            return f"“{self.doubt}” may name one"
        if current is None:
            return None
        if scene.has("lost"):
            return "it was not told which it was"
        if self.headed_by_unknown(scene, scene.tokens[-1].start):
            return "the words before the colon may name one"
        if is_of_next(scene):
            return "it was said of what comes next"
        if (scene.has("pointing") and current.turned) or _is_of_another(current, scene):
            return f"{current.name()} has its value, and which one was meant was not told"
        if self.new_scene:
            return "another job was begun"
        if current in self.named_together:
            return "several joints were named together"
        if current.complete and current.turned:
            return f"{current.name()} was said to be all done"
        return f"{current.name()} was only taken off, looked at or measured"

    def give_up(self) -> None:
        """Values that waited in vain become entries without a part, which say so."""
        for draft in self.unplaced():
            self.ledger.add(draft)
        self.waiting.clear()

    def unplaced(self) -> list[Draft]:
        """What the values that still wait would become if no joint is named any more; one entry a note."""
        drafts: list[Draft] = []
        for waiting in self.waiting:
            if not drafts or drafts[-1].opened != waiting.note:
                why = f"no joint was named for {said(waiting.value)}, in note {waiting.note + 1} or near it"
                why += f"; {waiting.why}" if waiting.why else ""
                drafts.append(Draft(opened=waiting.note, unclear=why))
            values = drafts[-1].torques if isinstance(waiting.value, TorqueDone) else drafts[-1].angles
            values.append(waiting.value)  # type: ignore[arg-type]
            drafts[-1].step(waiting.note, f"{said(waiting.value)}, no joint named")
        return drafts

    def give_kept_tool(self) -> None:
        """A tool said to be kept goes with the joints turned in this note that it was kept for and that named no tool."""
        kept = self.kept
        for draft in self.newly:
            if kept is None or draft.tool is not None or draft.opened < kept.note or not draft.part:
                continue
            named = any(self.ledger.part_of(" ".join(p)) == self.ledger.part_of(draft.part) for p in kept.parts)
            if kept.parts and not named and not kept.until:
                continue
            draft.tool = kept.tool
            draft.step(kept.note, "the tool was said to be kept")
            if kept.until and named:
                self.kept = None
        self.newly.clear()


def _is_of_another(current: Draft, scene: Scene) -> bool:
    """Whether a value said by itself is likely of a joint still to be named: the one worked on has its value, and nothing points back to it."""
    if not current.torques or scene.mentions or any(t.note == scene.index for t in current.torques):
        return False
    told = {f.value for f in scene.facts if isinstance(f, Torque)}
    if told & {t.value for t in current.torques}:
        return False  # "eighty newton metres, I mean"
    if scene.has(*_BACK_TO_IT) or any(getattr(f, "stage", None) for f in scene.facts):
        return False
    return scene.tokens[0].norm not in _GOING_ON and not any(t.norm in _MEANT for t in scene.tokens)


def is_of_next(scene: Scene) -> bool:
    """Whether a value was said of what comes next; a tool that is kept "for the next lot" was not."""
    kept = [c.at for c in scene.cues if c.sense == "keep"]
    return any(c.sense == "next" and not any(at <= c.at for at in kept) for c in scene.cues)


def torque_done(fact: Torque, note: int) -> TorqueDone:
    """A torque fact as it stands in an entry."""
    return TorqueDone(
        value=fact.value,
        unit=fact.unit,
        nm=fact.nm,
        angle_deg=fact.angle_deg,
        stage=fact.stage,
        hedged=fact.hedged,
        low=fact.low,
        high=fact.high,
        replaces=fact.replaces,
        mended=fact.mended,
        heard=fact.heard,
        angle_heard=fact.angle_heard,
        note=note,
    )


def angle_done(fact: Angle, note: int) -> AngleDone:
    """An angle fact as it stands in an entry."""
    return AngleDone(angle_deg=fact.angle_deg, stage=fact.stage, heard=fact.heard, note=note)


def said(value: TorqueDone | AngleDone) -> str:
    """A value in words, for explanations."""
    if isinstance(value, AngleDone):
        return f"{value.angle_deg:g} degrees"
    unit = value.unit.replace("*", "·") if value.unit else "(unit not said)"
    stage = f", stage {value.stage}" if value.stage else ""
    return f"{value.value:g} {unit}{stage}"
