"""The words that join notes together ("same on the right", "all eight done"), loaded from tables and checked."""

from __future__ import annotations

import csv
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass

from gudgeon.domain import BadTable
from gudgeon.notes import Token

ReadTokens = Callable[[str], Sequence[Token]]
NUMBERING = frozenset(("number", "#", "bank", "row"))
"""Words before the number of a twin."""
ANY_FIGURE = "#"
ANY_WORD = "*"
NOTHING_MORE = "$"
"""In a phrase: any figure, any one word, and the end of what is said."""
_THINGS_TOO = frozenset(("ring", "boot", "insert"))
_SEALING = frozenset(("o", "sealing", "retaining", "piston", "scraper", "backup", "snap", "wiper"))
"""Words that may be a joint of their own ("azimuth ring"), and what makes them lie between others all the same."""
_IN_FULL = {"'s": "is", "'re": "are", "'ve": "have"}
_OPEN = frozenset((ANY_FIGURE, ANY_WORD, NOTHING_MORE))
_SENSES = frozenset(
    (
        "same",
        "not same",
        "back",
        "done",
        "count",
        "partial",
        "next",
        "names last",
        "names waiting",
        "pointing",
        "correct",
        "correct start",
        "redo",
        "answer",
        "keep",
        "until",
        "open",
        "other",
        "both",
        "untouched",
        "on it",
        "not value",
        "take back",
        "confirm",
        "scene",
        "same tool",
        "swap",
        "lost",
    )
)
_ROLES = {
    "part": frozenset(("between", "bit", "whole", "manner")),
    "fastener": frozenset(("joint", "own", "with")),
    "partial": frozenset(("rest",)),
    "tool": frozenset(("turning", "holding", "measuring", "other")),
    "compound": frozenset(("joint", "part", "none")),
    "condition": frozenset(("thread", "fastener", "part")),
    "size": frozenset(("big", "small")),
    "lead": frozenset(("away", "clause")),
    "state": frozenset(("new", "reused")),
    "word": frozenset(("plain",)),
    "job": frozenset(("own", "apart")),
    "join": frozenset(("link",)),
    "part tool": frozenset(("part",)),
    "action": frozenset(("aside",)),
    "slip": frozenset(("gave way",)),
    "hand": frozenset(("handing",)),
    "writing": frozenset(("written",)),
    "motion": frozenset(("goes",)),
    "stuff": frozenset(("made",)),
    "written on": frozenset(("paper", "thing")),
    "hold": frozenset(("held",)),
    "numbered": frozenset(("paper",)),
    "read": frozenset(("only", "paper")),
    "hand tool": frozenset(("bit", "held")),
    "stand": frozenset(("under",)),
    "sided": frozenset(("part",)),
}
_TABLES = {"cues": ("sense", "phrase"), "places": ("word", "opposite", "axis", "alone"), "roles": ("kind", "word", "role")}


@dataclass(frozen=True, slots=True)
class Cue:
    """A joining phrase found in a note: its sense, tokens ``at`` to ``end`` (exclusive), and the figure said in it."""

    sense: str
    at: int
    end: int
    figure: float | None = None


@dataclass(frozen=True, slots=True)
class Vocabulary:
    """Phrases by their first two words (the second "" when any will do); places with their opposite and axis; what kind of thing a word is."""

    phrases: Mapping[tuple[str, str], tuple[tuple[tuple[str, ...], str], ...]]
    places: Mapping[str, tuple[str, str]]
    roles: Mapping[tuple[str, str], str]
    alone: frozenset[str]
    """Places that are sure to be places when no part stands beside them ("port" is not: "dust port")."""

    openers: frozenset[str] = frozenset()
    """The first words of places of several words ("drive side")."""

    def role(self, kind: str, word: str) -> str | None:
        """The role of a word of this kind, or None when the tables do not know it."""
        return self.roles.get((kind, word))

    def lies_between(self, name: Sequence[str]) -> bool:
        """Whether a part is put between others (a gasket, a seal): by its last word, and for a ring or a boot by all its words."""
        if not name or self.role("part", name[-1]) != "between":
            return False
        return len(name) == 1 or name[-1] not in _THINGS_TOO or self.role("part", name[0]) == "between" or name[0] in _SEALING

    def axes(self, place: str) -> frozenset[str]:
        """What a place tells apart: side, end, level, depth, number."""
        said = place.split()
        longer = {" ".join(said[i : i + n]) for n in (2, 3) for i in range(len(said) - n + 1)}
        found = {"number" if w == "number" else self.places[w][1] for w in {*said, *longer} if w == "number" or w in self.places}
        return frozenset(found | ({said[-1]} & {"side", "end"} if len(said) > 1 else set()))

    def opposite(self, place: str | None) -> str | None:
        """The place across: "left front" gives "right front"; None when the place has no opposite."""
        if place is not None and place in self.places and self.places[place][0]:
            return self.places[place][0]
        words = (place or "").split()
        known = [i for i, word in enumerate(words) if self.places.get(word, ("", ""))[0]]
        if not known:
            return None
        at = min(known, key=lambda i: self.places[words[i]][1] != "side")
        return " ".join((*words[:at], self.places[words[at]][0], *words[at + 1 :]))

    def cues(self, tokens: Sequence[Token]) -> tuple[Cue, ...]:
        """All joining phrases of a note, in order; of one sense at one place the longest. Linear in the note's length."""
        found: list[Cue] = []
        for at, token in enumerate(tokens):
            follower = tokens[at + 1].norm if at + 1 < len(tokens) else ""
            firsts = (token.norm, ANY_FIGURE) if token.figure else (token.norm,)
            best: dict[str, Cue] = {}
            for first in firsts:
                for words, sense in (*self.phrases.get((first, follower), ()), *self.phrases.get((first, ""), ())):
                    if (sense not in best or best[sense].end < at + len(words)) and _fits(words, tokens, at):
                        end = at + len(words) - (words[-1] == NOTHING_MORE)
                        best[sense] = Cue(sense, at, end, _figure(words, tokens, at))
            found.extend(best.values())
        return tuple(found)


