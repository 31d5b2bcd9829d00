"""Places said without their part: "same on the right", "left front has five nuts", "number two identical"."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from gudgeon.domain import Fact, Fastener, Part, Tool
from gudgeon.entries.place_words import ALIKE, LETTERS, SPLICES, run_of_places, short_of
from gudgeon.entries.vocabulary import NUMBERING, Vocabulary
from gudgeon.notes import Token

_AFTER_ANY = frozenset(
    ("one", "ones", "has", "had", "got", "gets", "get", "same", "likewise", "ditto", "identical", "needs", "took", "takes", "opens", "reads")
)
_AFTER_SIDE = _AFTER_ANY | frozenset(
    (
        "side",
        "hand",
        "too",
        "as",
        "now",
        "is",
        "was",
        "are",
        "were",
        "also",
        "next",
        "done",
        "at",
        "to",
        "and",
        "with",
        "came",
        "measures",
        "needed",
        "again",
        ",",
        ".",
        ";",
        ":",
        "'s",
    )
)
_AFTER_PART = _AFTER_ANY | frozenset(("was", "were", "is", "end", "side", ":", ",", "."))
_AFTER_ONE = frozenset(("likewise", "ditto", "same", "the", "has", "had", "gets", "got", "is", "was", "at", "first", "next", "done"))
_EXCEPT = frozenset(("except", "excepting", "bar", "apart", "besides"))
_STAGES = frozenset(("pass", "stage", "step", "round"))
_DRIVERS = frozenset(("driver", "drivers", "bit", "bits"))
_UP_TO = frozenset(("to", "through", "thru"))
_AWAY = frozenset(("from", "through", "towards", "toward", "of", "out"))
_BEHIND_PART = frozenset(("that", "that's"))
"""What may follow any place behind a part: "bearing housing rear that's six screws"."""
_AFTER_SIDED = frozenset(("first", "that", "they", "i", "we", "do"))
"""What may follow "left" or "right" behind a part: "brake arm left that's forty five"."""
_TWINS = 2


@dataclass(frozen=True, slots=True)
class BarePlace:
    """A place that no part stands beside, as the record writes it, and its span; or ``size``, big or small, for "the big ones"."""

    place: str
    span: tuple[int, int]
    size: str | None = None


def bare_places(tokens: Sequence[Token], facts: Sequence[Fact], words: Vocabulary) -> tuple[BarePlace, ...]:
    """The places a note says by themselves, in order; those that belong to a part's name, or are no places here, are left out."""
    trailing = _trailing(tokens, facts, words)
    if trailing:
        return trailing
    found: list[BarePlace] = []
    at = 0
    while at < len(tokens):
        end, said = run_of_places(tokens, at, words)
        if said:
            span = (tokens[at].start, tokens[end - 1].end)
            place = " ".join(said)
            placed = (
                short_of(tokens[at]) in LETTERS
                or _is_place(tokens, at, end, said)
                or _valued(tokens, at, end, facts)
                or _counted(tokens, at, end, facts)
                or _begins(tokens, at, span, facts)
                or _paired(tokens, at, end, words)
                or _trails_value(tokens, at, end, facts)
                or _before_fastener(tokens, at, span, facts, words)
            )
            if (
                placed
                and not _is_of_tool(tokens, end, facts)
                and not _is_taken(place, span, facts)
                and not (
                    _names_bolt(tokens, at, end)
                    or _is_handed(tokens, end)
                    or _is_thread_hand(tokens, at, end, facts)
                    or _is_left_out(tokens, at)
                    or _goes_in(tokens, at)
                    or _goes_up_to(tokens, end)
                )
            ):
                found.append(BarePlace(place, span))
        elif (size := _size(tokens[at], words)) and _points(tokens, at):
            found.append(BarePlace("", (tokens[at].start, tokens[at].end), size))
        at = max(end, at + 1)
    return tuple(found)


def _names_bolt(tokens: Sequence[Token], at: int, end: int) -> bool:
    """ "Centre bolt": the one in the middle, by its name."""
    middle = end == at + 1 and tokens[at].norm in {"centre", "center"}
    return middle and end < len(tokens) and tokens[end].norm in {"bolt", "nut", "screw", "pin", "stud"}


def _is_handed(tokens: Sequence[Token], end: int) -> bool:
    """ "Left-handed": which way a thread turns, and no place."""
    return end < len(tokens) and tokens[end].norm in {"handed", "hander"}


def _is_thread_hand(tokens: Sequence[Token], at: int, end: int, facts: Sequence[Fact]) -> bool:
    """ "Nut left-hand, 85 Nm": which way its thread turns."""
    behind = tokens[end].norm if end < len(tokens) else ""
    bolt = any(isinstance(f, Fastener) and 0 <= tokens[at].start - f.span[1] <= len(", ") for f in facts)
    bolt = bolt or (at > 1 and tokens[at - 1].norm == "," and tokens[at - 2].thread is not None)  # "arbor nut: M24, left-hand"
    return tokens[end - 1].norm == "hand" and bolt and behind in {"", ",", ".", "thread", "threads"}


