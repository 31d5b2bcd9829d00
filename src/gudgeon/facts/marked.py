"""A note with its tokens and every phrase found in them: what all the rules look at."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field

from gudgeon.domain.facts import Span
from gudgeon.facts.lexicon import Hit, Lexicon
from gudgeon.facts.wordset import word_set
from gudgeon.notes import Token

TAKING_BACK = word_set("no sorry wait actually scrub hang hold or make rather")
ENDS = frozenset(".?!;…")
"""Signs that end a sentence."""
NOT_NAMES = (
    *("actions", "chatter", "fillers", "descriptions", "places", "states", "breaks", "conditions", "negations", "hedges", "containers"),
    *("corrections", "hypotheticals", "quantities", "tools", "compounds", "fasteners", "reported", "colours", "stages", "connectors", "turns"),
    *("questions", "todos", "buys", "equipment"),
)
"""Tables whose words are no unknown part of a part's name."""
PAUSES = frozenset(",:()-–—/")


@dataclass(slots=True)
class Marked:
    """A note ready for the rules.

    ``norms`` are the tokens' norms; ``hits`` the phrases by table; ``at`` the same by table and first token; ``sentence``, ``clause`` and
    ``piece`` number, for each token, the stretch it stands in (pieces are the smallest).
    """

    text: str
    tokens: Sequence[Token]
    lexicon: Lexicon
    hits: dict[str, list[Hit]]
    norms: list[str] = field(default_factory=list)
    kinds: list[str] = field(default_factory=list)
    at: dict[str, dict[int, list[Hit]]] = field(default_factory=dict)
    sentence: list[int] = field(default_factory=list)
    clause: list[int] = field(default_factory=list)
    piece: list[int] = field(default_factory=list)
    cued: bytearray = field(default_factory=bytearray)

    def of(self, table: str, **wanted: str) -> Iterator[Hit]:
        """The hits of a table whose columns hold the wanted values."""
        for hit in self.hits.get(table, ()):
            if all(hit.row[column] == value for column, value in wanted.items()):
                yield hit

    def starting(self, table: str, at: int) -> list[Hit]:
        """The hits of a table that start at a token."""
        return self.at.get(table, {}).get(at, [])

    def word(self, at: int) -> str:
        """The norm at ``at``, or "" outside the note."""
        return self.norms[at] if 0 <= at < len(self.norms) else ""

    def kind(self, at: int) -> str:
        """The token kind at ``at``, or "" outside the note."""
        return self.kinds[at] if 0 <= at < len(self.kinds) else ""

    def span(self, start: int, end: int) -> Span:
        """Characters of the tokens ``start`` to ``end`` (exclusive)."""
        return self.tokens[start].start, self.tokens[end - 1].end

    def quote(self, start: int, end: int) -> str:
        """The text of the tokens ``start`` to ``end`` (exclusive)."""
        first, last = self.span(start, end)
        return self.text[first:last]

    def end_of(self, numbers: Sequence[int], at: int) -> int:
        """The first token after the stretch that ``at`` stands in."""
        number = numbers[at]
        while at < len(numbers) and numbers[at] == number:
            at += 1
        return at

    def start_of(self, numbers: Sequence[int], at: int) -> int:
        """The first token of the stretch that ``at`` stands in."""
        number = numbers[at]
        while at > 0 and numbers[at - 1] == number:
            at -= 1
        return at


def mark(text: str, tokens: Sequence[Token], lexicon: Lexicon) -> Marked:
    """Find all phrases and cut the note into sentences, clauses and pieces."""
    note = Marked(text, tokens, lexicon, _without_parts_of_names(lexicon.find(tokens)))
    note.norms = [token.norm for token in tokens]
    note.kinds = [token.kind for token in tokens]
    for table, hits in note.hits.items():
        places = note.at.setdefault(table, {})
        for hit in hits:
            places.setdefault(hit.start, []).append(hit)
    note.cued = bytearray(len(tokens))
    for table in NOT_NAMES:
        for hit in note.hits.get(table, ()):
            if (
                table == "reported"
                and hit.end - hit.start == 1
                and hit.row["role"] in ("source", "thing")
                and hit.end in note.at.get("part_nouns", {})
            ):
                continue
            note.cued[hit.start : hit.end] = b"\x01" * (hit.end - hit.start)
    _cut(note)
    return note


