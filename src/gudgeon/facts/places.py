"""What stands around a name: the place that tells a part from its twins, and whether it is new or reused."""

from __future__ import annotations

from dataclasses import dataclass

from gudgeon.facts.lexicon import Hit
from gudgeon.facts.marked import Marked
from gudgeon.facts.wordset import word_set

NUMBER_WORDS = word_set("nr number num # no bank row")
ROWS = word_set("bank row")
"""Of these, those that may also have a count behind them: "top row six bolts"."""
REFITTED = word_set("refitted refit reused reinstalled")
SWAPPING = word_set("a the some brand replaced swapped changed was were been has have had 's out")
SAID_OF = word_set("got at is had has gets took takes needs was were don't do goes went")
"""Words behind a place that stands behind a name: "cheek plate left has had sixty"."""
HAVING = word_set("has had got gets needs takes 's")
NO_TWINS = word_set("line way table post house page room bus")
"""Things that have numbers and are no part of a machine."""
TWINS = 24
"""Twins told apart by a number, at most."""
ORDER = ("left", "right")


@dataclass(frozen=True, slots=True)
class Around:
    """Where the words around a name begin, its place, and its state (``new``, ``reused`` or None)."""

    start: int
    place: str | None = None
    state: str | None = None


def look_around(note: Marked, start: int, end: int, fastener: int | None) -> Around:
    """Read the words right before tokens ``start`` to ``end``, and those right after."""
    begin, places, states = _before(note, start)
    if fastener is None:
        places += _after(note, end)
    elif not places:
        behind = note.starting("fasteners", fastener)[0].end
        places += _number_behind(note, behind) or _places_behind(note, behind) or _on_the_side(note, behind)
    place = " ".join(dict.fromkeys(places)) or None
    return Around(begin, place, _state(note, begin, end, states))


def _before(note: Marked, start: int) -> tuple[int, list[str], list[str]]:
    places: list[str] = []
    states: list[str] = []
    at = start
    while at > 0:
        number = _number_ending(note, at)
        if number:
            places.insert(0, f"number {number}")
            at = _number_word(note, at)
            continue
        hit = _ending(note, "places", at)
        if hit is not None:
            places.insert(0, hit.row["place"])
        else:
            hit = _ending(note, "states", at)
            if hit is not None:
                states.append(hit.row["state"])
            else:
                hit = _ending(note, "descriptions", at)
        if hit is None:
            break
        at = hit.start
    return at, places, states


def _ending(note: Marked, table: str, end: int) -> Hit | None:
    """The phrase of a table that ends right before ``end``."""
    for length in (3, 2, 1):
        for hit in note.starting(table, end - length) if end >= length else ():
            if hit.end == end:
                return hit
    return None


def _number_ending(note: Marked, end: int) -> int | None:
    """The number in "number two" or "no 2" right before ``end``."""
    if end >= 2 and note.norms[_number_word(note, end)] in NUMBER_WORDS:
        return _whole(note, end - 1)
    return None


def _number_word(note: Marked, end: int) -> int:
    """Where "number" or "No." stands in front of a figure that ends at ``end``."""
    return end - 3 if end >= 3 and note.norms[end - 2] == "." and note.tokens[end - 2].joined else end - 2


def _whole(note: Marked, at: int) -> int | None:
    """A whole number below a hundred at a token."""
    if not 0 <= at < len(note.tokens):
        return None
    value = note.tokens[at].value
    return int(value) if value is not None and value == int(value) and 0 < value < 100 else None


def _after(note: Marked, end: int) -> list[str]:
    """A number or side said right after a name: "push rod number three", "wheel cylinder, left:", "the arm on the left"."""
    if is_numbering(note, end):
        return _number_behind(note, end)
    if is_numbered(note, end):
        return [f"number {_whole(note, end)}"]
    behind = _places_behind(note, end)
    if behind:
        return behind
    comma = note.word(end) == ","
    first = next(iter(note.starting("places", end + comma)), None)
    second = next(iter(note.starting("places", first.end)), None) if first is not None else None
    if comma and first is not None and second is not None and note.word(second.end) in (":", ",", ".", ""):
        return [first.row["place"], second.row["place"]]
    for hit in note.starting("places", end + comma):
        if note.word(hit.end) in (":", "") or (comma and note.word(hit.end) in (",", ".")):
            return [hit.row["place"]]
    return _on_the_side(note, end)


