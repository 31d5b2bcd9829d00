"""What a value was applied to: the part that each torque, turn and measure belongs to."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

from gudgeon.facts.drafts import AngleDraft, MeasureDraft, TorqueDraft
from gudgeon.facts.names import Name
from gudgeon.facts.wordset import word_set
from gudgeon.facts.work import Work

Value = TorqueDraft | AngleDraft | MeasureDraft
FORWARD = word_set("on for at to of in onto across round around")
BRINGING = word_set("to at are is was were got gets get go goes going had has have 's up down about only just took takes")
LINKING = word_set("are is were was got get gets had has have")
LEADING = word_set("the a an its my our both all each every these those this that her his")
LEAD_IN = 9
"""Tokens from a value to the name that "on the …" leads to."""
NEVER_JOINTS = word_set(
    "gasket seal ring shim spacer insert key boot gaiter spring grommet rubber hose cable rag switch sensor gauge dial thread hole weld teeth tooth"
)
"""Last words of parts that are put under a joint, not tightened."""

WRITTEN_ON = word_set("sticker label leaflet")
"""What a value is read from, and never given to."""
PUT_UNDER = word_set("gasket gaskets seal seals shim shims spacer insert gaiter grommet")
"""Of these, those that no value is given to even where nothing else is named."""


def give_parts(work: Work, values: Sequence[Value]) -> None:
    """Set ``part`` and ``place`` on each value; where it is not clear what was meant, both stay None."""
    for value in values:
        name = _name_for(work, value, values)
        if name is not None:
            value.part, value.place = name.name, place_of(work, name)


def place_of(work: Work, name: Name) -> str | None:
    """A name's own place; else that of an earlier mention, or of the heading it stands under."""
    if name.place is not None:
        return name.place
    for other in work.names:
        if other.start < name.start and other.name == name.name and other.place is not None:
            return other.place
    heading = work.names[0]
    if work.note.sentence[heading.start] != work.note.sentence[name.start]:
        return None
    if heading.place is not None and heading is not name and heading.end < len(work.note.norms) and work.note.norms[heading.end] == ":":
        return heading.place
    return None


def _name_for(work: Work, value: Value, values: Sequence[Value]) -> Name | None:
    note = work.note
    sentence = note.sentence[value.at]
    mine = [n for n in work.names if note.sentence[n.start] == sentence and not work.scopes.bought[n.start] and not _is_any_such(work, n)]
    mine = [n for n in mine if _last_word(n) not in WRITTEN_ON]
    given = next((n for n in mine if n.start >= value.end and note.norms[max(0, n.first - 2) : n.first] == ["what", "the"]), None)
    if given is not None and {"had", "got"} & set(note.norms[given.end : given.end + 3]):
        return given  # "six newton metres on the sticker and that's what the strainer lid's had"
    forward = _led_to(work, value, mine, values)
    if forward is not None:
        return forward
    before = [n for n in mine if n.end <= value.at]
    own_name = _named_by_fastener(work, value, before)
    if own_name is not None:
        return own_name
    if before and not isinstance(value, MeasureDraft) and all(_is_tooled(work, n) for n in before):
        before = []
    heading = _heading_of(work, value, before)
    if heading is not None:
        return heading
    joint = _best(work, before, value)
    if joint is not None:
        return joint
    if isinstance(value, MeasureDraft):
        return _earlier(work, sentence, value)
    own = any(t.kind == "fastener" and t.row["fixed"] == "yes" and note.sentence[t.start] == sentence and t.start < value.at for t in work.things)
    if not own:
        joint = _earlier(work, sentence, value)
    if joint is not None:
        return joint
    return None if own else _shared_later(work, value, mine, values)


