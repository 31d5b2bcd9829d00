"""Fasteners with their count, thread, length, grade and head."""

from __future__ import annotations

from gudgeon.domain import Fastener
from gudgeon.facts.found import Found, said_once
from gudgeon.facts.lexicon import Hit
from gudgeon.facts.marked import Marked
from gudgeon.facts.names import Name
from gudgeon.facts.places import ROWS, is_numbering
from gudgeon.facts.things import Thing
from gudgeon.facts.wordset import word_set
from gudgeon.facts.work import Work
from gudgeon.notes import grade_at, series_name
from gudgeon.units import convert

COUNT_FORMS = frozenset({"cardinal", "count", "digits"})
HALVED = ("each", "other", "one", "first", "second", "coupling", "casing")
"""Words before a half that is one of two pieces."""
MOST_BUT_ONE = 40
"""Of a larger figure before "but one" it may be a value: "far anchor seventy five but one bolt's turning"."""
BOTH = frozenset({"both"})
AFTER_COUNT = word_set("of off in only total altogether all")
FAR = 14
HEADS = {"hex": "hex", "hexagon": "hex", "countersunk": "countersunk", "cap": "cap", "pan": "pan", "button": "button", "flange": "flange"}
INCH_FRACTIONS = {
    **{n / 16: f"{n}/16" for n in (1, 3, 5, 7, 9, 11, 13, 15)},
    **{n / 8: f"{n}/8" for n in (1, 3, 5, 7)},
    **{0.25: "1/4", 0.5: "1/2", 0.75: "3/4", 1.0: "1", 1.125: "1-1/8", 1.25: "1-1/4", 1.5: "1-1/2"},
}


def find_fasteners(work: Work) -> list[Fastener]:
    """All fasteners of a note, each said once; in things to buy there are none."""
    found: list[Found] = []
    things = [t for t in work.of_kind("fastener") if not work.scopes.bought[t.start]]
    for index, thing in enumerate(things):
        limit = things[index + 1].start if index + 1 < len(things) else len(work.note.tokens)
        item = _read(work, thing, limit)
        if item is not None:
            found.append(item)
    return [_fact(work, item) for item in said_once(found)] + _sizes_alone(work)


def _sizes_alone(work: Work) -> list[Fastener]:
    """ "4 x M10 8.8", "the four M8s": a size with its count and no fastener word."""
    note, facts = work.note, []
    for at, token in enumerate(note.tokens):
        if token.thread is None or at in work.used or at in work.taken.by or work.scopes.bought[at] or work.scopes.asked[at] or _is_tools(work, at):
            continue
        counted = note.word(at - 1) in ("x", "×", "off") and note.kind(at - 2) == "figure"
        figure = at - 2 if counted else at - 1
        if not counted and not token.text.endswith("s"):
            continue
        count = int(note.tokens[figure].value or 0) if note.kind(figure) == "figure" and _is_count(work, figure) else None
        grade = grade_at(note.tokens, at + 1)
        span = note.span(figure if count else at, at + 1)
        fixed = grade[0] if grade is not None and ("." in grade[0] or "-" in grade[0]) else None
        length = token.thread.length_mm or _length_behind(work, grade[1] if fixed and grade else at + 1)
        size = token.thread.name
        facts.append(Fastener(fastener="fastener", count=count, thread=size, length_mm=length, grade=fixed, span=span, rule="fasteners:size-alone"))
    return facts


def _length_behind(work: Work, at: int) -> float | None:
    """ "6 x M12 A4-70, 45 mm.": a length alone in its piece, right behind the size."""
    note = work.note
    quantity = work.quantities.get(at + 1) if note.word(at) == "," else None
    if quantity is None or quantity.unit != "mm" or (note.kind(quantity.end) not in ("punct", "") and note.word(quantity.end) != "long"):
        return None
    work.used.update(range(at + 1, quantity.end))
    return quantity.value


def _read(work: Work, thing: Thing, limit: int) -> Found | None:
    if work.note.word(thing.start - 1) in ("no", "without"):
        return None
    name = next((n for n in work.names if n.fastener == thing.start), None)
    item = Found(thing, thing.start, thing.end, f"{name.name} {name.place or ''}".strip() if name else None)
    if work.scopes.chatter[thing.start] and name is None and not work.verbs and not work.quantities:
        return None
    _look_left(work, item, name)
    _look_right(work, item, limit)
    if item.part is None and (item.count is not None or item.thread is not None):
        item.part = _part_before(work, thing)
    return item


