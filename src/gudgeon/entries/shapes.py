"""Names of parts by the shape of what is said: words that no list knows, where a part's name stands."""

from __future__ import annotations

from bisect import bisect_left
from collections import deque
from dataclasses import dataclass, replace

from gudgeon.domain import Angle, Condition, Fact, Fastener, Measure, Part, Tool, Torque
from gudgeon.entries.drafts import words_of
from gudgeon.entries.joint_words import only_describes, singular
from gudgeon.entries.ledger import Ledger
from gudgeon.entries.mentions import ASIDES, TOWARDS, Scene
from gudgeon.entries.vocabulary import Vocabulary

_LONGEST = 4
"""Words of a name that no list knows, at most."""
_LONGEST_WHOLE = 5
"""Words of a name put together from two that were read."""
_MORE_WORDS = 2
"""Words that may be added on one side of a part's name that was read."""
_LINKS = 3
"""Words between a name and its fastener or value, at most."""
_LEAD_IN = 2
_MOST_TWINS = 24
_ANY_WORD_BEFORE_FASTENER = "parts:before-fastener"
"""The rule of a part that was read only because its word, in no list, stands before a fastener."""
_POINTING = frozenset(("the", "that", "those", "these", "this", "its"))
_BREAKS = frozenset((".", ";", "!", "?", ":", ","))
_GOING_ON = frozenset(("and", "which", "with", "that", "that's"))
_PLAIN_LINKS = frozenset(("at", "to", ",", ":"))
"""What links a name to its value without a verb that a person could be the subject of."""
_VOWELS = frozenset("aeiouy")
_SHORT = 4
_SPLICES = frozenset(("hand", "side"))
_SAID_OF = frozenset(("was", "were", "is", "are", "ones", "one", "should", "had", "got", "gets", "needs", "wants"))
"""What a correcting note goes on with behind the joint that it sets right."""
_SUBJECT_AFTER = frozenset(("on", "to", "for", "with"))


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


def with_names(scene: Scene, words: Vocabulary, ledger: Ledger) -> Scene:
    """The scene with parts named in full, and with the parts that only their position shows; ``ledger`` knows the names used before."""
    finder = _Finder(scene, words, ledger)
    return replace(scene, facts=finder.facts) if finder.run() else scene


def unknown_subject(scene: Scene, words: Vocabulary, ledger: Ledger) -> str | None:
    """Of what a correcting note says a value, when those words are no known part's."""
    return _Finder(scene, words, ledger).subject()


def unknown_name(scene: Scene, words: Vocabulary, ledger: Ledger) -> str | None:
    """What a note without any named joint may name all the same: the words it opens with, or all it says, when no list knows them."""
    return _Finder(scene, words, ledger).doubtful()


def _is_doing(word: str) -> bool:
    """Whether a word can be a verb in -ing ("leaking", not "ring" or "spring")."""
    return word.endswith("ing") and not _VOWELS.isdisjoint(word[:-3])


def _is_no_noun(word: str) -> bool:
    """Whether a word has the ending of a past form or an adverb ("cleaned", "nicely", not "bed")."""
    return len(word) > _SHORT and word.endswith(("ed", "ly")) and word not in {"assembly", "supply"}