def _is_any_such(work: Work, name: Name) -> bool:
    """ "The chart says 12 Nm for a steel frame, this one is alloy": what a quoted value is for, and not what is worked on."""
    note = work.note
    start = note.start_of(note.sentence, name.start)
    led = note.norms[max(start, name.first - 3) : name.first + 2]
    if note.word(name.first - 1) in ("the", "its") and note.word(name.first - 2) in ("in", "on", "inside", "by") and name.fastener is None:
        says = any(h.start == name.end for h in note.of("reported", role="saying"))
        if says and any(start <= h.start < name.first for h in note.hits.get("reported", ())):
            return True  # "the label in the lid says twenty five"
    if note.word(name.end) in ("round", "around", "through", "under", "behind") and note.word(name.end + 1) == "it" and name.fastener is None:
        return True  # "I've got the strap round it"
    if note.word(name.first - 1) == "no" and name.fastener is None and any(n.start < name.start for n in work.names):
        return True  # "pull-up bar, 4 bolts. No plate on it"
    if note.word(name.first - 1) == "the" and note.norms[max(0, name.first - 3) : name.first - 1][-1:] == ["inside"] and name.fastener is None:
        return bool({"scratched", "written", "stamped", "marked", "painted", "chalked", "stuck"} & set(note.norms[start : name.first]))
    spread = [
        t
        for t in work.of_kind("compound")
        if t.end == name.first - 2 and note.norms[name.first - 2 : name.first] in (["on", "the"], ["round", "the"])
    ]
    if spread and name.fastener is None and any(n.start < name.start for n in work.names):
        return True  # "ten screws, sealant on the joint face, 8 Nm"
    behind = note.norms[name.end : name.end + 5]
    if (
        behind[:1] in (["is"], ["'s"], ["was"], ["are"])
        and "so" in behind[2:4]
        and name.fastener is None
        and any(n.start < name.start for n in work.names)
    ):
        return True  # "tube is thin, so I gave them fifteen"
    kind = any(one == "for" and other in ("a", "an") for one, other in pairwise(led))
    quoted = any(start <= h.start < name.first for h in note.hits.get("reported", ()))
    return kind and quoted and name.fastener is None and any(n.start < name.start for n in work.names)


def _named_by_fastener(work: Work, value: Value, before: list[Name]) -> Name | None:
    """ "stern gland: new packing in, gland nuts to 8": fasteners called after a part named before."""
    if isinstance(value, MeasureDraft):
        return None
    fixed = [t for t in work.of_kind("fastener") if t.row["fixed"] == "yes" and t.end <= value.at and t.end - t.start > 1]
    if not fixed or any(n.start >= fixed[-1].end for n in before):
        return None
    return next((n for n in reversed(before) if _last_word(n) == fixed[-1].row.words[0]), None)


def _heading_of(work: Work, value: Value, before: list[Name]) -> Name | None:
    """ "Contact wheel: 2 bearings replaced, M10 bolt 30 Nm": fasteners without a name of their own are those of the heading."""
    note = work.note
    if isinstance(value, MeasureDraft) or len(before) < 2 or note.word(before[0].end) != ":":
        return None
    if any(note.kinds[i] != "word" for i in range(note.start_of(note.sentence, value.at), before[0].first)):
        return None
    first = note.start_of(note.piece, value.at)
    if any(n.end > first for n in before) or any(n.fastener is not None for n in before[1:]):
        return None
    return before[0] if any(first <= t.start < value.at for t in work.of_kind("fastener")) else None


def _is_tooled(work: Work, name: Name) -> bool:
    """ "ran a tap through the crank and refitted it": a part something was put through, while "it" was spoken of before."""
    note = work.note
    through = any(note.norms[i] == "through" for i in range(max(0, name.first - 2), name.first))
    return through and name.fastener is None and "it" in note.norms[name.end : note.end_of(note.sentence, name.start)]