def _part_before(work: Work, thing: Thing) -> str | None:
    """The part last named before a group of fasteners, with its place: another part's bolts are other bolts."""
    sentence = work.note.sentence[thing.start]
    names = [n for n in work.names if n.end <= thing.start and work.note.sentence[n.start] == sentence]
    return f"{names[-1].name} {names[-1].place or ''}".strip() if names else None


def _look_left(work: Work, item: Found, name: Name | None) -> None:
    """Sizes and the count in front: "four of the six m eight lid bolts"."""
    note, at = work.note, item.thing.start
    while at > 0:
        step = _step_left(work, item, at, name)
        if step is None:
            break
        at = step
    if item.count is not None or item.thread is not None:
        item.first = min(item.first, at)
    if note.word(at - 1) in BOTH and item.count is None:
        item.count, item.first = 2, at - 1


def _step_left(work: Work, item: Found, at: int, name: Name | None) -> int | None:
    note, before = work.note, at - 1
    kind = note.kinds[before]
    if name is not None and name.first < at <= item.thing.start and name.start < at:
        return name.first
    if kind == "thread" and item.thread is None:
        _take_thread(work, item, before)
        return before
    if kind == "unit" and before > 0 and note.kinds[before - 1] == "figure" and item.thread is None and _inch_thread(work, item, before - 1):
        return before - 1
    grade = _grade_ending(note, at)
    if grade is not None and item.grade is None:
        item.grade = grade[0]
        work.used.update(range(grade[1], at))
        return grade[1]
    if kind == "figure":
        return _take_count_left(work, item, before)
    if note.norms[before] in ("x", "×", "of", "the", "off", "these", "those", "my", "our", "its", "my"):
        return before if item.count is None or _count_of(note, before) else None
    if any(hit.end == at for table in ("descriptions", "places", "states") for hit in _ending(note, table, at)):
        return max(hit.start for table in ("descriptions", "places", "states") for hit in _ending(note, table, at))
    return None


def _count_of(note: Marked, at: int) -> bool:
    """Whether "of" or "of the" at a token follows a figure: "four of the six"."""
    first = at - 1 if note.norms[at] == "the" else at
    return note.word(first) == "of" and note.kind(first - 1) == "figure"


def _ending(note: Marked, table: str, end: int) -> list[Hit]:
    return [hit for length in (3, 2, 1) if end >= length for hit in note.starting(table, end - length) if hit.end == end]


def _grade_ending(note: Marked, end: int) -> tuple[str, int] | None:
    """A grade right before ``end`` ("10.9 bolts", "grade five bolts")."""
    for start in (end - 1, end - 2, end - 3):
        if start < 0:
            break
        if note.kinds[start] in ("figure", "grade"):
            read = grade_at(note.tokens, start)
            if read is not None and read[1] == end and ("." in read[0] or "-" in read[0] or note.word(start - 1) in ("grade", "class")):
                return read[0], start - (note.word(start - 1) in ("grade", "class"))
    return None


def _inch_thread(work: Work, item: Found, at: int) -> bool:
    """ "half inch nuts" have a 1/2 thread."""
    quantity = work.quantities.get(at)
    if quantity is None or quantity.unit != "in" or quantity.value not in INCH_FRACTIONS or item.thing.row["fastener"] in ("washer", "clamp", "clip"):
        return False
    item.thread = INCH_FRACTIONS[quantity.value]
    work.used.update((at, at + 1))
    return True


def _take_thread(work: Work, item: Found, at: int) -> None:
    if at in work.taken.by:
        return
    thread = work.note.tokens[at].thread
    if thread is not None:
        item.thread, item.length_mm = _with_series(work.note, at, thread.name), thread.length_mm or item.length_mm
        work.used.add(at)


def _with_series(note: Marked, at: int, name: str) -> str:
    """ "seven eighths BSF no hang on BSW": the series alone set right behind its thread."""
    cue = next(iter(note.starting("corrections", at + 1 + (note.word(at + 1) == ","))), None)
    series = series_name(note.word(cue.end)) if cue is not None else None
    size, _, old = name.rpartition(" ")
    return f"{size} {series}" if series is not None and old.isalpha() and size else name


