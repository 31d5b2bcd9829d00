"""Tools with their size."""

from __future__ import annotations

from dataclasses import dataclass

from gudgeon.domain import Tool
from gudgeon.facts.things import Thing
from gudgeon.facts.wordset import word_set
from gudgeon.facts.work import Work

SIZED = frozenset({"socket", "wrench", "hex key", "hexalobular", "crowfoot", "drill", "tap", "screwdriver", "extension", "adapter"})
SIZE_MAY_FOLLOW = frozenset({"socket", "wrench", "hex key", "hexalobular", "crowfoot", "drill", "tap"})
BY_DRIVE = frozenset({"torque wrench", "breaker bar", "extension", "adapter", "impact driver"})
"""Tools whose inch size is the square that drives them, no size of their own."""
METRIC_SIZES = (2, 75)
TOOLS_AHEAD = 3
"""Later tools that may set an earlier one right."""
BETWEEN = word_set("af a/f whit deep long short impact thin ring open combination big little thin-wall size six twelve point half-moon hex and old")


@dataclass(frozen=True, slots=True)
class Sized:
    """A tool with the token of its size."""

    thing: Thing
    size: float | None = None
    unit: str | None = None
    figure: int | None = None
    first: int = 0
    last: int = 0


def find_tools(work: Work) -> list[Tool]:
    """All tools used, each said once; none in a question or among things to buy."""
    found = [_read(work, thing) for thing in work.of_kind("tool") if not _refused(work, thing)]
    found += _lone_stars(work, found)
    found = [item for item in _corrected(work, found) if item.size is not None or item.thing.row.phrase != "hex"]
    return [_fact(work, item) for item in _once(sorted(found, key=lambda item: item.thing.start))]


def _refused(work: Work, thing: Thing) -> bool:
    scopes, note = work.scopes, work.note
    if scopes.bought[thing.start] or scopes.asked[thing.start] or scopes.chatter[thing.start]:
        return True
    before = note.norms[max(0, thing.start - 3) : thing.start]
    if note.norms[thing.start : thing.end] == ["press"] and not _is_workshop_press(work, thing):
        return True
    return any(word in ("no", "without", "not") for word in before)


def _is_workshop_press(work: Work, thing: Thing) -> bool:
    """A press is a tool where something is pressed or it has so many tons; else it may be the machine itself."""
    note = work.note
    if any(word in ("ton", "tons", "tonne", "used", "using", "with") for word in note.norms[max(0, thing.start - 4) : thing.start]):
        return True
    return any(v.row.phrase in ("pressed", "pressing") for v in work.verbs)


def _read(work: Work, thing: Thing) -> Sized:
    plain = Sized(thing, first=thing.start, last=thing.end)
    kind = thing.row["tool"]
    if kind not in SIZED and kind not in BY_DRIVE:
        return plain
    at = _size_before(work, thing)
    sized = _sized(work, thing, at, thing.start) if at is not None else None
    if sized is None and kind in SIZE_MAY_FOLLOW:
        at = _size_after(work, thing)
        sized = _sized(work, thing, at, thing.end) if at is not None else None
    return sized or plain


def _size_before(work: Work, thing: Thing) -> int | None:
    """The figure of a size said in front: "nine sixteenths socket", "seventeen mil deep socket", "m twelve tap"."""
    note, at = work.note, thing.start - 1
    while at >= 0 and (note.starting("descriptions", at) or note.norms[at] in BETWEEN or note.starting("fillers", at)) and thing.start - at <= 3:
        if note.kinds[at] == "figure":
            break
        at -= 1
    if at >= 0 and note.kinds[at] == "unit":
        at -= 1
        if at > 0 and note.norms[at] in ("a", "of", "an"):
            at -= 2
    return at if at >= 0 and note.kinds[at] in ("figure", "thread", "star") else None


def _size_after(work: Work, thing: Thing) -> int | None:
    note, at = work.note, thing.end
    while at < len(note.tokens) and note.norms[at] in (",", ":", "size", "(", "of", "the"):
        at += 1
    if at >= len(note.tokens) or note.kinds[at] not in ("figure", "star") or at - thing.end > 2:
        return None
    quantity = work.quantities.get(at)
    if note.kinds[at] == "star":
        return at
    if quantity is None or (quantity.unit not in ("mm", "in") and note.word(at - 1) != "size"):
        return None
    follower = note.word(quantity.end)
    return None if follower in ("long", "deep", "thick", "of", "wide") or any(t.start == quantity.end for t in work.things) else at


def _sized(work: Work, thing: Thing, at: int, end: int) -> Sized | None:
    read = size_of(work, thing.row["tool"], at)
    if read is not None and _counts_tools(work, thing, at):
        return None
    if read is None or (thing.row["tool"] in BY_DRIVE and read[1] == "in"):
        return None
    quantity = work.quantities.get(at)
    last = quantity.end if quantity else at + 1
    work.used.update(range(at, last))
    return Sized(thing, *read, figure=at, first=min(at, thing.start), last=max(last, thing.end))


