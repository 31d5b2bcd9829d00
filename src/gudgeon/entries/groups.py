"""The words of a note that can be a part's name, in groups, with what stands around each."""

from __future__ import annotations

from bisect import bisect_left
from dataclasses import dataclass

from gudgeon.domain import Angle, Fact, Fastener, Part, Tool, Torque
from gudgeon.entries.joint_words import singular
from gudgeon.entries.ledger import Ledger
from gudgeon.entries.lines import BREAKS
from gudgeon.entries.spoken import ASIDES, Scene
from gudgeon.entries.vocabulary import Vocabulary

_LONGEST_WHOLE = 5
"""Words of a name put together from two that were read."""
_HERE = frozenset((",", ":", "-", "a", "an", "we", "we've", "i've", "'ve", "there", "there's"))
"""What may stand between a name and its fasteners: "squeeze arm, we've got two bolts"."""
_LINKS = 3
"""Words between a name and its fastener, at most."""
_OF_TORQUE = frozenset(("figure", "setting", "value", "reading", "spec", "sheet", "chart", "mark", "seal", "stripe", "one", "again"))
"""What "torque" goes on with when it means the value."""
MOST_TWINS = 24
_GIVEN = frozenset(("'s", "has", "had", "got", "gets", "is"))
_HUNDRED = 100
_FEW = 9
"""Twins told apart by a number that nothing marks as one, at most: "loom 2" is the second loom, "link 40" a link's value."""
POINTING = frozenset(("the", "that", "those", "these", "this", "its"))
_HOLDING = frozenset((":", "-", ",", "there", "that", "they", "'s", "'ve", "has", "have", "got", "with"))
"""What may stand between a part named like a fastener and those that hold it: "barrel clamps there's six bolts"."""
_BEGINNING = frozenset(("then", "so"))
"""Words behind which a clause begins anew: "on its back then bearing ring to start"."""
_SPLICES = frozenset(("hand", "side"))


@dataclass(frozen=True, slots=True)
class Group:
    """Words that can be a name: tokens ``at`` to ``end``, with its places from ``first`` on.

    ``parts`` are the parts that were read among them. ``pointed`` says that "the" or "that" stands before it, ``opens`` that nothing but
    plain words stands between it and the last pause or fact, ``after`` that a torque or a turn was said right before it.
    """

    first: int
    at: int
    end: int
    parts: tuple[Part, ...]
    pointed: bool
    opens: bool
    after: bool

    @property
    def size(self) -> int:
        """How many words it has."""
        return self.end - self.at


