"""Rule tables as rows, checked when loaded: a table that is wrong is refused with its row."""

from __future__ import annotations

import csv
import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from gudgeon.domain import BadTable

WORD = re.compile(r"[a-z0-9]+(?:-[a-z0-9]+)?|#|\+|'(?:s|ve|re|ll|d|m)|[a-z]+(?:n't|'[a-z]+)|n't")
"""What one word of a phrase may be; ``#`` stands for any figure."""
SPLIT = re.compile(r"(?<=[a-z])(?='(?:s|ve|re|ll|d|m)\b)")

STRENGTHS = ("strong", "weak")
COMPOUNDS = ("thread locker", "sealant", "anti-seize", "oil", "grease", "assembly lube", "brake fluid", "solvent")
ACTIONS = (
    *("tighten", "loosen", "remove", "fit", "replace", "clean", "measure", "inspect", "adjust", "align", "lubricate", "seal"),
    *("drain", "fill", "repair"),
)
CONDITIONS = (
    *("stripped", "cross-threaded", "seized", "rounded", "bent", "cracked", "worn", "scored", "leaking", "corroded"),
    *("missing", "broken", "loose", "soft", "dirty", "good"),
)
FASTENERS = ("bolt", "screw", "nut", "stud", "washer", "plug", "clip", "pin", "union", "clamp", "fastener")
TOOLS = (
    *("socket", "wrench", "hex key", "hexalobular", "screwdriver", "torque wrench", "crowfoot", "adapter", "extension", "breaker bar"),
    *("impact driver", "feeler gauge", "dial indicator", "micrometer", "caliper", "tap", "drill", "puller", "scraper", "pick", "mallet"),
    *("hammer", "press"),
)
FAMILIES = ("length", "pressure", "temperature", "volume", "angle", "mass", "turn", "speed", "voltage", "resistance")
LOCKER_STRENGTHS = ("low", "medium", "high", "wicking")
SENSES = (
    *("bring", "be", "have", "help", "modal", "tell", "think", "want", "bear", "make", "seem", "fail", "come", "find", "own"),
    *("idea", "nobody"),
)
ANY: tuple[str, ...] = ()

COLUMNS: Mapping[str, Mapping[str, tuple[str, ...]]] = {
    "actions": {"action": ACTIONS, "tense": ("base", "present", "past", "ing"), "particles": ANY},
    "breaks": {"strength": ("strong", "weak", "subject")},
    "buys": {},
    "chatter": {},
    "colours": {"strength": LOCKER_STRENGTHS},
    "common_words": {"class": ANY},
    "compounds": {"compound": COMPOUNDS, "strength": ("", *LOCKER_STRENGTHS)},
    "conditions": {"condition": CONDITIONS, "strength": STRENGTHS},
    "confirmations": {},
    "connectors": {"role": ("forward", "with", "apply")},
    "containers": {},
    "corrections": {"strength": STRENGTHS},
    "descriptions": {},
    "equipment": {},
    "everyday_words": {"kind": ("noun", "fastener", "tool", "compound", "verb")},
    "fasteners": {"fastener": FASTENERS, "fixed": ("yes", "no")},
    "fillers": {},
    "hedges": {"strength": ("strong", "weak", "approx")},
    "hypotheticals": {},
    "marks": {"role": ("subject", "verb", "alone", "making")},
    "negations": {"scope": ("clause", "word")},
    "part_modifiers": {},
    "part_nouns": {"group": ANY, "strength": ("strong", "weak", "feature")},
    "places": {"place": ANY},
    "predicates": {"sense": SENSES, "form": ("", "base", "present", "past", "ing"), "source": ANY},
    "quantities": {"quantity": ANY, "family": FAMILIES},
    "quantity_defaults": {"family": FAMILIES, "quantity": ANY},
    "questions": {"role": ("opener", "inner")},
    "reported": {"role": ("source", "thing", "person", "saying", "doing", "phrase", "paper", "past")},
    "stages": {"stage": ("#", "1", "2", "3", "4", "5", "6")},
    "states": {"state": ("new", "reused", "old")},
    "todos": {"scope": ("after", "sentence", "time")},
    "tools": {"tool": TOOLS},
    "undone": {},
    "turns": {"role": ("plus", "more", "off")},
}
"""Every table, its columns beside ``phrase``, and the values a column may hold (none listed: any text)."""
MAY_BE_EMPTY = {("actions", "particles"), ("compounds", "strength"), ("predicates", "form")}
MAY_REPEAT = {
    "actions",
    "breaks",
    "connectors",
    "conditions",
    "everyday_words",
    "hedges",
    "marks",
    "negations",
    "quantities",
    "quantity_defaults",
    "questions",
    "reported",
}
MAY_LACK_PHRASE = {"quantity_defaults"}


