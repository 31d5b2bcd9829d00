"""A part set up to be measured, under which the sizes of others are spoken of."""

from __future__ import annotations

from dataclasses import dataclass, field, replace

from gudgeon.entries.drafts import Draft, copy_of, means, words_of
from gudgeon.entries.ledger import Ledger
from gudgeon.entries.spoken import Scene

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