class _Finder:
    """Goes through the groups of one note, and keeps its facts."""

    def __init__(self, scene: Scene, words: Vocabulary, ledger: Ledger) -> None:
        self.scene = scene
        self.words = words
        self.ledger = ledger
        self.facts: tuple[Fact, ...] = scene.facts
        self.tokens = scene.tokens
        self.owners = self._owners()
        self.cued = {i for cue in scene.cues for i in range(cue.at, min(cue.end, cue.at + 2) if cue.sense == "same" else cue.end)}

    def run(self) -> bool:
        """Rename and add parts; whether anything changed."""
        asides = [f.span for f in self.facts if isinstance(f, ASIDES)]
        found: list[Part] = []
        groups = deque(self._groups())
        while groups:
            group = groups.popleft()
            if groups and self._is_numbered(group, groups[0]):
                self._join_numbered(group, groups.popleft())
                continue
            if groups and self._is_twin(group, groups[0]):
                self._name_twin(group, groups.popleft())
                continue
            known = self._known(group)
            if known and not group.parts:
                found.append(replace(self._part(group), name=known))
            elif known:
                self._rename(group.parts[-1], replace(group.parts[-1], name=known))
            elif len(group.parts) > 1:
                self._join(group)
            elif group.parts:
                self._rename(group.parts[0], self._in_full(group))
            elif not any(a <= self.tokens[group.at].start < b for a, b in asides) and self._is_name(group):
                found.append(self._part(group))
        if found:
            self.facts = tuple(sorted((*self.facts, *found), key=lambda f: f.span))
        named = [f.span for f in self.facts if isinstance(f, Part)]
        self.facts = tuple(
            f for f in self.facts if not (isinstance(f, (Tool, Fastener)) and any(a < f.span[1] <= b and a <= f.span[0] for a, b in named))
        )
        self._settle_heading()
        return self.facts is not self.scene.facts

    # The groups of a note.

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
        at = 0
        while at < len(self.tokens):
            token, owner = self.tokens[at], self.owners[at]
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
                pointed, first = token.norm in _POINTING, -1
                after = after and token.norm in {"and", "then", "the", ",", ".", ";"}
                plain = at in self.cued or bool(self.words.role("word", token.norm))
                clean = (clean or token.norm in _BREAKS) if token.kind == "punct" else clean and plain
            at += 1
        return found

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
        return self.owners[at] is None or (alone and (self._is_job(at) or self._is_tool_of_name(at))) or self._is_held(at)

    def _can_join(self, part: Part, other: Part) -> bool:
        """Whether two parts read side by side can be one name: "fan hub | taper bush", not "left motor | right motor"."""
        names = {part.name, other.name}
        valued = any(getattr(f, "part", None) == part.name for f in self.facts)
        return len(names) == 2 and not valued and part.place is None and len(" ".join(names).split()) <= _LONGEST_WHOLE

    def _can_name(self, at: int) -> bool:
        token = self.tokens[at]
        if token.kind != "word" or "'" in token.norm or token.norm in self.words.places:
            return False
        if token.norm == "torque" and 0 < at < len(self.tokens) - 1 and isinstance(self.owners[at - 1], Part):
            return self._can_name(at + 1)
        return not (self.words.role("word", token.norm) or self.words.role("size", token.norm))

    def _is_job(self, at: int) -> bool:
        """Whether a fastener's word tells its job: "adjuster bolt"."""
        return isinstance(self.owners[at], Fastener) and self.words.role("job", self.tokens[at].norm) is not None

    def _is_held(self, at: int) -> bool:
        """Whether a fastener's words name a part that others hold: "liner retaining ring six screws"."""
        owner = self.owners[at]
        if not isinstance(owner, Fastener) or owner.count or owner.thread or self.words.role("fastener", owner.fastener) != "own":
            return False
        end = bisect_left(self.scene.line.starts, owner.span[1])
        held = self.owners[end] if end < len(self.tokens) else None
        return isinstance(held, Fastener) and held.count is not None and self.words.role("fastener", held.fastener) == "joint"

    def _is_tool_of_name(self, at: int) -> bool:
        """Whether a tool's word begins a part's name: "scraper arm two nuts"."""
        owner = self.owners[at]
        if not isinstance(owner, Tool) or owner.size is not None or at + 1 >= len(self.tokens) or self.owners[at + 1] is owner:
            return False
        if at and self.tokens[at - 1].norm in _POINTING and (self._is(at + 1, "for") or self._is(at + 1, "of")):
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
        if figure is None or self.owners[at] is not None or figure.form != "cardinal" or not 0 < figure.value <= _MOST_TWINS:
            return None
        return int(figure.value) if self._is(at + 1, ":") or self._says_same(at + 1) else None

    def _is(self, at: int, norm: str) -> bool:
        return at < len(self.tokens) and self.tokens[at].norm == norm

    def _part(self, group: Group) -> Part:
        span = (self.tokens[group.first].start, self.tokens[group.end - 1].end)
        return Part(name=" ".join(self._said(group.at, group.end)), place=self._places(group), span=span, rule="named by its shape")

    def _known(self, group: Group) -> str | None:
        """A known part called by some of its words: "the takeup roller ones"; or gone back to by the first of them: "fan hub again"."""
        said = tuple(singular(w) for w in self._said(group.at, group.end))
        some = self._is(group.end, "ones") or (self._is(group.end, "one") and self.owners[group.end] is None)
        twin = self._number(group.end) is not None and self.scene.has("same")
        again = (twin or self._is(group.end, "again") or self.scene.has("back")) and not any(isinstance(f, Fastener) for f in self.facts)
        if not some and not again:
            return None
        names = {d.part: words_of(d.part) for d in self.ledger.recent() if d.part}
        if said in names.values() or not said:
            return None
        fit = [name for name, full in names.items() if set(said) <= set(full) and (some or full[: len(said)] == said)]
        return fit[0] if len(fit) == 1 else None

    def _is_numbered(self, group: Group, after: Group) -> bool:
        """Whether a number stands inside a name that a note opens with: "bucket 1 lip: 6 bolts"."""
        figure = self.tokens[group.end].figure
        free = self.owners[group.end] is None or self._counts_one(group.end)
        cardinal = figure is not None and figure.form == "cardinal" and 0 < figure.value <= _MOST_TWINS and free
        if not cardinal or after.at != group.end + 1 or not group.opens or group.size + after.size > _LONGEST:
            return False
        return self._is(after.end, ":") or self._bolted_at(after.end) is not None

    def _counts_one(self, at: int) -> bool:
        """Whether a figure was read as the count of a fastener in the singular, so that it is a number: "gate 3 stem nut"."""
        owner = self.owners[at]
        end = bisect_left(self.scene.line.starts, owner.span[1]) if isinstance(owner, Fastener) and owner.count and owner.count > 1 else 0
        return bool(end) and not self.tokens[end - 1].norm.endswith("s")

    def _join_numbered(self, group: Group, after: Group) -> None:
        figure = self.tokens[group.end].figure
        name = " ".join((*(t.norm for t in self.tokens[group.at : group.end]), *self._said(after.at, after.end)))
        span = (self.tokens[group.first].start, self.tokens[after.end - 1].end)
        part = Part(name=name, place=f"number {figure.value:g}" if figure else None, span=span, rule="named by its shape")
        old = [*group.parts, *after.parts]
        counted = self.owners[group.end]
        if isinstance(counted, Fastener):
            single = replace(counted, count=None, span=(self.tokens[after.end].start, counted.span[1]))
            self.facts = tuple(single if f is counted else f for f in self.facts)
        self.facts = tuple(f for f in self.facts if f not in old[:-1])
        if old:
            self._rename(old[-1], part)
        else:
            self.facts = tuple(sorted((*self.facts, part), key=lambda f: f.span))

    def _settle_heading(self) -> None:
        """What a note opens with before a colon owns the rest of the sentence: its place is that of the parts named behind it ("sweep 1:
        hanger bolt, tie rod nut"), and a word that only tells the kind of its fasteners is no part ("cross beam: tie bolts").
        """
        parts = [f for f in self.facts if isinstance(f, Part)]
        colon = next((t.start for t in self.tokens if t.norm == ":"), None)
        if colon is None or len(parts) < _LEAD_IN or parts[0].span[1] > colon:
            return
        here = self.scene.sentence(parts[0].span[0])
        for part in parts[1:]:
            if part.span[0] < colon or self.scene.sentence(part.span[0]) != here:
                continue
            if part.rule == _ANY_WORD_BEFORE_FASTENER and " " not in part.name:
                self._rename(part, replace(part, name=parts[0].name, place=part.place or parts[0].place))
                self.facts = tuple(f for f in self.facts if not (isinstance(f, Part) and f.span == part.span))
            elif part.place is None and parts[0].place is not None:
                self._rename(part, replace(part, place=parts[0].place))

    def _is_twin(self, group: Group, after: Group) -> bool:
        """Whether a known part is named behind a numbered assembly that was spoken of before: "sweep 2 tie rod"."""
        figure = self.tokens[group.end].figure
        if figure is None or figure.form != "cardinal" or after.at != group.end + 1 or self._places(after):
            return False
        name = words_of(" ".join(self._said(group.at, group.end)))
        known = any(words_of(d.part) == name and (d.place or "").startswith("number") for d in self.ledger.recent())
        return known and (bool(after.parts) or self.ledger.part_of(" ".join(self._said(after.at, after.end))) is not None)

    def _name_twin(self, group: Group, after: Group) -> None:
        figure = self.tokens[group.end].figure
        place = f"number {figure.value:g}" if figure else None
        if after.parts:
            self._rename(after.parts[-1], replace(after.parts[-1], place=place))
        else:
            self.facts = tuple(sorted((*self.facts, replace(self._part(after), place=place)), key=lambda f: f.span))
        self.facts = tuple(f for f in self.facts if f not in group.parts)

    # Parts that were read, with the words of their names that were left out.

    def _join(self, group: Group) -> None:
        """Two parts read side by side that are one name, with the words between them and a place inside: "radiator lower mounts"."""
        if not (group.opens or group.pointed):
            return
        *others, last = group.parts
        said: list[str] = []
        for i in range(group.at, group.end):
            owner = self.owners[i]
            if isinstance(owner, Part):
                said += owner.name.split() if owner is not self.owners[i - 1] or i == group.at else []
            elif self.tokens[i].norm not in self.words.places:
                said.append(self.tokens[i].norm)
        place = next((p.place for p in reversed(group.parts) if p.place), None) or self._places(group)
        self.facts = tuple(f for f in self.facts if f not in others)
        self._rename(last, replace(last, name=" ".join(said), place=place, span=(self.tokens[group.first].start, last.span[1])))

    def _in_full(self, group: Group) -> Part:
        """The part of a group with the words before and behind it that belong to its name: "pug mill auger coupling"."""
        part = group.parts[0]
        own = [i for i in range(group.at, group.end) if self.owners[i] is part]
        left, right = self._left(group, own[0]), self._right(group, own[-1] + 1)
        if not left and not right:
            return part
        start = self.tokens[group.first].start if left else part.span[0]
        end = self.tokens[group.end - 1].end if right else part.span[1]
        place = part.place or (self._places(group) if left else None)
        return replace(part, name=" ".join((*left, part.name, *right)), place=place, span=(start, end))

    def _left(self, group: Group, own: int) -> list[str]:
        said = [t.norm for t in self.tokens[group.at : own]]
        if not said or not (group.opens or group.pointed) or len(said) > _MORE_WORDS or group.parts[0].place is not None:
            return []
        doing = _is_doing(said[0]) and not (self._is(group.end, ":") or group.pointed or said[0] in self.ledger.used_words)
        return [] if doing or any(_is_no_noun(w) for w in said) else said

    def _right(self, group: Group, own: int) -> list[str]:
        said = self._said(own, group.end)
        measured = {w for f in self.facts if isinstance(f, Measure) for w in words_of(f.quantity)}
        if not said or len(said) > _MORE_WORDS or not measured.isdisjoint(singular(w) for w in said):
            return []
        full = " ".join((group.parts[0].name, *said))
        if self.ledger.part_of(full) == words_of(full):
            return said
        joint = self._is(group.end, ":") or self._bolted_at(group.end) is not None or self._says_same(group.end)
        refused = any(_is_no_noun(w) or self.words.role("part", w) == "bit" for w in said)
        return said if joint and not refused else []

    def _says_same(self, at: int) -> bool:
        return any(c.sense == "same" and 0 <= c.at - at <= 1 for c in self.scene.cues)

    def _rename(self, part: Part, fuller: Part) -> None:
        """A part's fuller name, on the part itself and on what was said of it."""
        if fuller is part:
            return
        twins = [f for f in self.facts if isinstance(f, Part) and f.name == part.name]
        renamed: list[Fact] = []
        for fact in self.facts:
            if fact is part:
                renamed.append(fuller)
            elif isinstance(fact, (Torque, Angle, Measure)) and fact.part == part.name and (len(twins) == 1 or fact.place == part.place):
                renamed.append(replace(fact, part=fuller.name, place=fact.place or fuller.place))
            elif len(twins) == 1 and isinstance(fact, Condition) and fact.part == part.name:
                renamed.append(replace(fact, part=fuller.name))
            else:
                renamed.append(fact)
        self.facts = tuple(renamed)

    # Names that no list knows.

    def _is_name(self, group: Group) -> bool:
        """Whether a group that no list knows stands where only a part's name stands."""
        if group.size > _LONGEST or all(self.words.role("part", t.norm) == "bit" for t in self.tokens[group.at : group.end]):
            return False
        if self._is_before_fastener(group) or self._stands_on(group):
            return True
        start = self.tokens[group.at].start
        here = self.scene.sentence(start)
        if any(isinstance(f, Part) and f.span[1] <= start and self.scene.sentence(f.span[0]) == here for f in self.facts):
            return False
        return self._is_heading(group) or self._takes_value(group) or self._is_opened(group)

    def _is_heading(self, group: Group) -> bool:
        """ "Left wing root: two main pins", "striking line anchor: same", "sweep 1: hanger bolt"."""
        colon = self._is(group.end, ":") or self._number(group.end) is not None
        if not group.opens or not colon or self.scene.has("correct", "correct start"):
            return False
        return self.scene.has("same") or any(f.kind in {"fastener", "torque"} for f in self.facts)

    def _bolted_at(self, end: int) -> Fastener | None:
        """The fastener right behind a name, past commas and linking words: "feed dog two screws", "gearbox feet: 4 nuts"."""
        for i in range(end, min(end + _LINKS + 1, len(self.tokens))):
            owner, norm = self.owners[i], self.tokens[i].norm
            if isinstance(owner, Fastener):
                return owner
            if owner is not None or not (norm in {",", ":", "-"} or self.words.role("join", norm)):
                return None
        return None

    def _is_before_fastener(self, group: Group) -> bool:
        """ "The feed dog screws", "feed dog two screws", "pivot bolt 40 Nm, adjuster bolt 22 Nm"."""
        fastener = self._bolted_at(group.end)
        if fastener is None or not group.opens or only_describes(t.norm for t in self.tokens[group.at : group.end]):
            return False
        counted = any(t.kind == "figure" for t in self.tokens if fastener.span[0] <= t.start < fastener.span[1])
        if self._is(group.end, ",") and self._under_colon(group):
            return False
        return counted or group.pointed or (group.after and group.size <= _MORE_WORDS) or self._is_job(group.at)

    def _under_colon(self, group: Group) -> bool:
        """Whether something was named before a colon of the sentence, so that a word behind it only describes."""
        colon = next((t.start for t in self.tokens[: group.at] if t.norm == ":"), None)
        return colon is not None and any(isinstance(f, Part) and f.span[1] <= colon for f in self.facts)

    def _stands_on(self, group: Group) -> bool:
        """A name that a note opens with, and another part on which it stands: "minute hand on the north dial clamp screw 6 Nm", "the ratchet
        for the headrest 8 Nm".
        """
        named = group.size >= _MORE_WORDS or group.pointed
        if not group.opens or not named or any(f.span[0] < self.tokens[group.at].start for f in self.facts):
            return False
        at = group.end + 1
        while at < len(self.tokens) and (self.tokens[at].norm in _POINTING or self.tokens[at].norm in self.words.places):
            at += 1
        if not any(self._is(group.end, lead) for lead in ("on", "for", "of")) or at >= len(self.tokens):
            return False
        thing = isinstance(self.owners[at], Part) or (self.owners[at] is None and self._can_name(at))
        return thing and any(isinstance(f, Torque) for f in self.facts)

    def _takes_value(self, group: Group) -> bool:
        """ "Picker stick at eighteen newton metres", "eighteen newton metres on the picker stick"."""
        lead = group.first - 1 - group.pointed
        led_by = self.tokens[lead].norm if lead >= 0 else ""
        if lead > 0 and group.pointed and led_by in TOWARDS and isinstance(self.owners[lead - 1], Torque):
            return True
        if not group.opens or (led_by not in _SUBJECT_AFTER and self.words.role("lead", led_by)):
            return False
        someone = group.size == 1 and not group.pointed and not any(self._is(group.end, link) for link in _PLAIN_LINKS)
        for i in range(group.end, min(group.end + _LINKS, len(self.tokens))):
            owner, norm = self.owners[i], self.tokens[i].norm
            if isinstance(owner, (Torque, Angle)):
                return owner.part is None and not someone
            if owner is not None or norm in {"it", "them"} or not (norm in _PLAIN_LINKS or self.words.role("join", norm)):
                break
        return False

    def _is_opened(self, group: Group) -> bool:
        """ "Presser foot next", "now the shuttle race", "on to the doffer comb and …", "that was the doffer comb"."""
        if not group.opens:
            return False
        pauses = self._pauses(group.end) or self.tokens[group.end].norm in _GOING_ON
        for cue in self.scene.cues:
            if cue.sense in {"names last", "names waiting"} and 0 <= cue.at - group.end <= 1 and (cue.at == group.end or pauses):
                return True
            if cue.sense != "open":
                continue
            if cue.at == group.end and self.tokens[cue.at].norm == "next":
                return self._pauses(cue.end)
            begins = cue.at < _LEAD_IN or self.tokens[cue.at - 1].kind == "punct"
            if pauses and begins and cue.end <= group.first and all(t.norm in _POINTING for t in self.tokens[cue.end : group.first]):
                return True
        return False

    def _pauses(self, at: int) -> bool:
        """Whether what is said stops at a token, or goes on with a figure, a thread, or another fact."""
        return at >= len(self.tokens) or self.tokens[at].kind != "word" or self.owners[at] is not None

    def subject(self) -> str | None:
        """Words, no known part's, of which a correcting note says a value: "the scraper arm was fourteen"."""
        for group in self._groups():
            if not group.parts and any(self._is(group.end, link) for link in _SAID_OF) and group.size <= _LONGEST:
                return " ".join(self._said(group.at, group.end))
        return None

    def doubtful(self) -> str | None:
        """The words of a group that opens a note with a value, or is all that a note without facts says besides plain words."""
        groups = self._groups()
        group = groups[0] if groups else None
        if group is None or group.parts or not group.opens or group.size > _LONGEST:
            return None
        doing = _is_doing(self.tokens[group.at].norm) or _is_no_noun(self.tokens[group.at].norm)
        bolt = next((f.span[0] for f in self.facts if isinstance(f, Fastener)), None)
        bare = bolt is not None and not _BREAKS.intersection(self.scene.between(self.tokens[group.end - 1].end, bolt))
        heads = self._number(group.end) is not None or self._is(group.end, ":") or (bare and not doing)
        if not (group.size > 1 or group.pointed or heads):
            return None
        first_value = next((f.span[0] for f in self.facts if isinstance(f, (Torque, Angle, Fastener))), None)
        if first_value is None:
            alone = group.size > 1 and not self.facts and len(groups) == 1 and not any(t.figure for t in self.tokens)
            plain = all(self.words.role("word", t.norm) or t.kind == "punct" for t in (*self.tokens[: group.at], *self.tokens[group.end :]))
            return " ".join(self._said(group.at, group.end)) if alone and plain else None
        begins = self.scene.sentence(self.tokens[group.at].start) == self.scene.sentence(first_value) and self.tokens[group.at].start < first_value
        return " ".join(self._said(group.at, group.end)) if begins else None
