"""What a phrase asks of gudgeon itself: it begins with the wake phrase, and what follows is a command."""

from __future__ import annotations

import re
from dataclasses import dataclass

WAKE = "hello workshop"
"""Chosen by measuring: in 481,218 words of other talk (Debian's fortunes and the labelled notes) it does not occur, and each of five
synthetic voices saying it was heard rightly."""

UNKNOWN = "unknown"
_COMMANDS = (
    ("strike", r"(?:strike|scratch) that"),
    ("make", r"make (?:it|that) (?P<rest>.+)"),
    ("item", r"open item (?P<rest>.+)"),
    ("list", r"what(?: is|'s) (?:still )?open"),
    ("left", r"how many (?:are )?(?:left|to go)"),
    ("back", r"read (?:that|it) back"),
    ("pause", r"pause"),
    ("carry on", r"carry on"),
    ("end", r"end (?:the )?session"),
    ("ask", r"(?P<rest>(?:what|what's|how|which)\b.+)"),
)
PHRASES = ("strike that", "make it", "open item", "what is open", "how many left", "read that back", "carry on", "end session")
"""What a recogniser may expect to hear, beside the wake phrase."""


@dataclass(frozen=True, slots=True)
class Command:
    """A command's name, and the words that came with it."""

    name: str
    rest: str = ""


def command_in(text: str, wake: str = WAKE) -> Command | None:
    """The command in a phrase; None when it does not begin with the wake phrase, the name ``unknown`` when it is not understood."""
    words = re.findall(r"[\w'/]+(?:[.-]\w+)*", text.lower())
    called = "".join(wake.lower().split())
    at = next((n for n in range(1, 4) if "".join(words[:n]) == called), 0)
    if not at:
        return None
    rest = " ".join(words[at:])
    for name, pattern in _COMMANDS:
        found = re.fullmatch(pattern, rest)
        if found:
            return Command(name, found.groupdict().get("rest") or "")
    return Command(UNKNOWN, rest)