def _is_numbered(note: Marked, at: int) -> bool:
    """Whether a figure is a number behind its word, and no count: "stage 2", "bank one"."""
    before = note.word(at - 1)
    return before in ("number", "stage", "pass", "step") or (before in ROWS and is_numbering(note, at - 1))


def _take_count_left(work: Work, item: Found, at: int) -> int | None:
    note = work.note
    figure = note.tokens[at].figure
    named = any(n.start < at - 1 < n.end for n in work.names)
    if figure is None or (_is_numbered(note, at) and not named):
        return None
    if (
        figure.form in ("fraction", "mixed")
        and item.thread is None
        and figure.value in INCH_FRACTIONS
        and note.kind(at + 1) != "unit"
        and note.word(at + 1) not in ("the", "of")
        and not (note.kind(at + 1) == "figure" and note.norms[at].isalpha())  # "coupling half four bolts"
        and not (note.norms[at] == "half" and (note.word(at - 1) in HALVED or any(h.end == at for h in note.hits.get("places", ()))))
    ):
        item.thread = INCH_FRACTIONS[figure.value]
        work.used.add(at)
        return at
    new = work.taken.by.get(at)
    if new is not None and item.count is None and _is_count(work, new):
        item.count = int(note.tokens[new].value or 0)
        work.used.update((at, new))
        return at
    if not _is_count(work, at) or (item.count is not None and note.word(at + 1) != "of"):
        return None
    item.count = int(figure.value)
    work.used.add(at)
    if note.word(at - 1) in ("but", "bar", "except") and at >= 2 and _is_count(work, at - 2) and (note.tokens[at - 2].value or 0) <= MOST_BUT_ONE:
        item.count = int(note.tokens[at - 2].value or 0) - item.count
        work.used.add(at - 2)
        return at - 2
    return at


def _is_count(work: Work, at: int) -> bool:
    figure = work.note.tokens[at].figure
    if work.note.word(at - 1) in ("no", "nr") and work.note.word(at + 1) in ("x", "×", "gauge"):
        return False
    if figure is None or at in work.taken.by or at in work.used or figure.form not in COUNT_FORMS:
        return False
    quantity = work.quantities.get(at)
    return figure.value == int(figure.value) and 0 < figure.value <= 400 and (quantity is None or quantity.family is None)


def _look_right(work: Work, item: Found, limit: int) -> None:
    """Sizes and the count behind: "bolts, 8 x M12x1.75, 10.9", "nuts all six of them", "studs 45 mm long, marked 8.8, four of them"."""
    note, thing = work.note, item.thing
    end = min(note.end_of(note.sentence, thing.end - 1), limit, thing.end + FAR)
    if note.word(thing.end) in BOTH and item.count is None:
        item.count, item.last = 2, thing.end + 1
    asked = work.scopes.asked[thing.start]
    for at in range(thing.end, end):
        kind = note.kinds[at]
        if note.norms[at] in ("apart", "except", "excepting"):
            break
        if work.scopes.asked[at] and not asked:
            return
        if kind == "thread" and (note.word(at - 1) in ("tapped", "tap", "retapped") or _sizes_a_part(work, at) or work.scopes.supposed[at]):
            continue
        if kind == "thread" and item.thread is None and not _is_tools(work, at) and not _is_next_ones(work, at, limit):
            _take_thread(work, item, at)
            _take_inch_length(work, item, at + 1)
        elif kind in ("figure", "grade"):
            _take_right(work, item, at, limit)


def _take_inch_length(work: Work, item: Found, at: int) -> None:
    """ "5/16 UNC x 1 in", "5/16-18 by one and a quarter inch": a length in inches behind an inch thread."""
    note = work.note
    quantity = work.quantities.get(at + 1) if note.word(at) in ("x", "×", "by") else None
    if quantity is not None and quantity.unit == "in" and item.length_mm is None and "M" not in (item.thread or "M"):
        item.length_mm = round(convert(quantity.value, "in", "mm"), 3)
        item.last = max(item.last, quantity.end)
        work.used.update(range(at, quantity.end))


def _sizes_a_part(work: Work, at: int) -> bool:
    """ "an M8 insert"."""
    return any(n.start == at + 1 and n.fastener is None for n in work.names)


