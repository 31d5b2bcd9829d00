"""A spoken question about a joint goes in, the joints whose names it may mean come out, and what the sheet wants there, in words.

Names may be misheard ("rain plug"), so a word that no joint has may stand for one that sounds like it; the answer names the joint, so a slip shows.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass

from rapidfuzz import fuzz

from gudgeon.checks.words import wanted
from gudgeon.domain import SpecRow, SpecSheet
from gudgeon.entries import joints_of, singular
from gudgeon.units import Sounds

# fmt: off
PASSED_OVER = frozenset((
    "a", "about", "again", "and", "are", "at", "be", "bolted", "did", "do", "does", "first", "for", "get", "go", "goes", "have", "how", "i",
    "in", "is", "it", "last", "left", "me", "my", "need", "of", "on", "one", "our", "please", "setting", "should", "so", "specification", "tell",
    "the", "then", "there", "they", "this", "tight", "tighten", "tightened", "to", "torque", "torqued", "torques", "up", "value", "want", "was",
    "we", "what", "what's", "which",
))
# fmt: on
"""Words of a question that name no joint; "left" is one only where no joint has that side."""
FASTENERS = frozenset({"bolt", "screw", "nut", "stud", "fastener"})
ALIKE, ALIKE_WHEN_SHORT, SHORT = 75.0, 85.0, 3
"""How like a joint's word a misheard one must sound, of 100; of words with fewer sounds than ``SHORT`` none is taken for another."""
MOST = 3
"""Joints that one answer may name."""


@dataclass(frozen=True, slots=True)
class Name:
    """What a joint is called: the words of its part, those of its place, and of its fastener."""

    part: str
    place: str = ""
    fastener: str = ""

    @property
    def words(self) -> str:
        """As people say it: ``left crank bolt``."""
        return " ".join(word for word in (self.place, self.part, self.fastener) if word)


@dataclass(frozen=True, slots=True)
class FromSheet:
    """What the sheet has for a question: ``text`` with where it stands, ``aloud`` for the ear; several joints when it is not clear which is meant."""

    text: str
    aloud: str
    several: bool = False


def named(question: str, names: Sequence[Name], sounds: Sounds) -> tuple[int, ...]:
    """Indexes of the names that a question means: all that it names of a joint must be in the name.

    Names whose whole part was said come before those of which only some words were said ("drain plug" for the sump's). At least half of
    the words must be heard as they are.
    """
    known = {word for name in names for word in _words(name.words)}
    asked = [singular(word) for word in _split(question) if singular(word) in known or word not in PASSED_OVER]
    heard = [_heard(word, known, sounds) for word in asked]
    if not asked or sum(one == other for one, other in zip(asked, heard, strict=True)) * 2 < len(asked):
        return ()
    fits = [at for at, name in enumerate(names) if all(_has(name, word) for word in heard)]
    whole = [at for at in fits if set(_words(names[at].part)) <= set(heard)]
    return tuple(whole or fits)


def _split(text: str) -> list[str]:
    return re.findall(r"[\w/.'-]*\w", text.lower())


def _words(text: str) -> list[str]:
    return [singular(word) for word in _split(text)]


def _heard(word: str, known: set[str], sounds: Sounds) -> str:
    """The word, or the one known word that it sounds like."""
    if word in known or word in FASTENERS or not word.isalpha():
        return word
    best = max(((_alike(sounds.sound_of(word), sounds.sound_of(other)), other) for other in known if other.isalpha()), default=(0.0, word))
    return best[1] if best[0] else word


def _alike(one: str, other: str) -> float:
    """How like two sounds are, 0 when they are not like enough."""
    shorter, score = min(len(one), len(other)), fuzz.ratio(one, other)
    needed = ALIKE if shorter > SHORT else ALIKE_WHEN_SHORT
    return score if shorter >= SHORT and score >= needed else 0.0


def _has(name: Name, word: str) -> bool:
    return word in _words(name.words) or (word in FASTENERS and not name.fastener)


def from_sheet(question: str, sheet: SpecSheet, sounds: Sounds) -> FromSheet | None:
    """What the sheet wants at the joint that a question names; None when it names none of the sheet."""
    groups = joints_of(sheet).groups
    names = [Name(group.rows[0].part, group.rows[0].place or "", group.rows[0].fastener or "") for group in groups]
    found = named(question, names, sounds)
    if not found:
        return None
    if len(found) > MOST or len({_wanted(groups[at].rows) for at in found}) > 1:
        listed = ", ".join(names[at].words for at in found[:MOST]) + (" and others" if len(found) > MOST else "")
        text = f"The spec sheet has several: {listed}. Say which."
        return FromSheet(text, text, several=True)
    called = " and ".join(names[at].words for at in found)
    rows = [row for at in found for row in groups[at].rows]
    lines = ", ".join(str(row.line) for row in rows)
    sources = "; ".join(dict.fromkeys(row.source for row in rows if row.source))
    first = f"{called[:1].upper()}{called[1:]}: {_wanted(groups[found[0]].rows)}"
    where = f"spec sheet, line{'s' if len(rows) > 1 else ''} {lines}" + (f", which names as its source: {sources}" if sources else "")
    return FromSheet(f"{first} ({where}).", f"{first}, by the spec sheet.")


def _wanted(rows: Sequence[SpecRow]) -> str:
    """What the rows of one joint ask for, stage by stage."""
    many = len(rows) > 1
    return ", then ".join((f"stage {row.stage} " if many and row.stage else "") + wanted(row) for row in rows)
