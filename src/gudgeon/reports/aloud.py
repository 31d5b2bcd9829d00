"""A text that is shown goes in, the words to say come out: units in full, threads as they are said, and no figure that can be taken for another."""

from __future__ import annotations

import csv
import re
from collections.abc import Mapping, Sequence

from gudgeon.domain import BadTable

TWINS = frozenset({*range(13, 20), *range(30, 100, 10)})
"""Figures that an ear may take for one another (13 and 30); in a torque they are said twice, the second time digit by digit."""
DIGITS = ("zero", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine")
TORQUES = ("newton metres", "newton centimetres", "pound feet", "pound inches", "foot pounds", "inch pounds")
THREAD = re.compile(r"\bM(\d+(?:\.\d+)?)(?:x(\d+(?:\.\d+)?))?\b")
FIGURE = re.compile(rf"\b(\d*?)(\d\d) (?=(?:{'|'.join(TORQUES)}|kilogram (?:centi)?metres)\b)")
LONGEST = 400
"""Letters that are said at most; the rest is on the screen."""


def read_aloud(lines: Sequence[str]) -> Mapping[str, str]:
    """The table of what is written and how it is said. Raises BadTable when a column is missing."""
    rows = csv.DictReader(lines)
    if not {"written", "spoken"} <= set(rows.fieldnames or ()):
        raise BadTable("The table of spoken units lacks a column: written, spoken.")
    return {row["written"]: row["spoken"] for row in rows}


def aloud(text: str, words: Mapping[str, str]) -> str:
    """The text as it is said; ``words`` is the table. A long text ends with its last whole sentence."""
    for written in sorted(words, key=len, reverse=True):
        end = r"(?![\w²])" if written[-1].isalpha() else ""
        text = re.sub(rf"(?<![^\W\d_]){re.escape(written)}{end}", f" {words[written]}", text)
    text = THREAD.sub(lambda found: f"M {found[1]}" + (f" by {found[2]}" if found[2] else ""), text)
    text = re.sub(r"[“”\"()\[\]*_·]", " ", text)
    text = re.sub(r"\s+([.,;:?!])", r"\1", " ".join(text.split()))
    return _shortened(FIGURE.sub(_twice, text))


def _twice(found: re.Match[str]) -> str:
    if int(found[2]) not in TWINS:
        return found[0]
    figure = found[1] + found[2]
    return f"{figure}, {' '.join(DIGITS[int(digit)] for digit in figure)}, "


def _shortened(text: str) -> str:
    if len(text) <= LONGEST:
        return text
    end = max(text.rfind(sign, 0, LONGEST) for sign in (". ", "; ", ", ", " "))
    return text[:end].rstrip(" ,;.") + ". The rest is on the screen."
