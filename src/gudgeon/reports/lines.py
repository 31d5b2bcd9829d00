"""Lines of a report: text with a tone that a terminal may colour; the words alone say everything."""

from __future__ import annotations

import textwrap
from collections.abc import Sequence
from dataclasses import dataclass

NARROWEST, WIDEST = 60, 120
ENDLESS = 1_000_000
"""A width at which nothing is wrapped."""


@dataclass(frozen=True, slots=True)
class Line:
    """One line of text; ``tone`` is one of plain, heading, bad, unsure, good, faint."""

    text: str
    tone: str = "plain"


def fit(width: int) -> int:
    """The width to write in: as wide as asked, between 60 and 120, or endless."""
    return width if width == ENDLESS else max(NARROWEST, min(WIDEST, width))


def wrapped(text: str, width: int, *, indent: int = 0, hang: int = 2, tone: str = "plain") -> list[Line]:
    """A sentence as lines of at most ``width``, the second and later ones set in by ``hang`` more."""
    lines = textwrap.wrap(
        text,
        width,
        initial_indent=" " * indent,
        subsequent_indent=" " * (indent + hang),
        break_on_hyphens=False,
        break_long_words=True,
    )
    return [Line(line, tone) for line in lines]


def heading(text: str) -> list[Line]:
    """A section's heading with an empty line before it."""
    return [Line(""), Line(text, "heading")]


def paragraph(title: str, texts: Sequence[str], *, width: int = 80) -> list[Line]:
    """A title and sentences under it."""
    fitting = fit(width)
    return [*wrapped(title, fitting, tone="heading"), *(line for text in texts for line in wrapped(text, fitting, indent=2))]


def as_text(lines: list[Line]) -> str:
    """The report as plain text."""
    return "\n".join(line.text.rstrip() for line in lines)
