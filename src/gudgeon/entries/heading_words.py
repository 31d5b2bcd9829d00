"""Headings whose name no list knows: "north dial hands", "ski rack front bar", "gondola 6, hanger pin nut 160 Nm"."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from gudgeon.domain import Part
from gudgeon.entries.joint_words import singular
from gudgeon.entries.lines import BREAKS
from gudgeon.entries.spoken import Scene
from gudgeon.entries.vocabulary import NUMBERING, Vocabulary
from gudgeon.notes import Token

_LONGEST = 7
"""Words of a heading, at most."""
_NAME = 3
"""Words of its name that are kept, at most."""
_HUNDRED = 100
FILLER = frozenset(
    ("the", "on", "to", "and", "so", "now", "next", "then", "first", "over", "moving", "onto", "doing", "start", "starting", "with")
) | frozenset(("side", "hand", "end", "ok", "okay", "well", "we", "are", "is", "'s"))
"""What stands around a side that is all a note says."""
NOUNS = frozenset(("side", "hand", "end"))
"""What a side may be called by besides: "the left hand side"."""
VALUES = frozenset(("torque", "angle", "measure", "condition"))
"""Kinds of facts that can stand in an entry."""
_TOPS = frozenset(("top", "bottom"))
_PUT_BACK = frozenset(("in", "on", "up", "together"))
"""What "back" goes on with where it is no place: "seat back in"."""


@dataclass(frozen=True, slots=True)
class HeadingPhrase:
    """A heading's name as comparable words, its place, and whether that is the place of what its sentence goes on with."""

    part: tuple[str, ...]
    place: str
    passes: bool


def heading_phrase(scene: Scene, words: Vocabulary) -> HeadingPhrase | None:
    """What a note opens with or consists of, when it is a name with one place or number and nothing is said of it; None when there is no such."""
    clauses = _clauses(scene)
    for at, clause in enumerate(clauses[:2]):
        said = clause[:-1] if clause[-1].norm in BREAKS else clause
        if not said or not _says_nothing(said, scene):
            return None
        if (
            said[-1].norm not in NOUNS
            and any(isinstance(f, Part) and not f.place and f.span == (said[0].start, said[-1].end) for f in scene.facts)
            and not any(t.figure for t in said)
        ):
            return None  # "front loader." is a name as it stands
        found = _name_and_place(said, words)
        if found is None:
            continue
        ended = clause[-1].norm
        behind = [f for f in scene.facts if f.span[0] >= clause[-1].end]
        if not behind:
            return HeadingPhrase(*found, passes=False) if at + 1 == len(clauses) or ended in {".", ";"} or scene.has("same") else None
        if ended in {",", ":"}:
            fastened = (any(f.kind == "fastener" for f in behind) or scene.has("same")) and any(f.kind == "part" for f in behind)
            own = ended == "," and behind[0].kind == "fastener" and behind[0].span[0] == clause[-1].end + 1  # "front cover, 8 x M5 nuts, 7 Nm"
            if own and any(f.kind == "torque" and f.span[0] < next(p.span[0] for p in behind if p.kind == "part") for f in behind if fastened):
                return None
            return HeadingPhrase(*found, passes=True) if fastened else None
        named = found[0] in {("side",), ("end",)} or found[1].startswith("number")
        return HeadingPhrase(*found, passes=not named) if ended in {".", ";"} else None
    return None


def _clauses(scene: Scene) -> list[list[Token]]:
    found: list[list[Token]] = [[]]
    for token in scene.tokens:
        found[-1].append(token)
        if token.norm in BREAKS:
            found.append([])
    return [clause for clause in found if clause]


def _says_nothing(said: Sequence[Token], scene: Scene) -> bool:
    """Whether there is nothing but names of parts in a clause."""
    start, end = said[0].start, said[-1].end
    return len(said) <= _LONGEST and all(f.kind == "part" for f in scene.facts if f.span[0] < end and start < f.span[1])


def _name_and_place(said: Sequence[Token], words: Vocabulary) -> tuple[tuple[str, ...], str] | None:
    """The name and the place or number of a clause that has nothing else but plain words, and perhaps what it belongs to before them."""
    if said[-1].norm == "back" and _norm(said, len(said) - 2) != "the":
        return None  # "office rang back."
    kinds = [_kind(token, words) for token in said]
    if "other" in kinds or any(one.norm == "back" and other.norm in _PUT_BACK for one, other in pairwise(said)):
        return None
    if 1 < len(said) <= _NAME and said[-1].norm in {"side", "end"} and set(kinds[:-1]) == {"name"}:
        return (said[-1].norm,), " ".join(t.norm for t in said)
    placed = [i for i, kind in enumerate(kinds) if kind == "place"]
    numbers = [i for i, kind in enumerate(kinds) if kind == "number"]
    if len(numbers) > 1 or bool(numbers) == bool(placed) or (placed and placed[-1] - placed[0] >= len(placed)):
        return None
    first, last = (placed or numbers)[0], (placed or numbers)[-1]
    if numbers and (_norm(said, first - 1) in {"x", "×", "times"} or (_norm(said, first) == "one" and _norm(said, first + 1) == "'s")):
        return None  # "rollers x4", "the brake one's the same"
    if numbers and words.role("numbered", _norm(said, first - 1 - (_norm(said, first - 1) in NUMBERING))):
        return None  # "card 8, item 1: spindle collar"
    marked = bool(numbers) and first > 0 and said[first - 1].norm in NUMBERING
    if placed and said[last].norm in _TOPS and kinds[first - 1] == "name" and _norm(said, first - 2) in {"the", "a"}:
        return None  # where somebody stands: "up on the car top"
    name = _run(said, kinds, last + 1, 1) if placed else []
    end = last + 1 + len(name)
    name = name or _run(said, kinds, first - 1 - marked, -1)
    if not name and marked and "name" not in kinds:
        return (), f"number {said[first].value:g}"
    if not name or ("name" in kinds[end:] and not marked):
        return None
    place = f"number {said[first].value:g}" if numbers else " ".join(t.norm for t in said[first : last + 1])
    return tuple(singular(word) for word in name[-_NAME:]), place


def _norm(said: Sequence[Token], at: int) -> str:
    return said[at].norm if 0 <= at < len(said) else ""


def _kind(token: Token, words: Vocabulary) -> str:
    figure = token.figure
    if token.norm == "first":
        return "plain"
    if figure is not None:
        return "number" if figure.form == "cardinal" and 0 < figure.value < _HUNDRED and figure.value % 1 == 0 else "other"
    if token.norm == "'s":
        return "plain"
    if token.kind != "word" or "'" in token.norm:
        return "other"
    if token.norm in words.places:
        return "place"
    return "plain" if words.role("word", token.norm) else "name"


def _run(said: Sequence[Token], kinds: Sequence[str], at: int, step: int) -> list[str]:
    """The words of a name that stand side by side from a token on, in the order said."""
    found: list[str] = []
    while 0 <= at < len(said) and kinds[at] == "name":
        found.append(said[at].norm)
        at += step
    return found[::step]