def is_numbered(note: Marked, end: int) -> bool:
    """ "Cylinder two has four nuts": a number between a thing and what it has."""
    number = _whole(note, end) if note.kind(end) == "figure" and not note.norms[end - 1].endswith("s") else None
    having = note.word(end + 1) in HAVING and (note.kind(end + 2) == "figure" or note.word(end + 2) in ("both", "all", "new", "had", "got"))
    return number is not None and number <= TWINS and having


def is_numbering(note: Marked, at: int) -> bool:
    """Whether a word has the number of a twin behind it: "bank two", "number 3", but not "row six bolts"."""
    word = note.word(at)
    return word in NUMBER_WORDS and (word not in ROWS or not (note.starting("fasteners", at + 2) and note.kind(at + 1) == "figure"))


def is_told_by_number(note: Marked, end: int) -> bool:
    """ "Arm number two": the number of a twin behind an ordinary word."""
    return note.word(end) == "number" and bool(_number_behind(note, end)) and note.norms[end - 1] not in NO_TWINS


def _number_behind(note: Marked, end: int) -> list[str]:
    """ "push rod number three", "head bolts bank two"; of figures run together ("number one two nuts") the first."""
    if not is_numbering(note, end) or _goes_up_to(note, end + 2):
        return []
    number = _whole(note, end + 1)
    if number is None and end + 1 < len(note.tokens):
        figure = note.tokens[end + 1].figure
        number = int(figure.splits[0][0].value) if figure and figure.splits else None
    return [f"number {number}"] if number else []


def _goes_up_to(note: Marked, at: int) -> bool:
    """ "Number one to six", "number one to number ten": several twins, and not the first of them."""
    up = note.word(at) in ("to", "-", "–", "through", "thru")
    return up and (is_numbering(note, at + 1) or (note.kind(at + 1) == "figure" and note.kind(at + 2) != "unit"))


def _places_behind(note: Marked, end: int) -> list[str]:
    """ "engine mounts port side front sixty newton metres": places between a name and what is said of it."""
    places: list[str] = []
    at = end
    while hits := note.starting("places", at):
        places.append(hits[0].row["place"])
        at = hits[0].end
    if places and (note.kind(at) in ("figure", "thread") or note.word(at) in SAID_OF):
        return places
    return []


def _on_the_side(note: Marked, at: int) -> list[str]:
    """ "on the left", "on the right hand side", when nothing else is named by it."""
    if note.word(at) not in ("on", "at") or note.word(at + 1) != "the":
        return []
    for hit in note.starting("places", at + 2):
        after = hit.end + (note.word(hit.end) in ("side", "end"))
        names = any(note.starting(t, after) for t in ("part_nouns", "fasteners", "part_modifiers", "places"))
        if not names and note.word(after) != "of" and (note.kind(after) != "word" or note.norms[after] in note.lexicon.common):
            return [hit.row["place"]]
    return []


def _state(note: Marked, begin: int, end: int, before: list[str]) -> str | None:
    if "reused" in before:
        return "reused"
    if "new" in before:
        return "new"
    for at in range(end, min(end + 3, len(note.tokens))):
        for hit in note.starting("states", at):
            if hit.row["state"] == "reused" and hit.row.phrase not in ("original",):
                return "reused"
    if note.word(end) == "new" and note.kind(end + 1) in ("punct", ""):
        return "new"
    if "old" in before and any(word in REFITTED for word in note.norms[note.start_of(note.sentence, begin) : begin]):
        return "reused"
    earlier = note.norms[note.start_of(note.sentence, begin) : begin]
    if "old" in before and "back" in earlier and ("with" in earlier[-2:] or "on" in earlier[-2:]):
        return "reused"
    if "old" in before and "back" in note.norms[end : note.end_of(note.clause, end - 1)]:
        return "reused"
    return "new" if _swapped_for_new(note, end) else None


def _swapped_for_new(note: Marked, end: int) -> bool:
    """ "swapped the plate for a new one"."""
    words = [word for word in note.norms[end : end + 6] if word not in SWAPPING]
    return words[:2] in (["for", "new"], ["with", "new"]) and words[2:3] in (["one"], ["ones"])