def _counts_tools(work: Work, thing: Thing, at: int) -> bool:
    """ "with two spanners": how many, no size."""
    figure, quantity = work.note.tokens[at], work.quantities.get(at)
    plain = quantity is not None and quantity.family is None and figure.value is not None and figure.value <= 4
    return plain and at < thing.start and work.note.norms[thing.end - 1].endswith("s")


def size_of(work: Work, kind: str, at: int) -> tuple[float, str] | None:
    """Size and its unit for a figure, thread or star at a token, as a size of this kind of tool."""
    token = work.note.tokens[at]
    if token.kind == "star":
        return (token.value, "T") if token.value is not None and kind in ("hexalobular", "socket", "screwdriver", "hex key") else None
    if token.thread is not None:
        return _thread_size(kind, token.thread.diameter_mm, token.thread.per_inch)
    quantity = work.quantities.get(at)
    figure = token.figure
    if quantity is None or figure is None or quantity.unsure or quantity.low is not None:
        return None
    if quantity.unit == "in" or (quantity.family is None and figure.form in ("fraction", "mixed")):
        return round(quantity.value, 6), "in"
    if quantity.unit == "mm" and kind in ("wrench", "socket", "crowfoot") and quantity.value < METRIC_SIZES[0]:
        return None
    if quantity.unit == "mm":
        return quantity.value, "mm"
    if kind == "hexalobular" and quantity.family is None:
        return quantity.value, "T"
    if (
        quantity.family is None
        and kind in SIZE_MAY_FOLLOW
        and METRIC_SIZES[0] <= quantity.value <= METRIC_SIZES[1]
        and figure.form in ("cardinal", "decimal")
    ):
        return quantity.value, "mm"
    return None


def _thread_size(kind: str, diameter_mm: float | None, per_inch: float | None) -> tuple[float, str] | None:
    if kind not in ("tap", "drill") or diameter_mm is None:
        return None
    return (round(diameter_mm / 25.4, 6), "in") if per_inch else (diameter_mm, "mm")


def _lone_stars(work: Work, found: list[Sized]) -> list[Sized]:
    """ "used a T30": the size alone names the tool."""
    taken = {item.figure for item in found}
    row = work.note.lexicon.star_row
    stars = []
    for at, kind in enumerate(work.note.kinds):
        if kind == "star" and at not in taken and not work.scopes.bought[at] and not work.scopes.asked[at] and at not in work.taken.by:
            stars.append(Sized(Thing("tool", at, at + 1, row), work.note.tokens[at].value, "T", at, at, at + 1))
    return stars


def _corrected(work: Work, found: list[Sized]) -> list[Sized]:
    """ "seventeen mil spanner no sorry nineteen mil": the last size holds."""
    kept = []
    for item in found:
        if _taken_back(work, item, found):
            continue
        new = work.taken.by.get(item.figure) if item.figure is not None else None
        if new is None:
            kept.append(item)
            continue
        if any(other.figure == new for other in found):
            continue
        read = size_of(work, item.thing.row["tool"], new)
        if read is None and item.unit and work.note.tokens[new].value is not None:
            read = (float(work.note.tokens[new].value or 0), item.unit)
        if read is not None:
            work.used.add(new)
            quantity = work.quantities.get(new)
            last = quantity.end if quantity else new + 1
            kept.append(Sized(item.thing, *read, figure=new, first=min(item.thing.start, new), last=max(last, item.thing.end)))
    return kept


def _taken_back(work: Work, item: Sized, found: list[Sized]) -> bool:
    """ "nineteen mil socket sixty newton metres no hang about seventeen mil socket": a later size of the same tool right behind a correction."""
    after = [other for other in found if other.first >= item.last][:TOOLS_AHEAD] if item.size is not None else []
    for other in after:
        if other.thing.row["tool"] != item.thing.row["tool"] or other.size is None:
            continue
        cues = [h for h in work.note.hits.get("corrections", ()) if item.last <= h.start and 0 <= other.first - h.end <= 2]
        if cues and work.note.sentence[item.first] == work.note.sentence[other.first]:
            return True
    return False


def _once(found: list[Sized]) -> list[Sized]:
    kept: list[Sized] = []
    for item in found:
        twin = next((k for k in kept if k.thing.row["tool"] == item.thing.row["tool"] and (k.size in (None, item.size) or item.size is None)), None)
        if twin is None:
            kept.append(item)
        elif twin.size is None and item.size is not None:
            kept[kept.index(twin)] = item
    return kept


def _fact(work: Work, item: Sized) -> Tool:
    row = item.thing.row
    return Tool(
        tool=row["tool"],
        size=item.size,
        size_unit=item.unit,
        span=work.note.span(item.first, item.last),
        rule=f"tools:word (tools.csv row {row.line})",
    )
