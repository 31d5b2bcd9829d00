"""A part under which others are spoken of: one set up to be measured, or an assembly whose joints are told one by one."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field, replace

from gudgeon.entries.drafts import Draft, copy_of, means, words_of
from gudgeon.entries.ledger import Ledger
from gudgeon.entries.mentions import Scene

_ENDS = frozenset(("torque", "angle", "fastener"))


@dataclass(slots=True)
class Station:
    """The part set up, its number, the note that said so, and the sizes measured under it."""

    part: tuple[str, ...]
    place: str
    note: int
    measured: list[Draft] = field(default_factory=list)


def station_after(scene: Scene, station: Station | None) -> Station | None:
    """The station that holds after a note's names were read: a new one, the old one, or none once something is fastened."""
    if any(f.kind in _ENDS for f in scene.facts):
        return None
    if any(f.kind in {"measure", "condition", "question"} for f in scene.facts) or scene.same_at is not None:
        return station
    numbered = [m for m in scene.mentions if m.part and (m.place or "").startswith("number")]
    return Station(words_of(numbered[-1].part), numbered[-1].place or "", scene.index) if numbered else station


def copy_station(scene: Scene, station: Station | None, ledger: Ledger) -> Station | None:
    """ "Number two cylinder the same": every size measured at the last station, at the new one too; None when that is not what was said."""
    if station is None or not station.measured:
        return None
    target = next((m for m in scene.mentions if m.part and m.place and means(words_of(m.part), station.part) and m.place != station.place), None)
    if target is None or target.place is None:
        return None
    moved = Station(station.part, target.place, scene.index)
    for source in station.measured:
        draft = ledger.add(copy_of(source, part=source.part, place=target.place, note=scene.index))
        draft.measures.extend(replace(m, note=scene.index) for m in source.measures)
        draft.step(scene.index, f"said to be the same as {source.name()}")
        moved.measured.append(draft)
    return moved


@dataclass(frozen=True, slots=True)
class Assembly:
    """What a note opened with before a colon and a place of it ("sweep 1: hanger bolt, tie rod nut"), with the joints named under it."""

    part: tuple[str, ...]
    place: str
    joints: tuple[Draft, ...]


def assembly_of(scene: Scene, ledger: Ledger) -> Assembly | None:
    """The assembly that a note is about, or None when it names none."""
    first = next(iter(scene.mentions), None)
    after = next((t.norm for t in scene.tokens if first and t.start >= first.end and t.figure is None), "")
    if first is None or not first.part or not first.place or first.fastener or after != ":":
        return None
    parts = {words_of(m.part) for m in scene.mentions if m.part} - {words_of(first.part)}
    joints = tuple(d for d in ledger.recent() if scene.index in d.notes and d.place == first.place and words_of(d.part) in parts)
    return Assembly(words_of(first.part), first.place, joints) if joints else None


def copy_assembly(scene: Scene, known: Sequence[Assembly], ledger: Ledger) -> Assembly | None:
    """ "Sweep 2 the same": every joint of the last such assembly, at the new place too; None when that is not what was said."""
    target = next((m for m in scene.mentions if m.part and m.place), None)
    name = words_of(target.part) if target else ()
    model = next((a for a in reversed(known) if means(name, a.part) and target and a.place != target.place), None)
    if target is None or target.place is None or model is None:
        return None
    copies: list[Draft] = []
    for source in model.joints:
        draft = ledger.add(copy_of(source, part=source.part, place=target.place, note=scene.index))
        draft.torques.extend(replace(t, note=scene.index, heard=(), replaces=None) for t in source.torques)
        draft.angles.extend(replace(a, note=scene.index) for a in source.angles)
        draft.step(scene.index, f"said to be the same as {source.name()}")
        ledger.current = draft
        copies.append(draft)
    return Assembly(model.part, target.place, tuple(copies))