class Groups:
    """The tokens of a note, the fact that each belongs to, and the groups of words that can be names."""

    def __init__(self, scene: Scene, words: Vocabulary, ledger: Ledger) -> None:
        self.scene = scene
        self.words = words
        self.ledger = ledger
        self.facts: tuple[Fact, ...] = scene.facts
        self.tokens = scene.tokens
        self.owners = self._owners()
        self.cued = {i for cue in scene.cues for i in range(cue.at, min(cue.end, cue.at + 2) if cue.sense == "same" else cue.end)}

    def _owners(self) -> list[Fact | None]:
        """The fact that each token belongs to; a part's own words belong to the part, even inside a fastener's."""
        owners: list[Fact | None] = [None] * len(self.tokens)
        for fact in sorted(self.facts, key=lambda f: isinstance(f, Part)):
            if not isinstance(fact, ASIDES):
                start = bisect_left(self.scene.line.starts, fact.span[0])
                end = bisect_left(self.scene.line.starts, fact.span[1])
                owners[start:end] = [fact] * (end - start)
        return owners

    def _groups(self) -> list[Group]:
        found: list[Group] = []
        clean, after, pointed, first = True, False, False, -1
        opening = {cue.at for cue in self.scene.cues if cue.sense == "open"}
        at = 0
        while at < len(self.tokens):
            token, owner = self.tokens[at], self.owners[at]
            if self._is_long_place(at):
                first = at if first < 0 else first
                at += 2
                continue
            spliced = first >= 0 and token.norm in _SPLICES
            end, parts = (at, ()) if spliced else self._run_of_names(at, alone=after or clean)
            if end > at:
                found.append(Group(first if first >= 0 else at, at, end, parts, pointed, clean, after))
                joins = clean and self._is(end, "to")
                clean, after, pointed, first, at = joins, False, False, -1, end
                continue
            if owner is not None:
                clean, after, pointed, first = True, isinstance(owner, (Torque, Angle)), False, -1
            elif token.norm in self.words.places or spliced:
                first = at if first < 0 else first
            else:
                pointed, first = token.norm in POINTING, -1
                after = after and token.norm in {"and", "then", "the", ",", ".", ";"}
                clean = clean or token.norm in _BEGINNING or at in opening
                plain = at in self.cued or bool(self.words.role("word", token.norm))
                clean = (clean or token.norm in BREAKS) if token.kind == "punct" else clean and plain
            at += 1
        return found

    def _is_long_place(self, at: int) -> bool:
        """Whether a place of two words begins at a token ("head end"), and no part's name holds it with more words."""
        if self._is_side_told(at):
            return True
        if self.tokens[at].norm not in self.words.openers or at + 2 >= len(self.tokens):
            return False
        owner, end = self.owners[at], self.tokens[at + 1].end
        held = owner is not None and owner.span[1] > end
        return not held and f"{self.tokens[at].norm} {self.tokens[at + 1].norm}" in self.words.alone

    def _is_side_told(self, at: int) -> bool:
        """Whether any word with "side" or "end" is a place here: told of a part of this note, or beside a part whose twin was told by such a one."""
        token, noun = self.tokens[at], self.tokens[at + 1].norm if at + 1 < len(self.tokens) else ""
        if noun not in {"side", "end"} or token.kind != "word" or self.words.role("word", token.norm):
            return False
        place = f"{token.norm} {noun}"
        if any(isinstance(f, Part) and f.place == place for f in self.facts):
            return True
        behind = self.owners[at + 2] if at + 2 < len(self.tokens) else None
        if not isinstance(behind, Part) or behind is self.owners[at + 1]:
            return False
        return any((d.place or "").split()[1:] == [noun] for d in self.ledger.same_part(behind.name))

    def _run_of_names(self, at: int, *, alone: bool) -> tuple[int, tuple[Part, ...]]:
        """The end of the words that can be one name, from a token on, and the parts read among them.

        Where nothing else is named the job of a fastener names its joint (``alone``): "pivot bolt 40 Nm, adjuster bolt 22 Nm".
        """
        parts: list[Part] = []
        while at < len(self.tokens):
            owner = self.owners[at]
            if isinstance(owner, Part):
                if owner not in parts and not all(self._can_join(part, owner) for part in parts):
                    break
                parts += [owner] if owner not in parts else []
            elif not self._may_belong(at, alone=alone, named=bool(parts)):
                break
            at += 1
        return at, tuple(parts)

    def _may_belong(self, at: int, *, alone: bool, named: bool) -> bool:
        """Whether a word that is no part's can be of a name; ``named`` when a part was read right before it."""
        if at in self.cued or not (self._can_name(at) or (named and self._is_middle(at))):
            return False
        return self.owners[at] is None or (alone and (self._is_job(at) or self._is_tool_of_name(at))) or self._is_held(at) or self._is_inside(at)

    def _can_join(self, part: Part, other: Part) -> bool:
        """Whether two parts read side by side can be one name: "fan hub | taper bush", not "left motor | right motor"."""
        names = {part.name, other.name}
        valued = any(getattr(f, "part", None) == part.name and f.span[0] < other.span[0] for f in self.facts)
        headed = other.place is not None and " " in part.name and " " in other.name
        again = set(other.name.split()) <= set(part.name.split())  # "arm brackets next number one bracket"
        return len(names) == 2 and not again and not valued and not headed and part.place is None and len(" ".join(names).split()) <= _LONGEST_WHOLE

    def _can_name(self, at: int) -> bool:
        token = self.tokens[at]
        if token.kind != "word" or "'" in token.norm or token.norm in self.words.places or len(token.norm) == 1:
            return False
        if self._is(at + 1, ":") and singular(token.norm) in self.words.alone:
            return False  # "rears: 150 Nm each"
        if token.norm == "torque" and 0 < at < len(self.tokens) - 1 and self._is_led(at - 1):
            behind = self.owners[at + 1]
            noun = isinstance(behind, Part) or (behind is None and self._can_name(at + 1))
            return noun and self.tokens[at + 1].norm not in _OF_TORQUE
        return self._is_hyphenated(at) or not (self.words.role("word", token.norm) or self.words.role("size", token.norm))

    def _is_led(self, at: int) -> bool:
        """Whether a part, a place or "the" stands at a token, so that "torque" behind it can begin a name: "gearbox torque arm"."""
        norm = self.tokens[at].norm
        return isinstance(self.owners[at], Part) or norm in POINTING or norm in self.words.places

    def _is_hyphenated(self, at: int) -> bool:
        """Whether a word is joined to another one ("take-up")."""
        follower = self.tokens[at + 1] if at + 1 < len(self.tokens) else None
        before = self.tokens[at - 1] if at else None
        joined = follower is not None and follower.joined and follower.kind == "word" and "'" not in follower.norm
        return joined or (self.tokens[at].joined and before is not None and before.kind == "word")

    def _is_job(self, at: int) -> bool:
        """Whether a fastener's word tells its job: "adjuster bolt"."""
        return isinstance(self.owners[at], Fastener) and self.words.role("job", self.tokens[at].norm) == "own"

    def _is_held(self, at: int) -> bool:
        """Whether a fastener's words name a part that others hold: "liner retaining ring six screws", or one that was told as such before."""
        owner = self.owners[at]
        if not isinstance(owner, Fastener) or owner.count or owner.thread:
            return False
        before, word = self.owners[at - 1] if at else None, singular(self.tokens[at].norm)
        if isinstance(before, Part) and word != "nut" and self.words.role("fastener", word) == "own" and self.ledger.same_part(word):
            return True
        end = bisect_left(self.scene.line.starts, owner.span[1])
        headed = self._is(end, ":") and owner.fastener == "pin" and isinstance(before, Part)
        if self.words.role("fastener", owner.fastener) != "own" and not headed:
            return False
        led = 2 if self._is(end, "on") and self._is(end + 1, "the") else 1 if self._is(end, ",") else 0
        if led and (self._is(end + led + 1, "side") or self._is(end + led + 1, "end")):
            end += led + 2
        while end < len(self.tokens) and self.tokens[end].norm in _HOLDING:
            end += 1
        held = self.owners[end] if end < len(self.tokens) else None
        if headed and isinstance(self._bolted_at(end), Fastener):
            return True  # "tilt cylinder pin: keeper bolt"
        if headed and isinstance(held, Part) and end + 1 < len(self.tokens) and isinstance(self.owners[end + 1], Fastener):
            return True
        return isinstance(held, Fastener) and held.count is not None and self.words.role("fastener", held.fastener) == "joint"

    def _is_inside(self, at: int) -> bool:
        """Whether a fastener's word stands inside the name of a part that counted ones hold: "hatch clamp ring sixteen bolts"."""
        owner, behind = self.owners[at], self.owners[at + 1] if at + 1 < len(self.tokens) else None
        if not isinstance(owner, Fastener) or owner.count or owner.thread or self.tokens[at].norm.endswith("s") or behind is owner:
            return False
        noun = isinstance(behind, Part) or (behind is None and at + 1 < len(self.tokens) and self._can_name(at + 1))
        held = self._bolted_at(at + 2) if noun else None
        return held is not None and bool(held.count)

    def _is_tool_of_name(self, at: int) -> bool:
        """Whether a tool's word begins a part's name: "scraper arm two nuts"."""
        owner = self.owners[at]
        if not isinstance(owner, Tool) or owner.size is not None or at + 1 >= len(self.tokens) or self.owners[at + 1] is owner:
            return False
        if at and self.tokens[at - 1].norm in POINTING and (self._is(at + 1, "for") or self._is(at + 1, "of")):
            return True
        return isinstance(self.owners[at + 1], Part) or (self.owners[at + 1] is None and self._can_name(at + 1))

    def _is_middle(self, at: int) -> bool:
        """A middle that is a thing, between a part's name and its fastener: "clutch centre nut"."""
        return self.tokens[at].norm in {"centre", "center"} and at + 1 < len(self.tokens) and isinstance(self.owners[at + 1], Fastener)

    def _said(self, at: int, end: int) -> list[str]:
        """The words of a name, the last in the singular."""
        said = [t.norm for t in self.tokens[at:end]]
        return [*said[:-1], singular(said[-1])] if said else []

    def _places(self, group: Group) -> str | None:
        """The place words before the name, or the number behind it: "sweep 2"."""
        number = self._number(group.end)
        return " ".join(t.norm for t in self.tokens[group.first : group.at]) or (f"number {number}" if number else None)

    def _number(self, at: int) -> int | None:
        """The number of a twin at a token, when a heading's colon or a fact of its own follows."""
        figure = self.tokens[at].figure if at < len(self.tokens) else None
        if figure is None or self.owners[at] is not None or figure.form != "cardinal" or not 0 < figure.value < _HUNDRED or figure.value % 1:
            return None
        if figure.value == 1 and self._is(at + 1, "'s"):  # "the brake one's the same"
            return None
        if at > 0 and self.tokens[at - 1].norm in {"x", "×", "times"}:
            return None
        heads = at > 0 and singular(self.tokens[at - 1].norm) in self.ledger.headings
        marked = heads or self._is(at + 1, ":") or self._says_same(at + 1) or self._is_all_said(at, figure.value)
        return int(figure.value) if marked else None

    def _is_all_said(self, at: int, value: float) -> bool:
        """Whether a number ends what a note opens with, and that sentence says nothing else: "loom 1.", "column 14, lamp hoist."."""
        if any(self.scene.sentence(f.span[0]) == 0 for f in self.facts if not isinstance(f, Part)):
            return False
        goes_on = any(isinstance(f, (Fastener, Torque)) for f in self.facts)
        if value > (MOST_TWINS if goes_on else _FEW):
            return False
        ends = at + 1 >= len(self.tokens) or self.tokens[at + 1].norm in {".", ";"} or (goes_on and self._is(at + 1, ","))
        return ends and not any(t.kind == "punct" or t.figure or self.words.role("word", t.norm) for t in self.tokens[:at])

    def _is(self, at: int, norm: str) -> bool:
        return at < len(self.tokens) and self.tokens[at].norm == norm

    def _says_same(self, at: int) -> bool:
        while at < len(self.tokens) and self.tokens[at].norm in _GIVEN:
            at += 1
        return any(c.sense == "same" and 0 <= c.at - at <= 1 for c in self.scene.cues)

    def _bolted_at(self, end: int) -> Fastener | None:
        """The fastener right behind a name, past commas and linking words: "feed dog two screws", "gearbox feet: 4 nuts"."""
        for i in range(end, min(end + _LINKS + 1, len(self.tokens))):
            owner, norm = self.owners[i], self.tokens[i].norm
            if isinstance(owner, Fastener):
                return owner
            if owner is None and (self._is_long_place(i) or (i > end and self._is_long_place(i - 1))):
                continue
            if owner is not None or not (norm in _HERE or norm in self.words.places or self.words.role("join", norm)):
                return None
        return None

    def _valued_at(self, at: int) -> bool:
        """Whether a torque follows at a token, past places: "spur left five newton metres"."""
        while at < len(self.tokens) and self.owners[at] is None and self.tokens[at].norm in self.words.places:
            at += 1
        return at < len(self.tokens) and isinstance(self.owners[at], Torque)

    def _pauses(self, at: int) -> bool:
        """Whether what is said stops at a token, or goes on with a figure, a thread, or another fact."""
        return at >= len(self.tokens) or self.tokens[at].kind != "word" or self.owners[at] is not None
