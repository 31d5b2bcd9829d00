"""Names of parts by the shape of what is said: read parts in full, and words that no list knows where a part's name stands."""

from __future__ import annotations

from bisect import bisect_left
from collections import deque
from dataclasses import replace

from gudgeon.domain import Angle, Condition, Fact, Fastener, Measure, Part, Tool, Torque
from gudgeon.entries.drafts import means, words_of
from gudgeon.entries.groups import MOST_TWINS, Group
from gudgeon.entries.joint_words import singular
from gudgeon.entries.ledger import Ledger
from gudgeon.entries.positions import LONGEST, MORE_WORDS, Positions, is_doing, is_no_noun
from gudgeon.entries.spoken import ASIDES, Scene
from gudgeon.entries.vocabulary import Vocabulary

_TWO = 2
_MOST = 5
"""Words of a part's name, at most; what a longer one begins with is not its own."""
_ANY_WORD_BEFORE_FASTENER = "parts:before-fastener"
"""The rule of a part that was read only because its word, in no list, stands before a fastener."""


def with_names(scene: Scene, words: Vocabulary, ledger: Ledger) -> Scene:
    """The scene with parts named in full, and with the parts that only their position shows; ``ledger`` knows the names used before."""
    scene = _told_by_holders(scene, words, ledger)
    finder = _Finder(scene, words, ledger)
    return replace(scene, facts=finder.facts) if finder.run() else scene


def _told_by_holders(scene: Scene, words: Vocabulary, ledger: Ledger) -> Scene:
    """Parts told apart by what holds them: "coulter arms, row 1: 1 bolt", and then "row 2 the same"."""
    for at, token in enumerate(scene.tokens[:-1]):
        figure, known = scene.tokens[at + 1].figure, ledger.holders.get(singular(token.norm))
        if figure is None or figure.form != "cardinal" or not 0 < figure.value <= MOST_TWINS or token.kind != "word":
            continue
        if not known and _opens_holder(scene, at, words):
            known = _before_comma(scene, at, words)
            if known is not None:
                ledger.holders[singular(token.norm)] = known
                start, end = _sentence_start(scene, at), scene.tokens[at - 1].start
                scene = replace(scene, facts=tuple(f for f in scene.facts if not (isinstance(f, Part) and start <= f.span[0] < end)))
        if known:
            scene = _held(scene, known, at, f"number {figure.value:g}", words)
    return scene


def _opens_holder(scene: Scene, at: int, words: Vocabulary) -> bool:
    """Whether a word with a number behind it stands between a comma and a colon, and is no place or plain word."""
    behind = scene.tokens[at + 2].norm if at + 2 < len(scene.tokens) else ""
    token = scene.tokens[at]
    plain = words.role("word", token.norm) or token.norm in words.places
    return at > 1 and scene.tokens[at - 1].norm == "," and behind == ":" and not plain


def _sentence_start(scene: Scene, at: int) -> int:
    here = scene.sentence(scene.tokens[at].start)
    return next(t.start for t in scene.tokens if scene.sentence(t.start) == here)


def _before_comma(scene: Scene, at: int, words: Vocabulary) -> str | None:
    """The name that a sentence opens with, up to the comma before a token."""
    start = _sentence_start(scene, at)
    said = [t.norm for t in scene.tokens[: at - 1] if t.start >= start]
    if not 0 < len(said) <= LONGEST or any(w in words.places or not w.isalpha() for w in said):
        return None
    if any(words.role("word", w) for w in said[:-1]):
        return None
    return " ".join((*said[:-1], singular(said[-1])))


def _held(scene: Scene, name: str, at: int, place: str, words: Vocabulary) -> Scene:
    """The note with a part at the number of its holder and the side behind it; the holder itself is no part."""
    word, number = scene.tokens[at], scene.tokens[at + 1]
    side = scene.tokens[at + 2] if at + 2 < len(scene.tokens) and scene.tokens[at + 2].norm in words.alone else None
    last = side or number
    again = next(
        (f for f in scene.facts if isinstance(f, Part) and f.span[0] in (last.start, last.end + 1) and means(words_of(f.name), words_of(name))), None
    )
    own = [f for f in scene.facts if isinstance(f, Part) and (f is again or f.span[0] <= word.start < f.span[1])]
    names = {f.name for f in own}
    place = f"{place} {side.norm}" if side else place
    facts: list[Fact] = [Part(name=name, place=place, span=(word.start, again.span[1] if again else last.end), rule="told by what holds it")]
    for fact in scene.facts:
        if isinstance(fact, (Torque, Angle, Measure)) and fact.part in names:
            facts.append(replace(fact, part=name, place=place))
        elif isinstance(fact, Fastener) and fact.count == number.value and fact.span[0] <= number.start < fact.span[1]:
            facts.append(replace(fact, count=None))
        elif fact not in own:
            facts.append(fact)
    return replace(scene, facts=tuple(sorted(facts, key=lambda f: f.span)))