def load_vocabulary(tables: Mapping[str, Sequence[str]], read: ReadTokens) -> Vocabulary:
    """The vocabulary from the lines of ``cues.csv``, ``places.csv`` and ``roles.csv``. Raises BadTable with the row that cannot be used."""
    phrases: dict[tuple[str, str], list[tuple[tuple[str, ...], str]]] = {}
    for line, row in _rows(tables, "cues"):
        words = tuple(token.norm for token in read(row["phrase"]))
        if row["sense"] not in _SENSES or not words:
            raise BadTable(f"cues.csv, line {line}: {row['sense']!r} with {row['phrase']!r} cannot be used.", next_step="Correct the row.")
        for form in {words, tuple(_IN_FULL.get(word, word) for word in words)}:
            second = form[1] if len(form) > 1 and form[1] not in _OPEN else ""
            phrases.setdefault((form[0], second), []).append((form, row["sense"]))
    roles: dict[tuple[str, str], str] = {}
    for line, row in _rows(tables, "roles"):
        if row["role"] not in _ROLES.get(row["kind"], ()):
            raise BadTable(f"roles.csv, line {line}: a {row['kind']!r} has no role {row['role']!r}.", next_step="Correct the row.")
        roles[row["kind"], row["word"]] = row["role"]
    rows = [row for _, row in _rows(tables, "places")]
    places = {row["word"]: (row["opposite"], row["axis"]) for row in rows}
    alone = frozenset(row["word"] for row in rows if row["alone"] == "yes")
    return Vocabulary({first: tuple(of) for first, of in phrases.items()}, places, roles, alone, frozenset(p.split()[0] for p in places if " " in p))


def _rows(tables: Mapping[str, Sequence[str]], name: str) -> list[tuple[int, dict[str, str]]]:
    if name not in tables:
        raise BadTable(f"The table {name}.csv of the entries room is missing.", next_step="Install gudgeon again.")
    reader = csv.DictReader(tables[name])
    if tuple(reader.fieldnames or ()) != _TABLES[name]:
        raise BadTable(f"{name}.csv: the header row should be {','.join(_TABLES[name])}.", next_step="Correct the header.")
    rows: list[tuple[int, dict[str, str]]] = []
    seen: set[tuple[str, ...]] = set()
    for row in reader:
        values = tuple(str(value) for value in row.values())
        if values in seen or None in row or None in row.values():
            raise BadTable(f"{name}.csv, line {reader.line_num}: the row is double or does not fit the header.", next_step="Correct the row.")
        seen.add(values)
        rows.append((reader.line_num, row))
    return rows


def _fits(words: Sequence[str], tokens: Sequence[Token], at: int) -> bool:
    ends = words[-1] == NOTHING_MORE
    last = at + len(words) - ends
    if last > len(tokens) or (ends and last < len(tokens) and tokens[last].kind != "punct"):
        return False
    return all(_is(word, tokens[at + i]) for i, word in enumerate(words[: last - at]))


def _is(word: str, token: Token) -> bool:
    if token.norm == word:
        return True
    if word == ANY_WORD:
        return token.kind == "word"
    return word == ANY_FIGURE and (token.norm == "dozen" or (token.figure is not None and token.figure.form not in {"ordinal", "plural"}))


def _figure(words: Sequence[str], tokens: Sequence[Token], at: int) -> float | None:
    values = [tokens[at + i].value for i, word in enumerate(words) if word == ANY_FIGURE]
    return values[0] if values else None