def _is_of_tool(tokens: Sequence[Token], end: int, facts: Sequence[Fact]) -> bool:
    """ "With the number two driver"."""
    if end >= len(tokens):
        return False
    return tokens[end].norm in _DRIVERS or any(isinstance(f, Tool) and f.span[0] <= tokens[end].start < f.span[1] for f in facts)


def _goes_up_to(tokens: Sequence[Token], end: int) -> bool:
    """ "Number one to six": several, and not the first of them."""
    at = next((i for i in range(end - 1, -1, -1) if tokens[i].figure is None and tokens[i].norm not in NUMBERING), -1)
    if at > 0 and tokens[at].norm in _UP_TO and tokens[at - 1].figure is not None and tokens[end - 1].figure is not None:
        return True
    up = end + 1 < len(tokens) and tokens[end].norm in _UP_TO and tokens[end - 1].figure is not None
    valued = end + 2 < len(tokens) and tokens[end + 2].kind == "unit"
    return up and not valued and (tokens[end + 1].figure is not None or tokens[end + 1].norm in NUMBERING)


def _trailing(tokens: Sequence[Token], facts: Sequence[Fact], words: Vocabulary) -> tuple[BarePlace, ...]:
    """Opposite places, each right behind its value: "eighteen newton metres left and nineteen newton metres right"."""
    found = []
    for fact in facts:
        if fact.kind not in {"torque", "measure"}:
            continue
        at = next((i for i, t in enumerate(tokens) if t.start >= fact.span[1]), len(tokens))
        ends = at + 1 >= len(tokens) or tokens[at + 1].kind == "punct" or tokens[at + 1].norm == "and"
        if at == len(tokens) or tokens[at].norm not in words.alone or not ends:
            return ()
        found.append(BarePlace(tokens[at].norm, (fact.span[0], fact.span[0])))
    return tuple(found) if len(found) == _TWINS and words.opposite(found[0].place) == found[1].place else ()


def _before_fastener(tokens: Sequence[Token], at: int, span: tuple[int, int], facts: Sequence[Fact], words: Vocabulary) -> bool:
    """A place right behind a part, or before a fastener at the start of what is said: "latch south was", "rod left lock nut", "top two bolts"."""
    comma = at > 0 and tokens[at - 1].norm == ","
    behind = any(isinstance(f, (Part, Fastener)) and 0 <= span[0] - f.span[1] <= 1 + (comma and isinstance(f, Part)) for f in facts)
    between = comma and at + 1 < len(tokens) and tokens[at + 1].norm == ","  # "hook nut, front, 25 foot pound"
    if between and any(isinstance(f, Fastener) and not f.count and f.span[1] == tokens[at - 1].start for f in facts):
        return True
    follower = next((t for t in tokens[at + 1 :] if t.start >= span[1]), None)
    plural = tokens[at].norm not in words.places
    i = next((i for i in range(at + 1, len(tokens)) if tokens[i].start >= span[1]), len(tokens))
    headed = comma and i + 1 < len(tokens) and tokens[i].kind == "word" and tokens[i + 1].norm == ":"
    if behind and (follower is None or follower.norm in _AFTER_PART | _BEHIND_PART or plural or headed):
        return True
    if behind and i + 1 < len(tokens) and tokens[i].norm == "and" and words.axes(tokens[at].norm) & words.axes(tokens[i + 1].norm):
        return True  # "cheek plates left and right five bolts each"
    if behind and i < len(tokens) and tokens[i].figure is not None and any(f.kind == "torque" and f.span[0] == tokens[i].start for f in facts):
        return True
    sided = tokens[at].norm in {"left", "right"} and any(isinstance(f, Part) and span[0] - f.span[1] == 1 for f in facts)
    if sided and follower is not None and follower.norm in _AFTER_SIDED:
        return True
    bolted = tokens[at].norm in {"left", "right"} and any(isinstance(f, Fastener) and span[0] - f.span[1] == 1 for f in facts)
    acted = follower is not None and any(f.kind == "action" and f.span[0] == follower.start for f in facts)
    if bolted and follower is not None and (acted or follower.norm in {"also", "too"}):
        return True
    if not any(isinstance(f, Fastener) and f.span[0] <= span[1] + 1 and f.span[1] > span[1] for f in facts):
        return False
    opens = at == 0 or tokens[at - 1].kind == "unit" or tokens[at - 1].norm in {",", ";", ".", ":", "and", "the"}
    return opens or behind


