"""Other readings of a note become other values of its facts: a figure that the sound may hold as another one says so itself."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace
from itertools import product

from gudgeon.domain import Angle, Buy, Fact, Fastener, Measure, OtherName, OtherReading, Reading, Tool, Torque

Read = Callable[[str], tuple[Fact, ...]]
Figured = Torque | Angle | Tool | Fastener | Measure | Buy
KINDS = (Torque, Angle, Tool, Fastener, Measure, Buy)
Figure = tuple[float | str, str | None]
Other = OtherReading | OtherName


def with_other_readings(text: str, facts: tuple[Fact, ...], others: Sequence[Reading], read: Read) -> tuple[Fact, ...]:
    """The facts of ``text``, each figure (a torque and its angle, an angle, the size of a tool, the count, thread, grade and
    length of fasteners, a count to buy, a measure) with those that stand in its place in the other texts, most likely first.

    Texts are compared from both ends; what differs between is the place, and so is a torque that ends where one of the other text does. As
    many facts of a kind there as here are taken in their order. Else each torque may stand for each, and other kinds are left alone: there a
    doubt about one that is none would be worse than none. Only figures that differ count, each once.
    """
    found: dict[tuple[int, str], list[Other]] = {}
    for other in others:
        place = (*changed(text, other.text), text, other.text)
        theirs = read(other.text)
        for kind in KINDS:
            for at, field, (value, unit) in _instead(kind, facts, theirs, place):
                reading = OtherName(value, other.odds) if isinstance(value, str) else OtherReading(value, unit, other.odds)
                found.setdefault((at, field), []).append(reading)
    changes: dict[int, dict[str, tuple[Other, ...]]] = {}
    for (at, field), readings in found.items():
        changes.setdefault(at, {})[field] = _ranked(readings)
    return tuple(replace(fact, **changes.get(at, {})) for at, fact in enumerate(facts))  # type: ignore[arg-type]


def changed(text: str, other: str) -> tuple[int, int]:
    """How many characters are alike at the start and at the end; a stretch that differs begins and ends with a word."""
    start = next((n for n, (a, b) in enumerate(zip(text, other, strict=False)) if a != b), min(len(text), len(other)))
    most = min(len(text), len(other)) - start
    end = next((n for n in range(most) if text[-1 - n] != other[-1 - n]), most)
    while start and text[start - 1].isalnum():
        start -= 1
    while end and text[len(text) - end].isalnum():
        end -= 1
    return start, end


def _instead(
    kind: type[Figured], facts: Sequence[Fact], others: Sequence[Fact], place: tuple[int, int, str, str]
) -> Iterator[tuple[int, str, Figure]]:
    """For each fact of a kind whose figure is another one in the other text: its place in the facts, the field for it, and that figure."""
    start, end, text, other = place
    theirs = [f for f in others if isinstance(f, kind) and _touches(f, start, len(other) - end)]
    ends = {len(other) - f.span[1] for f in theirs} if kind is Torque else set()
    ours = [
        (at, f)
        for at, f in enumerate(facts)
        if isinstance(f, kind) and (_touches(f, start, len(text) - end) or len(text) - f.span[1] in ends)
    ]  # fmt: skip
    if len(ours) != len(theirs) and kind is not Torque:
        return
    for (at, fact), their in zip(ours, theirs, strict=True) if len(ours) == len(theirs) else product(ours, theirs):
        mine, its = _figures(fact), _figures(their)
        for field in mine.keys() & its.keys():
            if mine[field] != its[field] and (field != "angle_heard" or mine["heard"] == its["heard"]):
                yield at, field, its[field]


def _figures(fact: Figured) -> dict[str, Figure]:
    """The figures of a fact, by the field that holds others for them. What was not said has none."""
    if isinstance(fact, Torque):
        angle: dict[str, Figure] = {} if fact.angle_deg is None else {"angle_heard": (fact.angle_deg, "deg")}
        return {"heard": (fact.value, fact.unit), **angle}
    if isinstance(fact, Angle):
        return {"heard": (fact.angle_deg, "deg")}
    if isinstance(fact, Tool):
        return {} if fact.size is None else {"heard": (fact.size, fact.size_unit)}
    if isinstance(fact, Fastener):
        sizes = {
            "heard": (fact.count and float(fact.count), None),
            "thread_heard": (fact.thread, None),
            "grade_heard": (fact.grade, None),
            "length_heard": (fact.length_mm, "mm"),
        }
        return {field: (value, unit) for field, (value, unit) in sizes.items() if value is not None}
    if isinstance(fact, Buy):
        return {} if fact.count is None else {"heard": (float(fact.count), None)}
    return {"heard": (fact.value, fact.unit)}


def _touches(fact: Fact, start: int, end: int) -> bool:
    """Whether a fact lies in the stretch, or right beside it ("pretty eight foot pounds" for "thirty eight foot pounds")."""
    return fact.span[0] <= end + 1 and start <= fact.span[1] + 1


def _ranked(others: Sequence[Other]) -> tuple[Other, ...]:
    """Each once, the most likely first."""
    ranked = sorted(others, key=lambda other: other.odds, reverse=True)
    once = {(other.name,) if isinstance(other, OtherName) else (other.value, other.unit): other for other in reversed(ranked)}
    return tuple(sorted(once.values(), key=lambda other: other.odds, reverse=True))
