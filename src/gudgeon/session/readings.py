"""Other readings of a note become other values of its facts: a torque that the sound may hold as another figure says so itself."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from itertools import product

from gudgeon.domain import Fact, OtherReading, Reading, Torque

Read = Callable[[str], tuple[Fact, ...]]


def with_other_readings(text: str, facts: tuple[Fact, ...], others: Sequence[Reading], read: Read) -> tuple[Fact, ...]:
    """The facts of ``text``, each torque with the values that stand in its place in the other texts, most likely first.

    Texts are compared from both ends; what differs between is the place, and so is a torque that ends where one of the other text does. As
    many values there as here are taken in their order, else each may stand for each. Only values that differ count, each once.
    """
    found: dict[int, list[OtherReading]] = {}
    for other in others:
        start, end = changed(text, other.text)
        theirs = [f for f in read(other.text) if isinstance(f, Torque) and _touches(f, start, len(other.text) - end)]
        ends = {len(other.text) - f.span[1] for f in theirs}
        ours = [
            (at, f) for at, f in enumerate(facts) if isinstance(f, Torque) and (_touches(f, start, len(text) - end) or len(text) - f.span[1] in ends)
        ]
        pairs = zip(ours, theirs, strict=True) if len(ours) == len(theirs) else product(ours, theirs)
        for (at, fact), their in pairs:
            if (their.value, their.unit) != (fact.value, fact.unit):
                found.setdefault(at, []).append(OtherReading(their.value, their.unit, other.odds))
    return tuple(_heard(fact, found[at]) if found.get(at) else fact for at, fact in enumerate(facts))


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


def _touches(fact: Torque, start: int, end: int) -> bool:
    """Whether a torque lies in the stretch, or right beside it ("pretty eight foot pounds" for "thirty eight foot pounds")."""
    return fact.span[0] <= end + 1 and start <= fact.span[1] + 1


def _heard(fact: Fact, others: Sequence[OtherReading]) -> Fact:
    ranked = sorted(others, key=lambda other: other.odds, reverse=True)
    once = {(other.value, other.unit): other for other in reversed(ranked)}
    return replace(fact, heard=tuple(sorted(once.values(), key=lambda other: other.odds, reverse=True))) if isinstance(fact, Torque) else fact