def _is_tools(work: Work, at: int) -> bool:
    return any(t.kind == "tool" and 0 <= t.start - at <= 2 for t in work.things)


def _is_next_ones(work: Work, at: int, limit: int) -> bool:
    """Whether a size right before the next fastener belongs to that one."""
    if any(at < q.at < limit for q in work.torques_said):
        return False
    return limit < len(work.note.tokens) and 0 < limit - at <= 3 and not {",", "and"} & set(work.note.norms[at:limit])


def _take_right(work: Work, item: Found, at: int, limit: int) -> None:
    note = work.note
    before = note.word(at - 1)
    fixed = grade_at(note.tokens, at)
    if fixed is not None and "." not in fixed[0] and note.kinds[at] != "grade" and before not in ("grade", "class", "marked", "strength", "gr"):
        fixed = None
    quantity = work.quantities.get(at)
    if fixed is not None and item.grade is None and (quantity is None or quantity.family is None) and before not in ("to", "at", "point"):
        item.grade = fixed[0]
        work.used.update(range(at, fixed[1]))
        if at - item.last <= 1:  # "bolts grade 8.8", "bolts 8.8"
            item.last = fixed[1]
    elif quantity is not None and quantity.family == "length" and "long" in note.norms[quantity.end : quantity.end + 2]:
        if item.length_mm is None:
            item.length_mm = round(convert(quantity.value, quantity.unit or "mm", "mm"), 3)
        work.used.update(range(at, quantity.end))
        item.last = max(item.last, quantity.end)
    elif item.thread is None and _is_size_behind(work, item, at):
        _inch_thread(work, item, at)
    elif item.count is None and _is_count(work, at) and _counts_behind(work, item, at, limit):
        item.count = int(note.tokens[at].value or 0) - (note.norms[at + 1 : at + 3] in (["but", "one"], ["bar", "one"]))
        work.used.add(at)


def _counts_behind(work: Work, item: Found, at: int, limit: int) -> bool:
    note = work.note
    before, after, later = note.word(at - 1), note.word(at + 1), note.word(at + 2)
    if before in ("number", "bank", "row", "stage", "pass", "step", "to", "at", "was", "were", "on"):
        return False
    if at - item.thing.end == 1 and before in ("(", ":", ",") and after in (",", ")") and note.kind(at + 2) != "figure":
        return True
    if at == item.thing.end and (note.kind(at + 1) == "thread" or _some_of(note, at)):
        return True
    if after == "of" and later in ("them", "those", "these", "'em", "em"):
        return note.tokens[at].value != 1
    if before == "all" and not any(t.start == at + 1 for t in work.things):
        return True
    if after in ("off", "only", "altogether") or (after in ("in", "total") and later in ("all", "total", "")):
        return True
    return bool(after in ("x", "×") and note.kind(at + 2) == "thread")


def _is_size_behind(work: Work, item: Found, at: int) -> bool:
    """ "stock bolts eight of them three quarter inch": a fraction of an inch behind the fastener or its count, with no tool it could size."""
    note, quantity = work.note, work.quantities.get(at)
    figure = note.tokens[at].figure
    if quantity is None or quantity.unit != "in" or figure is None or figure.form not in ("fraction", "mixed"):
        return False
    near = at == item.thing.end or note.word(at - 1) in ("them", "those", "all", ",") or note.kind(at - 1) == "figure"
    return (
        near
        and note.kind(quantity.end) in ("figure", "punct", "")
        and not any(t.kind == "tool" and 0 <= t.start - quantity.end <= 1 for t in work.things)
    )


def _some_of(note: Marked, at: int) -> bool:
    """ "screws two of the four": so many out of a number."""
    return note.norms[at + 1 : at + 3] in (["of", "the"], ["of", "these"], ["of", "those"]) and note.kind(at + 3) == "figure"


def _fact(work: Work, item: Found) -> Fastener:
    row = item.thing.row
    words = work.note.norms[item.first : item.thing.end]
    return Fastener(
        fastener=row["fastener"],
        span=work.note.span(item.first, item.last),
        rule=f"fasteners:word (fasteners.csv row {row.line})",
        count=item.count,
        thread=item.thread,
        length_mm=item.length_mm,
        grade=item.grade,
        head=next((HEADS[w] for w in words if w in HEADS), None),
    )
