"""Part names: from the lists of nouns, and by the shape of the phrase where no list has the word."""

from __future__ import annotations

from dataclasses import dataclass, replace

from gudgeon.facts.flags import Scopes
from gudgeon.facts.marked import Marked
from gudgeon.facts.phrases import shape_rule
from gudgeon.facts.places import Around, is_numbered, is_told_by_number, look_around
from gudgeon.facts.things import Thing, is_name_word, is_verb
from gudgeon.facts.wordset import word_set

NOUN, WEAK, FEATURE, MODIFIER, UNKNOWN = "noun", "weak", "feature", "modifier", "unknown"
LONGEST = 4
"""Words in a name at most; unknown words in front are cut first."""
MANNER = word_set("start plain split half full cross end stop safety access inspection test main final primary secondary push pull lock check")
"""Modifiers that name no part by themselves before a fastener."""
PASSES = word_set("step steps stage stages pass passes round rounds")
"""Words that tell which time round, and no part: "forty newton metres on the first step"."""
FLUIDS = word_set("oil water fuel air coolant grease gas")
DRIVES = ("hexalobular", "hex key", "screwdriver")
"""Tools whose name before a fastener says how it is driven: "five torx bolts"."""
TORQUE_BEARERS = ("fastener", "tool", "compound")


@dataclass(frozen=True, slots=True)
class Name:
    """A part named in a note: tokens ``start`` to ``end`` are the name itself, ``around`` what was said beside it."""

    start: int
    end: int
    name: str
    rule: str
    around: Around
    fastener: int | None = None

    @property
    def place(self) -> str | None:
        """What tells it from its twins."""
        return self.around.place

    @property
    def first(self) -> int:
        """The first token, places and states included."""
        return min(self.start, self.around.start)


def find_names(note: Marked, things: list[Thing], scopes: Scopes) -> list[Name]:
    """All part names, left to right."""
    roles, rows = _roles(note, things)
    fasteners = {thing.start: thing for thing in things if thing.kind == "fastener"}
    names: list[Name] = []
    at, size = 0, len(roles)
    while at < size:
        if not roles[at]:
            at += 1
            continue
        end = at
        while end < size and roles[end]:
            end += 1
        name = _name(note, roles, rows, fasteners, scopes, at, end)
        if name is not None:
            names.append(name)
        at = end
    return _joined(note, _with_places(note, names))


def _roles(note: Marked, things: list[Thing]) -> tuple[list[str], dict[int, Thing]]:
    roles = [""] * len(note.tokens)
    taken = bytearray(len(note.tokens))
    rows: dict[int, Thing] = {}
    for thing in things:
        for i in range(thing.start, thing.end):
            taken[i] = 1
        if thing.kind == "noun":
            role = {"strong": NOUN, "weak": WEAK}.get(thing.row["strength"], FEATURE)
            roles[thing.start : thing.end] = [role] * (thing.end - thing.start)
            rows[thing.start] = thing
    for thing in things:
        noun = next(iter(note.starting("part_nouns", thing.start)), None)
        if (
            thing.kind == "quantity"
            and noun is not None
            and noun.end < thing.end
            and noun.row["strength"] == "strong"
            and note.norms[thing.end - 1] != "line"
        ):
            roles[noun.start : noun.end] = [NOUN] * (noun.end - noun.start)
            rows[noun.start] = Thing("noun", noun.start, noun.end, noun.row)
    for hit in note.hits.get("part_modifiers", ()):
        for i in range(hit.start, hit.end):
            if not taken[i]:
                roles[i] = MODIFIER
    for table in ("fasteners", "tools", "compounds", "equipment"):
        for hit in note.hits.get(table, ()):
            if not any(taken[hit.start : hit.end]) and not roles[hit.start] and not is_verb(note, hit.start):
                roles[hit.start : hit.end] = [MODIFIER] * (hit.end - hit.start)
    for hit in note.hits.get("places", ()):
        if hit.end - hit.start > 1:
            roles[hit.start : hit.end] = [""] * (hit.end - hit.start)
            taken[hit.start : hit.end] = b"\x01" * (hit.end - hit.start)
    for hit in (*note.hits.get("corrections", ()), *(h for h in note.hits.get("fillers", ()) if h.end - h.start > 1)):
        roles[hit.start : hit.end] = [""] * (hit.end - hit.start)
        taken[hit.start : hit.end] = b"\x01" * (hit.end - hit.start)
    _join_hyphens(note, roles, taken)
    for i in range(len(roles)):
        if not roles[i] and not taken[i] and is_name_word(note, i):
            roles[i] = UNKNOWN
    return roles, rows


def _join_hyphens(note: Marked, roles: list[str], taken: bytearray) -> None:
    """ "blow-down pipe": a written hyphen before a noun makes both words part of its name."""
    for i in range(len(roles) - 2):
        if roles[i + 2] == NOUN and note.tokens[i + 1].joined and note.text[note.tokens[i].end : note.tokens[i + 1].start] == "-":
            for at in (i, i + 1):
                if not taken[at] and note.kinds[at] == "word" and not any(note.starting(t, at) for t in ("places", "states")):
                    roles[at] = MODIFIER