def unknown_subject(scene: Scene, words: Vocabulary, ledger: Ledger) -> str | None:
    """Of what a correcting note says a value, when those words are no known part's."""
    return _Finder(scene, words, ledger).subject()


def unknown_name(scene: Scene, words: Vocabulary, ledger: Ledger) -> str | None:
    """What a note without any named joint may name all the same: the words it opens with, or all it says, when no list knows them."""
    return _Finder(scene, words, ledger).doubtful()


def unknown_before(scene: Scene, words: Vocabulary, ledger: Ledger, position: int) -> bool:
    """Whether several words that no list knows open a note before a place, so that this is no place of the joint worked on:
    "platform corner bolt the left one went to seventy"."""
    name = _Finder(scene, words, ledger).doubtful()
    said = (name or "").split()
    at = next((i for i, t in enumerate(scene.tokens) if said and t.norm == said[0]), len(scene.tokens))
    return len(said) > 1 and at + len(said) <= len(scene.tokens) and scene.tokens[at + len(said) - 1].end <= position


class _Finder(Positions):
    """Goes through the groups of one note, and keeps its facts."""

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
                self._rename(group.parts[0], self._in_full(self._with_number(group)))
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
        if not fit and some:
            fit = list({d.part for d in self.ledger.recent() if d.part and set(said) <= d.heard | set(words_of(d.part))})
        return fit[0] if len(fit) == 1 else None

    def _is_numbered(self, group: Group, after: Group) -> bool:
        """Whether a number stands inside a name that a note opens with: "bucket 1 lip: 6 bolts"."""
        figure = self.tokens[group.end].figure
        known = isinstance(self.owners[group.end], Fastener) and singular(self.tokens[group.end - 1].norm) in self.ledger.headings
        free = self.owners[group.end] is None or known or self._counts_one(group.end)
        cardinal = figure is not None and figure.form == "cardinal" and 0 < figure.value <= MOST_TWINS and free
        if cardinal and figure is not None and figure.value > 1 and self._is_plural(group.end - 1) and self._is_plural(after.end - 1):
            return False  # "track joints six plates": how many there are
        if not cardinal or after.at != group.end + 1 or not group.opens or group.size + after.size > LONGEST:
            return False
        if self._is(after.end, ":") or self._bolted_at(after.end) is not None:
            return True
        name = " ".join(self._said(after.at, after.end))
        return figure is not None and any(f"number {figure.value:g}" == d.place for d in self.ledger.same_part(name))

    def _is_plural(self, at: int) -> bool:
        norm = self.tokens[at].norm
        return norm.endswith("s") and norm != singular(norm)

    def _counts_one(self, at: int) -> bool:
        """Whether a figure was read as the count of a fastener in the singular, so that it is a number: "gate 3 stem nut"."""
        owner = self.owners[at]
        end = bisect_left(self.scene.line.starts, owner.span[1]) if isinstance(owner, Fastener) and owner.count and owner.count > 1 else 0
        return bool(end) and not self.tokens[end - 1].norm.endswith("s")

    def _join_numbered(self, group: Group, after: Group) -> None:
        figure = self.tokens[group.end].figure
        rest = self._said(after.at, after.end)
        self.ledger.headings.add(singular(self.tokens[group.end - 1].norm))
        known = bool(self.ledger.same_part(" ".join(rest)))
        name = " ".join(rest if len(rest) > 1 or known else (*(t.norm for t in self.tokens[group.at : group.end]), *rest))
        span = (self.tokens[group.first].start, self.tokens[after.end - 1].end)
        sides = next((p.place for p in after.parts if p.place), None) or self._side_behind(after.end)
        place = " ".join(w for w in (f"number {figure.value:g}" if figure else None, sides) if w) or None
        part = Part(name=name, place=place, span=span, rule="named by its shape")
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

    def _side_behind(self, at: int) -> str | None:
        """The side said behind a name and before a pause: "chair 7 drive motor left: 3 bolts"."""
        alone = at + 1 < len(self.tokens) and self.tokens[at].norm in self.words.alone and self.tokens[at + 1].norm in {":", ",", "."}
        return self.tokens[at].norm if alone else None

    def _settle_heading(self) -> None:
        """What a note opens with before a colon owns the rest of the sentence: its place is that of the parts named behind it ("sweep 1:
        hanger bolt, tie rod nut"), and a word that only tells the kind of its fasteners is no part ("cross beam: tie bolts").
        """
        self._join_to_heading()
        parts = [f for f in self.facts if isinstance(f, Part)]
        colon = next((t.start for t in self.tokens if t.norm == ":"), None)
        here = self.scene.sentence(colon) if colon is not None else 0
        parts = [f for f in parts if self.scene.sentence(f.span[0]) == here]
        if colon is None or len(parts) < _TWO or parts[0].span[1] > colon:
            return
        between = [w for w in self.scene.between(parts[0].span[1], colon + 1) if w in self.words.places]
        if parts[0].place is None and between and all(p.span[0] > colon for p in parts[1:]):
            placed = replace(parts[0], place=" ".join(between))
            self._rename(parts[0], placed)
            parts[0] = placed
        for part in parts[1:]:
            if part.span[0] < colon:
                continue
            if part.rule == _ANY_WORD_BEFORE_FASTENER and " " not in part.name:
                self._rename(part, replace(part, name=parts[0].name, place=part.place or parts[0].place))
                self.facts = tuple(f for f in self.facts if not (isinstance(f, Part) and f.span == part.span))
            elif part.place is None and parts[0].place is not None:
                self._rename(part, replace(part, name=self._under(parts[0], part), place=parts[0].place))

    def _under(self, head: Part, part: Part) -> str:
        """The name of a part under a heading: "load wheel left: axle bolt" is the wheel's axle, "lever 7: tie bolt" only a tie bolt."""
        if self.words.role("job", part.name) == "own" and len(head.name.split()) < LONGEST:
            return f"{head.name} {part.name}"
        known = part.name in self.ledger.used_words or part.name in head.name.split()
        known = known or not any(isinstance(f, Fastener) and f.span[0] <= part.span[1] + 1 < f.span[1] for f in self.facts)
        return part.name if known or " " in part.name or "part_nouns" not in part.rule else f"{head.name.split()[-1]} {part.name}"

    def _join_to_heading(self) -> None:
        """What a note opens with before a comma, and a word before a fastener behind it, are one name ("tail wheel, fork nut"); that word is
        left out when the place behind the name is part of it ("left fork lower, foot nut").
        """
        parts = [f for f in self.facts if isinstance(f, Part)]
        if len(parts) < _TWO or any(f.span[0] < parts[0].span[0] for f in self.facts):
            return
        head, part = parts[:2]
        between = self.scene.between(head.span[1], part.span[0])
        places = [w for w in between if w in self.words.places]
        if between[-1:] != [","] or between.count(",") != 1 or len(between) > len(places) + 1 or part.place or " " in part.name:
            return
        bolted = any(isinstance(f, Fastener) and f.count is None and f.span[0] <= part.span[1] + 1 <= f.span[1] for f in self.facts)
        if not part.rule.startswith(_ANY_WORD_BEFORE_FASTENER) or not bolted or set(part.name.split()) <= set(head.name.split()):
            return
        place = " ".join(w for w in (head.place, *places) if w) or None
        name = head.name if places else f"{head.name} {part.name}"
        self._rename(part, replace(part, name=name, place=place, span=(head.span[0], part.span[1])))
        self.facts = tuple(f for f in self.facts if f is not head)

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
            elif self.tokens[i].norm not in self.words.places and not is_no_noun(self.tokens[i].norm):
                said.append(self.tokens[i].norm)
        place = next((p.place for p in reversed(group.parts) if p.place), None) or self._places(group)
        names = {part.name for part in others}
        self.facts = tuple(
            replace(f, part=last.name, place=f.place or last.place) if isinstance(f, (Torque, Angle)) and f.part in names else f
            for f in self.facts
            if f not in others
        )
        said = self._of_the_joint(said)
        self._rename(last, replace(last, name=" ".join(said), place=place, span=(self.tokens[group.first].start, last.span[1])))

    def _with_number(self, group: Group) -> Group:
        """The group with the number behind its part: "axle box 1: 4 bolts", and "axle box 1 went to …" once that one was told by its number."""
        part, figure = group.parts[0], self.tokens[group.end].figure if group.end < len(self.tokens) else None
        if part.place is not None or figure is None or figure.form != "cardinal" or self.owners[group.end] is not None:
            return group
        told = singular(part.name.split()[-1]) in self.ledger.headings or any(
            d.place == f"number {figure.value:g}" for d in self.ledger.same_part(part.name)
        )
        if self._number(group.end) is None and not told and not self._is_twin_before_fastener(group.end):
            return group
        placed = replace(part, place=f"number {figure.value:g}")
        self._rename(part, placed)
        self.owners = [placed if owner is part else owner for owner in self.owners]
        return replace(group, parts=(placed,))

    def _of_the_joint(self, said: list[str]) -> list[str]:
        """A part's name without that of the whole machine before it: "turret clock | going train pillar"; one word alone keeps it."""
        whole = next((i + 1 for i, word in enumerate(said[:_TWO]) if self.words.role("part", word) == "whole"), 0)
        name = said[whole:] if len(said) - whole >= _TWO else said
        return name[1 - _MOST :] if len(name) > _MOST else name

    def _is_twin_before_fastener(self, at: int) -> bool:
        """Whether a small figure stands between a part and its fastener, with a value behind: "wire adjuster 7, lock nut 30 ft-lb"."""
        figure = self.tokens[at].figure
        behind = self.owners[at + 2] if at + 2 < len(self.tokens) and self._is(at + 1, ",") else None
        valued = isinstance(behind, Fastener) and any(isinstance(f, Torque) and f.span[0] >= behind.span[1] for f in self.facts)
        return figure is not None and 0 < figure.value <= MOST_TWINS and valued

    def _in_full(self, group: Group) -> Part:
        """The part of a group with the words before and behind it that belong to its name: "pug mill auger coupling"."""
        part = group.parts[0]
        own = [i for i in range(group.at, group.end) if self.owners[i] is part]
        left, right = self._left(group, own[0]), self._right(group, own[-1] + 1)
        if not left and not right:
            name = self._of_the_joint(part.name.split())
            return replace(part, name=" ".join(name)) if len(name) < len(part.name.split()) else part
        start = self.tokens[group.first].start if left else part.span[0]
        end = self.tokens[group.end - 1].end if right else part.span[1]
        place = part.place or (self._places(group) if left else None)
        if len(left) == _TWO and left[1] == "side" and not place and not self.words.role("sided", part.name.split()[0]):
            place, left = " ".join(left), []  # "strike side winding motor"
        name = self._of_the_joint([*left, *part.name.split(), *right])
        return replace(part, name=" ".join(name), place=place, span=(start, end))

    def _left(self, group: Group, own: int) -> list[str]:
        said = [t.norm for t in self.tokens[group.at : own]]
        if said and self.words.role("stand", said[0]) and group.pointed and group.first > 1 and self.tokens[group.first - 2].norm in {"on", "in"}:
            said = said[1:]  # "motor's on the bench commutator bearing cap first"
        if not said or not (group.opens or group.pointed) or len(said) > MORE_WORDS or group.parts[0].place is not None:
            return []
        bolt = self._bolted_at(group.end)
        headed = bolt is not None and any(t.norm == ":" and t.start == bolt.span[1] for t in self.tokens)
        doing = is_doing(said[0]) and not (headed or self._is(group.end, ":") or group.pointed or said[0] in self.ledger.used_words)
        return [] if doing or any(is_no_noun(w) for w in said) else said

    def _right(self, group: Group, own: int) -> list[str]:
        said = self._said(own, group.end)
        measured = {w for f in self.facts if isinstance(f, Measure) for w in words_of(f.quantity)}
        if not said or len(said) > MORE_WORDS or not measured.isdisjoint(singular(w) for w in said):
            return []
        full = " ".join((group.parts[0].name, *said))
        if self.ledger.part_of(full) == words_of(full):
            return said
        joint = self._is(group.end, ":") or self._bolted_at(group.end) is not None or self._says_same(group.end) or self._valued_at(group.end)
        joint = joint or self._is_held(group.end - 1)
        refused = any(is_no_noun(w) or self.words.role("part", w) == "bit" for w in said)
        return said if joint and not refused else []

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
