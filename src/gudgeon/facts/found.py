"""A fastener while it is being read, and which mentions are of the same one."""

from __future__ import annotations

from dataclasses import dataclass, replace

from gudgeon.facts.things import Thing


@dataclass(slots=True)
class Found:
    """A fastener being read; ``first`` is the first token of all that was said of it."""

    thing: Thing
    first: int
    last: int
    part: str | None
    count: int | None = None
    thread: str | None = None
    length_mm: float | None = None
    grade: str | None = None


def said_once(found: list[Found]) -> list[Found]:
    """A repeated mention is the same fastener unless its part, count or thread differ."""
    kept: list[Found] = []
    for item in found:
        twin = next((k for k in kept if _same(k, item)), None)
        if twin is None:
            kept.append(item)
            continue
        kept[kept.index(twin)] = replace(
            twin,
            count=twin.count or item.count,
            thread=twin.thread or item.thread,
            length_mm=twin.length_mm or item.length_mm,
            grade=twin.grade or item.grade,
            part=twin.part or item.part,
        )
    return kept


def _own(plain: Found, fixed: Found) -> bool:
    """ "clapper pivot pin … split pin": one named after its part, and one that has a name of its own."""
    return plain.thing.row["fixed"] == "no" and plain.part is not None and fixed.thing.row.words[0] not in plain.part.split()


def _same(a: Found, b: Found) -> bool:
    if a.thing.row["fastener"] != b.thing.row["fastener"] or (a.thing.row["fixed"] != b.thing.row["fixed"] and (_own(a, b) or _own(b, a))):
        return False
    if a.thing.row["fixed"] == "yes" and b.thing.row["fixed"] == "yes" and a.thing.row.phrase != b.thing.row.phrase:
        return False
    for mine, theirs in ((a.part, b.part), (a.count, b.count), (a.thread, b.thread)):
        if mine is not None and theirs is not None and mine != theirs:
            return False
    return True
