"""Heard texts beside what was said: word errors, torques right and wrong, tools right."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Any

from forms import Piece
from num2words import num2words

from gudgeon.domain import Fact, Tool, Torque
from gudgeon.session import with_other_readings

Read = Callable[[str], tuple[Fact, ...]]
PARTS = {2: "half", 3: "third", 4: "quarter", 8: "eighth", 16: "sixteenth", 32: "thirty second"}


@dataclass(frozen=True)
class Score:
    """Counts over one sound: word errors of words; labelled torques, those right at first (and those of them that are doubted all the same),
    those right among the other readings, wrong ones without any mark and with one; labelled tools and those right."""

    errors: int = 0
    words: int = 0
    torques: int = 0
    right: int = 0
    doubted: int = 0
    in_heard: int = 0
    wrong: int = 0
    marked: int = 0
    tools: int = 0
    tools_right: int = 0

    def __add__(self, other: Score) -> Score:
        return Score(*(getattr(self, name) + getattr(other, name) for name in self.__dataclass_fields__))


def score(text: str, labelled: Sequence[Mapping[str, Any]], pieces: Sequence[Piece], read: Read) -> Score:
    """The counts for one sound. A torque is right when value and unit are; it is marked when it is a guess, has other readings, or no unit."""
    found = [f for p in pieces for f in with_other_readings(p.text, read(p.text), p.others, read)]
    errors, words = word_errors(text, " ".join(p.text for p in pieces))
    torques = [f for f in found if isinstance(f, Torque)]
    wanted = [(f["value"], f.get("unit")) for f in labelled if f["kind"] == "torque"]
    left = list(torques)
    right = sum(_take(left, lambda f, w=w: _near((f.value, f.unit), w)) for w in wanted)
    missed = [w for w in wanted if not any(_near((f.value, f.unit), w) for f in torques)]
    in_heard = sum(_take(left, lambda f, w=w: any(_near((o.value, o.unit), w) for o in f.heard)) for w in missed)
    wrong = [f for f in torques if not any(_near((f.value, f.unit), w) for w in wanted)]
    doubted = sum(bool(f.heard) for f in torques if f not in wrong)
    unmarked = [f for f in wrong if not (f.heard or f.hedged or f.unit is None)]
    tools = [(f["tool"], f.get("size")) for f in labelled if f["kind"] == "tool"]
    here = [f for f in found if isinstance(f, Tool)]
    tools_right = sum(_take(here, lambda f, t=t: f.tool == t[0] and _same(f.size, t[1])) for t in tools)
    marked = len(wrong) - len(unmarked)
    return Score(errors, words, len(wanted), right, doubted, in_heard, len(unmarked), marked, len(tools), tools_right)


def _take(facts: list[Any], fits: Callable[[Any], bool]) -> bool:
    """Whether one fits; it is taken out of the list."""
    hit = next((f for f in facts if fits(f)), None)
    if hit is not None:
        facts.remove(hit)
    return hit is not None


def _near(a: tuple[float, str | None], b: tuple[float, str | None]) -> bool:
    return _same(a[0], b[0]) and a[1] == b[1]


def _same(a: float | None, b: float | None) -> bool:
    return a == b if a is None or b is None else abs(a - b) <= 1e-3 * max(abs(a), abs(b))


def word_errors(said: str, heard: str) -> tuple[int, int]:
    """How many words differ (put in, left out, exchanged), and how many were said; figures are compared as words."""
    a, b = spoken(said).split(), spoken(heard).split()
    row = list(range(len(b) + 1))
    for i, word in enumerate(a, 1):
        row = list(_next_row(row, i, word, b))
    return row[-1], len(a)


def _next_row(row: Sequence[int], first: int, word: str, heard: Sequence[str]) -> Iterator[int]:
    last = first
    yield last
    for j, other in enumerate(heard, 1):
        last = min(row[j] + 1, last + 1, row[j - 1] + (word != other))
        yield last


def spoken(text: str) -> str:
    """The text in small letters, figures and short forms as the words they are said with, one spelling of each word."""
    text = text.lower().replace("’", "'").replace("½", " 1/2").replace("¼", " 1/4").replace("¾", " 3/4")
    text = re.sub(r"(?<=\d),(?=\d{3}\b)", "", text)
    text = re.sub(r"(\d+)/(\d+)", lambda m: _fraction(int(m[1]), int(m[2])), text)
    text = re.sub(r"\d+(?:\.\d+)?(?:st|nd|rd|th)\b", lambda m: _words(m[0][:-2], to="ordinal"), text)
    text = re.sub(r"(\d+)'s\b", r"\1", text)
    text = re.sub(r"\d*\.?\d+", lambda m: f" {_words(m[0])} ", text)
    text = re.sub(r"[^a-z' ]", " ", text)
    return " ".join(SAME.get(word, word) for word in text.split() if word not in ("and", "a"))


SAME = {
    "meters": "metres", "meter": "metre", "millimeters": "millimetres", "liters": "litres", "mils": "mil", "okay": "ok", "nm": "newton metres",
    "mm": "millimetres", "ft": "foot", "lbs": "pounds", "color": "colour", "threadlock": "thread lock", "threadlocker": "thread locker",
    "pushrod": "push rod", "um": "uh", "centre": "center", "grey": "gray", "%": "percent",
}  # fmt: skip


def _fraction(above: int, below: int) -> str:
    part = PARTS.get(below)
    if part is None or Fraction(above, below) >= 1:
        return f"{above} {below}"
    return f" {num2words(above)} {part if above == 1 else {'half': 'halves'}.get(part, part + 's')} "


def _words(figure: str, *, to: str = "cardinal") -> str:
    if figure.startswith("."):
        return "point " + " ".join(num2words(int(d)) for d in figure[1:])
    value: Any = float(figure) if "." in figure else int(figure)
    return str(num2words(value, to=to)).replace("-", " ").replace(",", "")