@dataclass(frozen=True, slots=True)
class Row:
    """One row of a rule table: its table, its line number (the header is line 1), its phrase cut into words, and its other columns."""

    table: str
    line: int
    words: tuple[str, ...]
    values: Mapping[str, str]

    @property
    def phrase(self) -> str:
        """The phrase as written in the table, words apart."""
        return " ".join(self.words)

    def __getitem__(self, column: str) -> str:
        return self.values[column]


def read_tables(tables: Mapping[str, Sequence[str]]) -> dict[str, tuple[Row, ...]]:
    """All rule tables as rows. Raises BadTable for a table missing or unknown, an unknown column or value, a bad pattern, or a duplicate."""
    for name in tables:
        if name not in COLUMNS:
            raise BadTable(f"There is no rule table called {name!r}.", next_step="Remove the file, or correct its name.")
    for name in COLUMNS:
        if name not in tables:
            raise BadTable(f"The rule table {name}.csv is missing.", next_step="Put it back: the installation is not whole.")
    return {name: read_table(name, lines) for name, lines in tables.items()}


def read_table(name: str, lines: Sequence[str]) -> tuple[Row, ...]:
    """The rows of one table. Raises BadTable with the row's line number."""
    reader = csv.reader(lines)
    header = next(reader, [])
    wanted = ["phrase", *COLUMNS[name]]
    if sorted(header) != sorted(wanted):
        odd = sorted(set(header) ^ set(wanted))
        raise BadTable(f"{name}.csv, row 1: the columns must be {', '.join(wanted)}; unknown or missing: {', '.join(odd)}.")
    rows: list[Row] = []
    seen: dict[tuple[str, ...], int] = {}
    for line, cells in enumerate(reader, start=2):
        if len(cells) != len(header):
            raise BadTable(f"{name}.csv, row {line}: {len(cells)} columns instead of {len(header)}.")
        row = _row(name, line, dict(zip(header, (c.strip() for c in cells), strict=True)))
        key = (row.phrase, *row.values.values()) if name in MAY_REPEAT else (row.phrase,)
        if key in seen:
            raise BadTable(f"{name}.csv, row {line}: {row.phrase!r} is already in row {seen[key]}.")
        seen[key] = line
        rows.append(row)
    return tuple(rows)


def _row(name: str, line: int, cells: dict[str, str]) -> Row:
    phrase = cells.pop("phrase")
    words = tuple(w for part in phrase.split() for w in SPLIT.split(part)) if "'" in phrase else tuple(phrase.split())
    if not words and name not in MAY_LACK_PHRASE:
        raise BadTable(f"{name}.csv, row {line}: the phrase is empty.")
    for word in words:
        if not (word.isascii() and word.islower() and word.isalpha()) and not WORD.fullmatch(word):
            raise BadTable(f"{name}.csv, row {line}: {word!r} is a bad pattern; a phrase is lower case words, # stands for a figure.")
    for column, value in cells.items():
        allowed = COLUMNS[name][column]
        if allowed and value not in allowed:
            raise BadTable(f"{name}.csv, row {line}: {column} cannot be {value!r}; it is one of {', '.join(allowed)}.")
        if not value and not allowed and (name, column) not in MAY_BE_EMPTY:
            raise BadTable(f"{name}.csv, row {line}: {column} is empty.")
    return Row(name, line, words, cells)