def _paired(tokens: Sequence[Token], at: int, end: int, words: Vocabulary) -> bool:
    """One of two opposite places that end what is said: "16 Nm, left and right"."""

    def ends(i: int) -> bool:
        return i >= len(tokens) or tokens[i].kind == "punct"

    def across(one: Token, other: Token) -> bool:
        return words.opposite(one.norm) == other.norm or words.opposite(other.norm) == one.norm

    if end == at + 1 and end + 1 < len(tokens) and tokens[end].norm == "and" and across(tokens[at], tokens[end + 1]):
        return ends(end + 2)
    return at > 1 and tokens[at - 1].norm == "and" and across(tokens[at - 2], tokens[at]) and ends(end)


def _begins(tokens: Sequence[Token], at: int, span: tuple[int, int], facts: Sequence[Fact]) -> bool:
    """A place that a sentence opens with, a comma and a fastener behind it: "caps: front, 2 bolts, 50 Nm. Back, 2 bolts, 50 Nm"."""
    opens = at == 0 or tokens[at - 1].norm in {":", ".", ";"}
    comma = next((t for t in tokens[at + 1 :] if t.start >= span[1]), None)
    follows = any(f.kind == "fastener" and 0 < f.span[0] - span[1] <= len(", ") for f in facts)
    return opens and follows and comma is not None and comma.norm == ","


def _trails_value(tokens: Sequence[Token], at: int, end: int, facts: Sequence[Fact]) -> bool:
    """A side that ends what is said, right behind a value: "end cover four screws 8 Nm port side"."""
    closes = end >= len(tokens) or tokens[end].norm in {".", ";"}
    return closes and tokens[end - 1].norm == "side" and at > 0 and any(f.kind == "torque" and f.span[1] == tokens[at - 1].end for f in facts)


def _valued(tokens: Sequence[Token], at: int, end: int, facts: Sequence[Fact]) -> bool:
    """A place with a value right behind it: "front 1.9 bar, rear 2.2 bar"."""
    before = tokens[at - 1] if at else None
    talk = tokens[at].norm == "right" and (before is None or before.norm in {".", ";"})
    opens = not talk and (before is None or before.kind == "unit" or before.norm in {":", ",", ";", ".", "and"})
    opens = opens or (before is not None and any(f.kind == "torque" and f.span[1] == before.end for f in facts))
    return opens and end < len(tokens) and any(f.kind in {"measure", "torque"} and f.span[0] == tokens[end].start for f in facts)


def _counted(tokens: Sequence[Token], at: int, end: int, facts: Sequence[Fact]) -> bool:
    """A place with a count and a value behind it: "outer four 45 Nm, inner two 30 Nm"."""
    before = tokens[at - 1].norm if at else ""
    if end + 1 >= len(tokens) or tokens[end].figure is None or before not in {"", ":", ",", ".", ";", "and", "the"}:
        return False
    covered = any(f.span[0] <= tokens[end].start < f.span[1] for f in facts)
    return not covered and any(f.kind == "torque" and 0 <= f.span[0] - tokens[end].end <= len(" at ") for f in facts)


def _size(token: Token, words: Vocabulary) -> str | None:
    """Which fasteners a word points at: big, small, or those of a thread ("the eights" gives "8")."""
    if token.figure and token.figure.form == "plural":
        return f"{token.figure.value:g}"
    return words.role("size", token.norm)


def _points(tokens: Sequence[Token], at: int) -> bool:
    """Whether "big" or "small", or "the eights", points at some of what was named: "the big ones", "for the small"."""
    after = tokens[at + 1] if at + 1 < len(tokens) else None
    before = tokens[at - 1] if at else None
    if after is not None and after.norm == "ones" and (before is None or before.kind in {"unit", "punct"} or before.norm == "and"):
        return True
    followed = after is None or after.kind == "punct" or after.norm in {"ones", "one", "at", "to", "get", "got"}
    return before is not None and before.norm in {"the", "those"} and followed