def _led_to(work: Work, value: Value, names: list[Name], values: Sequence[Value]) -> Name | None:
    """The name that "on the", "for the" right behind a value leads to."""
    note = work.note
    start = value.span_end if isinstance(value, TorqueDraft) else value.end
    after = [n for n in names if n.start >= start and n.first - start <= LEAD_IN]
    if not after:
        return None
    following = min((v.at for v in values if v.at >= start), default=len(note.norms))
    name = after[0]
    if name.start > following or any(note.kinds[i] == "punct" and note.norms[i] not in ("(", ")", "-", '"') for i in range(start, name.first)):
        return None
    lead = next((i for i in range(start, name.first) if note.norms[i] in FORWARD), None)
    if lead is None or lead - start > 2 or not all(_leads(work, i) for i in range(lead, name.first)):
        return None
    if (
        isinstance(value, MeasureDraft)
        and any(n.end <= value.at for n in names)
        and (note.norms[lead] not in ("on", "for") or any(n.end <= value.at and note.piece[n.start] == note.piece[value.at] for n in names))
    ):
        return None
    return None if _last_word(name) in NEVER_JOINTS and any(n.end <= value.at for n in names) else name


def _leads(work: Work, at: int) -> bool:
    """Whether a word may stand between "on" and the name: articles, counts, sizes, descriptions, the fasteners of the part."""
    note = work.note
    if note.norms[at] in FORWARD or note.norms[at] in LEADING or note.kinds[at] in ("figure", "thread", "unit", "grade"):
        return True
    if any(t.kind == "fastener" and t.start <= at < t.end for t in work.things):
        return True
    return any(note.starting(table, at) for table in ("descriptions", "places", "states", "fillers"))


def _last_word(name: Name) -> str:
    return name.name.split()[-1]


def _best(work: Work, before: list[Name], value: Value) -> Name | None:
    """Of the names before a value, the last one that carries a fastener, else the last that is no side remark."""
    if not before:
        return None
    main = [n for n in before if not _is_aside(work, n, before)]
    if main and not isinstance(value, MeasureDraft) and _said_of(work, main[-1], value):
        return main[-1]
    if not isinstance(value, MeasureDraft) and before[-1] not in main and _linked(work, before[-1], value):
        return before[-1]
    bolted = [n for n in before if _carries_fastener(work, n, value, main)]
    if isinstance(value, MeasureDraft):
        return (main or before)[-1]
    if bolted:
        last = bolted[-1]
        later = [n for n in main if n.start > last.start and _last_word(n) not in NEVER_JOINTS and _own_clause(work, n, last)]
        return later[-1] if later and isinstance(value, TorqueDraft) else last
    plain = [n for n in main if _last_word(n) not in NEVER_JOINTS]
    other = [n for n in before if _last_word(n) not in NEVER_JOINTS]
    chosen = plain or other or [n for n in main if _last_word(n) not in PUT_UNDER]
    return chosen[-1] if chosen else None


def _said_of(work: Work, name: Name, value: Value) -> bool:
    """ "the saddle rails to twelve", "axle at 65": the value right behind a name, with at most a word or two of bringing it there."""
    note = work.note
    between = range(name.end, _first_said(work, value))
    return len(between) <= 4 and all(
        note.norms[i] in BRINGING or any(note.starting(t, i) for t in ("hedges", "fillers")) or any(v.start == i for v in work.verbs) for i in between
    )


def _first_said(work: Work, value: Value) -> int:
    """Where a value was first said: of a value that was set right, the one taken back."""
    for at in range(value.at, value.end):
        old = work.taken.replaced(at)
        if old is not None and work.note.sentence[old] == work.note.sentence[at]:
            quantity = work.quantity_of(old)
            return min(value.at, old if quantity is None else quantity.at)
    return value.at


def _linked(work: Work, name: Name, value: Value) -> bool:
    """ "the mounts are forty": a verb links the name right before a value to it."""
    return _said_of(work, name, value) and any(w in LINKING for w in work.note.norms[name.end : value.at])


def _opens(word: str) -> bool:
    return word in LEADING or word in ("and", ",", "then")