def _name(note: Marked, roles: list[str], rows: dict[int, Thing], fasteners: dict[int, Thing], scopes: Scopes, start: int, end: int) -> Name | None:
    whole = end
    bolt = fasteners.get(end) or fasteners.get(_past_place(note, end))
    if bolt is None and note.starting("equipment", end):
        return None
    if bolt is None:
        end = _last_noun(roles, start, end)
        if end == start:
            return _shaped(note, roles, rows, scopes, start, whole)
    elif not _names_before_fastener(note, roles, start, end) or (end - start == 1 and note.starting("descriptions", start)):
        return None
    while end - start > LONGEST and roles[start] in (UNKNOWN, MODIFIER):
        start += 1
    if (
        bolt is None
        and FEATURE not in roles[end:whole]
        and not (_has_twin(note, start) or is_numbered(note, end) or is_told_by_number(note, end))
        and _is_weak(roles, rows, start, end)
    ):
        return _shaped(note, roles, rows, scopes, start, end)
    if all(role == FEATURE for role in roles[start:end]) or (bolt is None and _is_shape_of_head(note, start, end)):
        return None
    rule = "parts:before-fastener" if bolt else "parts:noun"
    return Name(start, end, _words(note, rows, start, end), rule + _table_row(rows, start, end), Around(start=start), bolt.start if bolt else None)


def _is_shape_of_head(note: Marked, start: int, end: int) -> bool:
    """ "with a square head": how a bolt's head is made."""
    return end - start == 2 and note.norms[end - 1] in ("head", "heads") and note.norms[start] in HEAD_SHAPES


HEAD_SHAPES = word_set("square hex hexagon hexagonal cheese pan round flat domed button countersunk")


def _is_weak(roles: list[str], rows: dict[int, Thing], start: int, end: int) -> bool:
    """Whether a name is a lone weak noun, perhaps behind a mere feature."""
    first = start
    while first < end and roles[first] == FEATURE:
        first += 1
    thing = rows.get(first)
    return thing is not None and thing.end == end and roles[first] == WEAK and end - first == 1


def _has_twin(note: Marked, start: int) -> bool:
    """ "left leg": a place before an ordinary word makes it a part."""
    return note.norms[start] not in ("way", "line", "table", "bed", "post", "compound") and any(
        h.end == start and h.row.phrase != "near" for h in note.hits.get("places", ())
    )


def _past_place(note: Marked, at: int) -> int:
    """Past a place between a name and its fastener: "rear shock top bolt"."""
    hits = note.starting("places", at)
    return hits[0].end if hits else at


def _table_row(rows: dict[int, Thing], start: int, end: int) -> str:
    last = [thing for at, thing in rows.items() if start <= at < end]
    return f" (part_nouns.csv row {last[-1].row.line})" if last else ""


def _last_noun(roles: list[str], start: int, end: int) -> int:
    """The end of the name: after its last noun that is a part and no mere feature (a thread, a tooth)."""
    while end > start and roles[end - 1] not in (NOUN, WEAK):
        end -= 1
    return end


def _names_before_fastener(note: Marked, roles: list[str], start: int, end: int) -> bool:
    if any(role in (NOUN, WEAK, UNKNOWN) for role in roles[start:end]):
        return True
    words = note.norms[start:end]
    if all(any(h.row["tool"] in DRIVES for h in note.starting("tools", i)) for i in range(start, end)):
        return False
    return not all(word in MANNER or word in FLUIDS or word.endswith("ing") for word in words)


def _words(note: Marked, rows: dict[int, Thing], start: int, end: int) -> str:
    """The name's words, the nouns of the lists in the singular."""
    words: list[str] = []
    at = start
    while at < end:
        thing = rows.get(at)
        if thing is not None and thing.end <= end:
            words.extend(thing.row.words)
            at = thing.end
        else:
            words.append(note.norms[at])
            at += 1
    return " ".join(words)


def _shaped(note: Marked, roles: list[str], rows: dict[int, Thing], scopes: Scopes, start: int, end: int) -> Name | None:
    """A name that no list holds, where the phrase around it says that it is a part."""
    if end - start > 3 or scopes.chatter[start] or all(role == FEATURE for role in roles[start:end]):
        return None
    if all(role == MODIFIER for role in roles[start:end]) and any(w.endswith("ing") or w in MANNER for w in note.norms[start:end]):
        return None
    rule = shape_rule(note, start, end) if note.norms[end - 1] not in PASSES else None
    return Name(start, end, _words(note, rows, start, end), f"parts:{rule}", Around(start=start)) if rule else None


def without_taken_back(note: Marked, names: list[Name]) -> list[Name]:
    """ "the outer ring no scrap that the inner ring": a name right before a correction gives way to one right after it."""
    dropped = set()
    for hit in note.hits.get("corrections", ()):
        before = [n for n in names if 0 <= hit.start - n.end <= 1]
        after = [n for n in names if 0 <= n.first - hit.end <= 2]
        if before and after and "figure" not in note.kinds[hit.end : after[0].start]:
            dropped.add(before[-1].start)
    return [n for n in names if n.start not in dropped]


def _joined(note: Marked, names: list[Name]) -> list[Name]:
    """ "starboard engine front mount nuts": a place inside a name before a fastener; the words are one name, the places one place."""
    joined: list[Name] = []
    for name in names:
        last = joined[-1] if joined else None
        split = last is not None and name.fastener is not None and last.fastener is None and name.start > last.end and name.place is not None
        if last is not None and split and name.around.start == last.end and len(last.name.split()) == 1:
            places = list(dict.fromkeys(f"{last.place or ''} {name.place}".split(" ")))
            around = replace(last.around, place=" ".join(p for p in places if p))
            joined[-1] = replace(name, start=last.start, name=f"{last.name} {name.name}", around=around)
        else:
            joined.append(name)
    return joined


def _with_places(note: Marked, names: list[Name]) -> list[Name]:
    return [replace(name, around=look_around(note, name.start, name.end, name.fastener)) for name in names]