def _without_parts_of_names(hits: dict[str, list[Hit]]) -> dict[str, list[Hit]]:
    """The phrases without those that only help to name a part: the "limit" of a limit switch tells of no limit."""
    names = [hit for hit in hits.get("part_nouns", ()) if hit.end - hit.start > 1]
    for table in ("reported", "predicates") if names else ():
        found = hits.get(table, ())
        hits[table] = [h for h in found if not any(n.start <= h.start and h.end <= n.end and h.end - h.start < n.end - n.start for n in names)]
    return hits


OPEN_BEFORE = word_set(
    "if when what where that than which who as how before after until till once because since to did do does is are was were can could "
    "should would will not of on for with at in by from about like think thinks thought reckon guess guessing suppose know knows said "
    "says say sure hope see swear 's whether while unless the a an and 'm"
)
"""Words after which a pronoun opens no clause of its own."""
OBJECTS = word_set("it this that these those you they")
VERBS_AFTER = word_set(
    "'s is was are were has had have took takes goes go went got gets came needs want wants need 'll 'd 've 're looks look feels feel "
    "does do did will would could can may might should must seems measures measured reads stays still all"
)


def _cut(note: Marked) -> None:
    sentence = clause = piece = 0
    breaks = note.at.get("breaks", {})
    after_sign = ""
    for at, (norm, kind) in enumerate(zip(note.norms, note.kinds, strict=True)):
        if at and after_sign and after_sign in ENDS and not _is_abbreviation(note, at) and not _trails_off(note, at):
            sentence, clause, piece = sentence + 1, clause + 1, piece + 1
        elif at and at in breaks and _opens_clause(note, at):
            clause, piece = clause + 1, piece + 1
        elif at and (after_sign in PAUSES or (at in breaks and any(h.row["strength"] == "weak" for h in breaks[at]))):
            piece += 1
        note.sentence.append(sentence)
        note.clause.append(clause)
        note.piece.append(piece)
        after_sign = norm[0] if kind == "punct" else ""


ABBREVIATIONS = word_set("dia diam approx max min temp thk nom std incl circ vert horiz pos ref no nr nos qty press vol cyl")


def _trails_off(note: Marked, at: int) -> bool:
    """ "35 Nm... no, 30 Nm": dots behind which the sentence goes on in small letters."""
    dots = [i for i in range(max(0, at - 3), at) if set(note.norms[i]) <= {".", "…"}]
    trailing = len(dots) == 3 or (bool(dots) and ("…" in note.norms[dots[-1]] or len(note.norms[dots[-1]]) > 1))
    return trailing and note.tokens[at].text[:1].islower() and note.norms[at] in TAKING_BACK


def _is_abbreviation(note: Marked, at: int) -> bool:
    """ "dia. 1.375 in": a full stop right behind a shortened word, and a figure after it, end no sentence."""
    return note.norms[at - 1] == "." and note.word(at - 2) in ABBREVIATIONS and note.kinds[at] == "figure" and note.tokens[at - 1].joined


def _opens_clause(note: Marked, at: int) -> bool:
    strengths = {hit.row["strength"] for hit in note.starting("breaks", at)}
    if "strong" in strengths:
        return not (note.word(at) == "so" and note.word(at + 1) in ("far", "much", "long", "that's") and note.word(at - 1) not in (",",))
    if "subject" not in strengths or note.word(at - 1) in OPEN_BEFORE:
        return False
    return note.word(at) not in OBJECTS or note.word(at + 1) in VERBS_AFTER
