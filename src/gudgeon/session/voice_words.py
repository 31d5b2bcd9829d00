"""What a phrase asks of gudgeon itself: it begins with the wake phrase, and what follows is a command."""

from __future__ import annotations

import re
from dataclasses import dataclass

from rapidfuzz import fuzz

WAKE = "hello workshop"
"""Chosen by measuring: in 481,722 words of other text (Debian's fortunes and the labelled notes) nothing is like enough to be taken for it."""

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

ALIKE = 85.0
"""How like the wake phrase its sound must be, of 100: "hillo worked shop" is; nothing in the same words of other talk was."""
_TORQUE = re.compile(r"(what(?: is|'s) the )(?:talk|tork|torch|tort|torx|talks|torques)( for )")
"""How the word is misheard in its one place in a question; the answer names the joint, so a slip shows."""


@dataclass(frozen=True, slots=True)
class Command:
    """A command's name, and the words that came with it."""

    name: str
    rest: str = ""


def command_in(text: str, wake: str = WAKE) -> Command | None:
    """The command in a phrase; None when it does not begin with the wake phrase, the name ``unknown`` when it is not understood."""
    words = re.findall(r"[\w'/]+(?:[.-]\w+)*", text.lower())
    at = _after_wake(words, "".join(wake.lower().split()))
    if not at:
        return None
    rest = _TORQUE.sub(r"\1torque\2", " ".join(words[at:]))
    for name, pattern in _COMMANDS:
        found = re.fullmatch(pattern, rest)
        if found:
            return Command(name, found.groupdict().get("rest") or "")
    return Command(UNKNOWN, rest)


def _after_wake(words: list[str], called: str) -> int:
    """How many words the wake phrase takes at the start; 0 when it is not there."""
    scores = [(fuzz.ratio("".join(words[:n]), called), -n) for n in range(1, min(3, len(words)) + 1)]
    best, fewest = max(scores, default=(0.0, 0))
    return -fewest if best >= ALIKE else 0
