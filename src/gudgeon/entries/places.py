"""Places said without their part: "same on the right", "left front has five nuts", "number two identical"."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from gudgeon.domain import Fact, Fastener, Part, Tool
from gudgeon.entries.joint_words import singular
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
_ALIKE = frozenset(("likewise", "ditto", "same", "identical"))
_AFTER_ONE = frozenset(("likewise", "ditto", "same", "the", "has", "had", "gets", "got", "is", "was", "at", "first", "next", "done"))
_AFTER_END = _ALIKE | frozenset((":", "the", "has", "got", "had", "pair", "'s", "one", "ones", "nut", "nuts", "bolt", "bolts", "screw", "screws"))
_EXCEPT = frozenset(("except", "excepting", "bar", "apart", "besides"))
_STAGES = frozenset(("pass", "stage", "step", "round"))
_LETTERS = {"l": "left", "r": "right", "lh": "left", "rh": "right", "ns": "nearside", "os": "offside", "p": "port", "s": "starboard"}
_CORNERS = {"stbd": "starboard", "nsf": "left front", "osf": "right front", "nsr": "left rear", "osr": "right rear"}
_LETTER_GOES_ON = frozenset(("the", "same", "likewise", "ditto", ":", "is", "was", "got", "has", "at"))
_DRIVERS = frozenset(("driver", "drivers", "bit", "bits"))
_UP_TO = frozenset(("to", "through", "thru"))
_AWAY = frozenset(("from", "through", "towards", "toward", "of", "out"))
_EDGES = frozenset(("edge", "face", "corner", "flank"))
"""What a place may be called by, beside a side and an end: "forward edge"."""
_SPLICES = frozenset(("hand", "side", "-"))
_BEHIND_PART = frozenset(("that", "that's"))
"""What may follow any place behind a part: "bearing housing rear that's six screws"."""
_AFTER_SIDED = frozenset(("first", "that", "they", "i", "we", "do"))
"""What may follow "left" or "right" behind a part: "brake arm left that's forty five"."""
_TWINS = 2
_MOST_TWINS = 13


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
        end, said = _run(tokens, at, words)
        if said:
            span = (tokens[at].start, tokens[end - 1].end)
            place = " ".join(said)
            placed = (
                _short(tokens[at]) in _LETTERS
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


def _run(tokens: Sequence[Token], at: int, words: Vocabulary) -> tuple[int, list[str]]:
    """The end of the run of place words at a token, and the words."""
    said: list[str] = []
    while at < len(tokens):
        token = tokens[at]
        value = _number(tokens[at + 1]) if at + 1 < len(tokens) else None
        dotted = token.norm == "no" and at + 2 < len(tokens) and tokens[at + 1].norm == "." and _number(tokens[at + 2]) is not None
        longer = _length(tokens, at, words) if token.norm in words.openers else 0
        letter = _LETTERS.get(_short(token)) if at == 0 or tokens[at - 1].kind == "punct" else None
        if not said and (nth := ordinal(token)) and at + 1 < len(tokens) and tokens[at + 1].norm == "one":
            return at + 1, [f"number {nth}"]
        if letter and not said and (value is not None or (at + 1 < len(tokens) and tokens[at + 1].norm in _LETTER_GOES_ON)):
            return at + 1, [letter]
        if longer:
            plain = longer == _TWINS and tokens[at].norm in words.alone and tokens[at + 1].norm in _SPLICES  # "uphill side"
            said.append(" ".join(t.norm for t in tokens[at : at + longer - plain]))
            at += longer
        elif dotted and (value := _number(tokens[at + 2])) is not None and value == int(value) and 0 < value < 100:
            said.append(f"number {int(value)}")
            at += 3
        elif (token.norm in {"near", "far"} and at + 1 < len(tokens) and tokens[at + 1].norm in {"one", "ones"}) or (
            token.norm == "port" and at + 1 < len(tokens) and tokens[at + 1].norm == "side"
        ):
            said.append(token.norm)
            at += 1
        elif (place := _one_place(token.norm, words)) is not None:
            said.append(place)
            at += 1
        elif token.norm in words.places and at + 1 < len(tokens) and tokens[at + 1].norm in _EDGES:
            said.append(token.norm)
            at += 1
        elif token.norm in NUMBERING and not _counts(tokens, at, words) and value is not None and value == int(value) and 0 < value < 100:
            said.append(f"number {int(value)}")
            at += 2
        elif said and (token.norm in _SPLICES or (token.norm == "end" and at + 1 < len(tokens) and tokens[at + 1].norm in _AFTER_END)):
            at += 1
        else:
            break
    return at, said


def _counts(tokens: Sequence[Token], at: int, words: Vocabulary) -> bool:
    """ "Top row six bolts": the figure behind a row or a bank is how many fasteners there are."""
    if tokens[at].norm not in {"bank", "row"} or at + 2 >= len(tokens):
        return False
    figure = tokens[at + 1].figure
    return words.role("fastener", singular(tokens[at + 2].norm)) is not None and not (figure and figure.splits)


def _short(token: Token) -> str:
    """A side as it is written short: "R/H" is ``rh``."""
    return token.text.lower().replace("/", "")


def _one_place(word: str, words: Vocabulary) -> str | None:
    """The place that a word names, be it in the plural: "rears a hundred and ten newton metres"."""
    if word in words.alone or word in _CORNERS:
        return _CORNERS.get(word, word)
    return word[:-1] if word.endswith("s") and word[:-1] in words.alone else None


def _length(tokens: Sequence[Token], at: int, words: Vocabulary) -> int:
    """How many words a place of several has at a token, 0 when there is none."""
    return next((n for n in (3, 2) if at + n <= len(tokens) and " ".join(t.norm for t in tokens[at : at + n]) in words.alone), 0)


def ordinal(token: Token) -> int | None:
    """The number of a twin that an ordinal means, from the second on; a first is often only what is done first."""
    figure = token.figure
    if figure is None or figure.form != "ordinal" or not 1 < figure.value < _MOST_TWINS:
        return None
    return int(figure.value)


def _number(token: Token) -> float | None:
    """The number behind "number"; of figures run together ("number one two nuts") the first."""
    if token.figure is None:
        return None
    return token.figure.splits[0][0].value if token.figure.splits else token.figure.value


def _is_place(tokens: Sequence[Token], at: int, end: int, said: list[str]) -> bool:
    """A place for sure: two words, a number, or one word between "the" and a word that can follow a thing."""
    if len(said) > 1 or said[0].startswith("number"):
        return True
    before = tokens[at - 1].norm if at else ""
    after = tokens[end].norm if end < len(tokens) else "."
    sideways = said[0] in {"left", "right"}
    if " " in said[0]:
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
        if sideways and after == "the" and end + 1 < len(tokens) and tokens[end + 1].norm in _ALIKE:
            return True
        return after in {"pair", "set", *(_AFTER_SIDE if sideways else _AFTER_ANY)} or tokens[end - 1].norm in _SPLICES or (counted and sideways)
    if not before and after == "the" and end + 1 < len(tokens) and tokens[end + 1].norm in _ALIKE:
        return True
    if not sideways:
        counted = end + 1 < len(tokens) and (tokens[end + 1].kind == "figure" or tokens[end + 1].norm in _AFTER_ONE)
        if after in _ALIKE or after in {":", "pair", "set"}:
            return before in {"", ".", ";", ","}
        return after in {"one", "ones"} and (before in {"", ".", ",", ":", "then", "and"} or counted)
    if after in {"one", "ones"}:
        return True
    if after == "side" or (end > at + 1 and (tokens[end - 1].norm == "side" or after in _AFTER_SIDE)):
        return True
    if not before and after == "the" and end + 1 < len(tokens) and tokens[end + 1].norm in _ALIKE:
        return True
    measured = end < len(tokens) and tokens[end].kind == "figure" and before in {",", ";", ":"}
    opens = not before or before in {",", ".", ";", ":", "and", "next", "then", "now", "first"}
    return measured or (opens and (after in {":", "one", "side", "hand", "pair", "set", "has", "had", "gets", "got"} or after in _ALIKE))


def _closes(tokens: Sequence[Token], at: int) -> bool:
    """Whether what is said ends at a token, or goes on with "and"."""
    return at >= len(tokens) or tokens[at].kind == "punct" or tokens[at].norm == "and"


def _is_left_out(tokens: Sequence[Token], at: int) -> bool:
    """A place said to be left out ("all of them except the back left"), or only an order ("outer ones first")."""
    behind = [t.norm for t in tokens[at + 1 : at + 3]]
    if behind[:1] in (["one"], ["ones"]) and behind[1:] in (["first"], ["last"]):
        return True
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