def _own_clause(work: Work, name: Name, other: Name) -> bool:
    """Whether a later name opens a clause or piece of its own, with the value in it."""
    note = work.note
    if note.clause[name.start] != note.clause[other.start]:
        return True
    first = note.start_of(note.piece, name.start)
    return note.piece[first] != note.piece[other.start] and all(_opens(note.norms[i]) for i in range(first, name.first))


def _carries_fastener(work: Work, name: Name, value: Value, main: list[Name]) -> bool:
    if name.fastener is not None:
        return True
    if name not in main or _last_word(name) in NEVER_JOINTS:
        return False
    note = work.note
    for thing in work.of_kind("fastener"):
        if name.end <= thing.start < value.at and thing.start - name.end <= 12 and thing.row["fastener"] != "washer":
            return (
                not any(n is not name and name.end <= n.start < thing.start and _last_word(n) not in NEVER_JOINTS for n in main)
                and note.clause[thing.start] == note.clause[name.start]
            )
    return False


def _is_aside(work: Work, name: Name, names: list[Name]) -> bool:
    """ "with a new gasket", "behind the pulley", "box to frame": not what the bolts are in."""
    if name.fastener is not None:
        return False
    note = work.note
    at = name.first - 1
    while at >= 0 and note.norms[at] in ("the", "a", "an", "its", "my", "both", "all"):
        at -= 1
    if at < 0:
        return False
    if any(h.end == at + 1 for h in note.of("connectors", role="with")):
        return True
    if note.norms[at] in ("to", "on", "onto", "in", "into", "of") and any(0 <= at - n.end <= 2 and n is not name for n in names):
        return True
    if note.norms[at] in ("and", ","):
        return note.word(name.end) not in LINKING and any(n.end == at and _is_aside(work, n, names) for n in names if n is not name)
    return False


def _earlier(work: Work, sentence: int, value: Value) -> Name | None:
    """The joint spoken of in the sentences before."""
    note = work.note
    before = [n for n in work.names if note.sentence[n.start] < sentence and n.end <= value.at and not _is_any_such(work, n)]
    if not before:
        return None
    last = note.sentence[before[-1].start]
    near = [n for n in before if note.sentence[n.start] == last]
    if isinstance(value, MeasureDraft):
        return (near[0]) if sentence - last <= 1 else None
    bolted = [n for n in before if n.fastener is not None]
    if bolted:
        return bolted[-1]
    plain = [n for n in near if not _is_aside(work, n, near) and _last_word(n) not in NEVER_JOINTS]
    if len(plain) > 1 and note.word(plain[0].end) == ":" and note.norms[plain[0].end + 1 : plain[1].first] in ([], ["the"]):
        return plain[1]  # "roundabout: deck plate, 12 bolts. Step 1: 2 kgf·m"
    return plain[0] if plain else None


def _shared_later(work: Work, value: Value, mine: list[Name], values: Sequence[Value]) -> Name | None:
    """ "stage one twenty, stage two forty, stage three ninety degrees for the caps": the name that the last value leads to; or a lone name."""
    note = work.note
    later = [v for v in values if v.at > value.at and note.sentence[v.at] == note.sentence[value.at] and not isinstance(v, MeasureDraft)]
    for other in later:
        name = _led_to(work, other, mine, values)
        if name is not None:
            return name
    led = [n for n in mine if n.start >= value.end and n.fastener is not None]
    if len(led) == 1 and len(mine) == 1 and not any(v is not value and not isinstance(v, MeasureDraft) for v in values):
        return led[0]
    if len(led) == 1 and not later and note.word(led[0].first - 1) in ("the", "on", "for", "yes", "all", "those", "these"):
        return led[0]
    after = [n for n in mine if n.start >= value.end and any(note.norms[i] in ("on", "for") for i in range(max(value.end, n.first - 2), n.first))]
    return after[0] if len(after) == 1 and not later and after[0].first - value.end <= 6 else None