def _is_place(tokens: Sequence[Token], at: int, end: int, said: list[str]) -> bool:
    """A place for sure: two words, a number, or one word between "the" and a word that can follow a thing."""
    if len(said) > 1 or said[0].startswith("number"):
        return True
    before = tokens[at - 1].norm if at else ""
    after = tokens[end].norm if end < len(tokens) else "."
    sideways = said[0] in {"left", "right"}
    if " " in said[0]:
        return True
    if before == "(" and after == ")":
        return True  # "slack adjuster (left): lock bolt 45 Nm"
    if before in {"", ".", ";"} and after == "," and _only_alike(tokens, end + 1):
        return True
    if _goes_back(tokens, at) and (after in _AFTER_SIDE or end >= len(tokens)):
        return True
    if before in {"", ".", ";"} and said[0] != "back" and after in _STAGES:
        return True
    if before in {"the", "its"}:
        if at > 1 and not sideways and tokens[at - 2].norm in _AWAY:
            return False
        if sideways and at > 2 and tokens[at - 2].norm in {"to", "on"} and tokens[at - 3].norm == "back":
            return True
        counted = end < len(tokens) and tokens[end].kind == "figure"
        if end > at + 1 and tokens[end - 1].norm == "end" and after in {"'s", "pair", "one", "ones"}:
            return True  # "the south end's nuts"
        if counted and at > 1 and tokens[at - 2].norm in {"on", "for"} and _closes(tokens, end + 1):
            return True  # "70 Nm on the rear two"
        if sideways and after == "of" and at > 1 and tokens[at - 2].norm == "on":
            return True
        if sideways and after == "the" and end + 1 < len(tokens) and tokens[end + 1].norm in ALIKE:
            return True
        return after in {"pair", "set", *(_AFTER_SIDE if sideways else _AFTER_ANY)} or tokens[end - 1].norm in SPLICES or (counted and sideways)
    starts = not before or tokens[at - 1].kind == "unit"  # "twenty two inch pounds, lower the same"
    if starts and after == "the" and end + 1 < len(tokens) and tokens[end + 1].norm in ALIKE:
        return True
    if not sideways:
        counted = end + 1 < len(tokens) and (tokens[end + 1].kind == "figure" or tokens[end + 1].norm in _AFTER_ONE)
        if after in ALIKE or after in {":", "pair", "set"}:
            return before in {"", ".", ";", ","}
        return after in {"one", "ones"} and (before in {"", ".", ",", ":", "then", "and"} or counted)
    if after in {"one", "ones"}:
        return True
    if after == "side" or (end > at + 1 and (tokens[end - 1].norm == "side" or after in _AFTER_SIDE)):
        return True
    if not before and after == "the" and end + 1 < len(tokens) and tokens[end + 1].norm in ALIKE:
        return True
    measured = end < len(tokens) and tokens[end].kind == "figure" and before in {",", ";", ":"}
    opens = not before or before in {",", ".", ";", ":", "and", "next", "then", "now", "first"}
    return measured or (opens and (after in {":", "one", "side", "hand", "pair", "set", "has", "had", "gets", "got"} or after in ALIKE))


def _only_alike(tokens: Sequence[Token], at: int) -> bool:
    """Whether "same" and no other joint is all that a sentence goes on with: "right, same."."""
    end = next((i for i in range(at, len(tokens)) if tokens[i].norm in {".", ";", ","}), len(tokens))
    said = [t.norm for t in tokens[at:end]]
    return bool(said) and said[0] in ALIKE and set(said) <= ALIKE | {"again", "too", "as", "the", "left", "right", "front", "rear", "before"}


def _closes(tokens: Sequence[Token], at: int) -> bool:
    """Whether what is said ends at a token, or goes on with "and"."""
    return at >= len(tokens) or tokens[at].kind == "punct" or tokens[at].norm == "and"


def _is_left_out(tokens: Sequence[Token], at: int) -> bool:
    """A place said to be left out ("all of them except the back left"), or only an order ("outer ones first")."""
    behind = [t.norm for t in tokens[at + 1 : at + 3]]
    sided = tokens[at].norm in {"left", "right"} and behind[:1] == ["one"]  # "hangers now, left one first, two bolts"
    if behind[:1] in (["one"], ["ones"]) and behind[1:] in (["first"], ["last"]) and not sided:
        return True
    if [t.norm for t in tokens[max(at - 2, 0) : at]] == ["back", "to"] and (at + 1 >= len(tokens) or tokens[at + 1].kind == "punct"):
        return True  # "read it back to front"
    return not _EXCEPT.isdisjoint(t.norm for t in tokens[max(at - 3, 0) : at] if t.kind == "word")


def _goes_in(tokens: Sequence[Token], at: int) -> bool:
    """ "Seat back in", "cover back on": put back, and no place."""
    return tokens[at].norm == "back" and at + 1 < len(tokens) and tokens[at + 1].norm in {"in", "on", "together", "to", "up"}


def _goes_back(tokens: Sequence[Token], at: int) -> bool:
    """Whether "back on", "back to the" stands right before a token."""
    start = at - 1 if at and tokens[at - 1].norm == "the" else at
    return start > 1 and tokens[start - 1].norm in {"on", "to", "at", "with"} and tokens[start - 2].norm == "back"


def _is_taken(place: str, span: tuple[int, int], facts: Sequence[Fact]) -> bool:
    """Whether a fact already holds this place, or a part's name holds these words."""
    for fact in facts:
        start, end = fact.span
        if isinstance(fact, Part) and start <= span[0] and span[1] <= end:
            return True
        held = getattr(fact, "place", None)
        if held and set(place.split()) <= set(held.split()) and min(abs(span[0] - end), abs(start - span[1]), abs(start - span[0])) < 40:
            return True
    return False
