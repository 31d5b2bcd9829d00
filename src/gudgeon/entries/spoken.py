"""What one note speaks of: its joints as named, with its words, its cues and its facts."""

from __future__ import annotations

from dataclasses import dataclass

from gudgeon.domain import Buy, Fact, Fastener, Question, Todo
from gudgeon.entries.lines import Line
from gudgeon.entries.vocabulary import Cue
from gudgeon.notes import Token

ASIDES = (Question, Todo, Buy)
AS = frozenset(("as", "like"))
"""What the model of "the same" stands behind."""
TOWARDS = frozenset(("on", "for", "to", "into", "onto", "in", "of", "at", "off"))
JOINING = frozenset(("and", "&", ",", "the", "both"))
"""What stands between twins named together: "front left and front right"."""


@dataclass(frozen=True, slots=True)
class Mention:
    """A joint as one note names it; what was not said is None. Positions are characters in the note.

    ``some`` says that a few of the fasteners are meant, ``rest`` that those are what was left ("the last two"), ``size`` which ones ("the big
    ones"), ``firm`` that the note is about it.
    """

    start: int
    end: int
    part: str | None = None
    place: str | None = None
    state: str | None = None
    fastener: Fastener | None = None
    some: bool = False
    rest: bool = False
    size: str | None = None
    firm: bool = True
    maybe_place: str | None = None
    """A place word that may as well be talk: "right pump next"."""
    stranger: str | None = None
    """Words before a fastener named by itself that may be its part's name, so that it is not the last part's."""
    job: str | None = None
    """What tells its fastener from others of its kind at the same part: the drain plug, the filler plug."""
    by_place: bool = False
    """Whether only a place was said, and the part is that of the joint named before."""


@dataclass(frozen=True, slots=True)
class Scene:
    """One note, ready to be understood: its tokens, cues, live facts, joints named, and those only asked about or planned."""

    index: int
    line: Line
    facts: tuple[Fact, ...]
    mentions: tuple[Mention, ...]
    asides: tuple[Mention, ...]
    secondary: frozenset[tuple[str, ...]] = frozenset()
    """Parts that only say where another one sits ("on the head"), or are put in between, as comparable words."""
    unknown: str | None = None
    """Words that may name a joint, in a note that names none for sure."""
    same_at: int | None = None
    """Where "the same" is said of a joint: values before it are the model's, joints after it get a copy."""

    @property
    def tokens(self) -> tuple[Token, ...]:
        """The note's tokens."""
        return self.line.tokens

    @property
    def cues(self) -> tuple[Cue, ...]:
        """The note's joining phrases."""
        return self.line.cues

    def has(self, *senses: str) -> bool:
        """Whether a cue of one of these senses was said."""
        return not self.line.senses.isdisjoint(senses)

    def same_cued(self, mention: Mention) -> bool:
        """Whether a mention stands behind "same as"."""
        return any(c.sense == "same" and self.tokens[c.end - 1].norm in AS and self.tokens[c.end - 1].end < mention.start for c in self.cues)

    def sentence(self, position: int) -> int:
        """The number of the sentence that a character stands in."""
        return self.line.sentence(position)

    def between(self, start: int, end: int) -> list[str]:
        """The words that stand between two positions."""
        return self.line.between(start, end)
