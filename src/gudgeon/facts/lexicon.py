"""All phrases of the rule tables, found in a note in one pass with spaCy's PhraseMatcher."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from spacy.lang.en import English
from spacy.matcher import PhraseMatcher
from spacy.tokens import Doc
from spacy.vocab import create_vocab

from gudgeon.facts.rows import Row, read_tables
from gudgeon.facts.wordset import word_set
from gudgeon.notes import Token

FIGURE, SIGN, UNKNOWN = "#", "~sign", "~word"
SINGLE_ONLY = ("common_words", "everyday_words", "predicates", "quantity_defaults")
"""Tables of single words: looked up, not matched."""
KEPT_NUMBERS = word_set("one half first second third fourth fifth")
WRITTEN_ORDINALS = {"1st": "first", "2nd": "second", "3rd": "third", "4th": "fourth", "5th": "fifth"}
WITH_PLURALS = ("fasteners", "part_nouns")
NESTED = word_set("compounds equipment quantities tools fasteners part_nouns")
"""Tables whose shorter phrases are kept inside longer ones: which reading holds is decided where they are read."""


@dataclass(frozen=True, slots=True)
class Hit:
    """A phrase of a table found in a note: tokens ``start`` to ``end`` (exclusive)."""

    start: int
    end: int
    row: Row


IRREGULAR = {"foot": "feet", "leaf": "leaves", "half": "halves", "shelf": "shelves", "knife": "knives"}


def plural(word: str) -> str:
    """The English plural of a noun."""
    if word in IRREGULAR:
        return IRREGULAR[word]
    if word.endswith(("s", "x", "ch", "sh")):
        return word + "es"
    if word.endswith("y") and word[-2:-1] not in "aeiou":
        return word[:-1] + "ies"
    return word + "s"


class Lexicon:
    """The phrases of all tables, ready to be found in notes."""

    def __init__(self, tables: Mapping[str, Sequence[str]]) -> None:
        """Build from the lines of the rule tables (file stem → lines). Raises BadTable."""
        self.rows = read_tables(tables)
        self.common = {row.phrase: row["class"] for row in self.rows["common_words"]}
        self.predicates = {row.phrase: (row["sense"], row["form"]) for row in self.rows["predicates"]}
        self._everyday = frozenset((row["kind"], row.phrase) for row in self.rows["everyday_words"])
        self.star_row = next(row for row in self.rows["tools"] if row["tool"] == "hexalobular")
        self._vocab = create_vocab("en", English.Defaults)
        self._rows_of: dict[tuple[str, ...], list[Row]] = {}
        for name, rows in self.rows.items():
            if name not in SINGLE_ONLY:
                for row in rows:
                    self._note_phrase(row)
        self._words = frozenset(word for words in self._rows_of for word in words)
        self._matcher: Any = PhraseMatcher(self._vocab)
        self._add_phrases()

    def _note_phrase(self, row: Row) -> None:
        self._rows_of.setdefault(row.words, []).append(row)
        if row.table in WITH_PLURALS:
            many = (*row.words[:-1], plural(row.words[-1]))
            if many != row.words:
                self._rows_of.setdefault(many, []).append(row)

    def _add_phrases(self) -> None:
        """One key for all: the rows of a match are looked up by its words. A pattern is a list of the words' ids."""
        ids = {word: self._vocab.strings.add(word) for word in self._words}
        self._matcher.add("phrase", [[ids[word] for word in words] for words in self._rows_of])

    def is_everyday(self, kind: str, words: Sequence[str]) -> bool:
        """Whether a noun, fastener, tool, compound or verb is an ordinary word too."""
        return (kind, words[-1] if kind in ("noun", "fastener") and len(words) == 1 else " ".join(words)) in self._everyday or (
            len(words) == 1 and kind == "noun" and (kind, words[0].removesuffix("s")) in self._everyday
        )

    def words_of(self, tokens: Iterable[Token]) -> list[str]:
        """What the matcher sees of each token: known words as they are, every figure as ``#``, all unknown words alike."""
        known = self._words
        return [_seen(token, known) for token in tokens]

    def find(self, tokens: Sequence[Token]) -> dict[str, list[Hit]]:
        """The phrases in a note by table; in order; outside the nested tables only the longest, without overlap."""
        found: dict[str, list[tuple[int, int, Row]]] = {}
        words = self.words_of(tokens)
        doc: Any = Doc(self._vocab, words=words)
        for _, start, end in self._matcher(doc):
            for row in self._rows_of[tuple(words[start:end])]:
                found.setdefault(row.table, []).append((start, -end, row))
        return {table: _longest(spans, nested=table in NESTED) for table, spans in found.items()}


def _seen(token: Token, known: frozenset[str]) -> str:
    if token.kind == "figure":
        norm = WRITTEN_ORDINALS.get(token.norm, token.norm)
        return norm if norm in KEPT_NUMBERS else FIGURE
    if token.kind == "word" or token.norm == "+":
        return token.norm if token.norm in known else UNKNOWN
    return SIGN


def _longest(spans: list[tuple[int, int, Row]], *, nested: bool) -> list[Hit]:
    spans.sort(key=lambda span: (span[0], span[1]))
    hits: list[Hit] = []
    for start, minus_end, row in spans:
        if not nested and hits and start < hits[-1].end and (start, -minus_end) != (hits[-1].start, hits[-1].end):
            continue
        hits.append(Hit(start, -minus_end, row))
    return hits
