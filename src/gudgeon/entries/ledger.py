"""The entries of a session while they grow: finding the joint that a note means, or opening a new one."""

from __future__ import annotations

import re
from collections import defaultdict
from collections.abc import Container

from gudgeon.domain import Fastener
from gudgeon.entries.drafts import Draft, means, take_fastener, threads_agree, words_of
from gudgeon.entries.spoken import Mention
from gudgeon.entries.vocabulary import Vocabulary

_NEAR = 40
"""How many joints back a place said alone is looked for."""
_NUMBER = re.compile(r"\d+(?:\.\d+)?")


class Ledger:
    """All drafts of a session in order, found by what their part is; ``current`` is the joint being worked on."""

    def __init__(self, words: Vocabulary) -> None:
        self.words = words
        self.drafts: list[Draft] = []
        self.current: Draft | None = None
        self._by_head: dict[str, list[Draft]] = defaultdict(list)
        self.used_words: set[str] = set()
        """Every word of every part's name so far."""
        self.headings: set[str] = set()
        """What heads other parts by its number or side ("column 14"), each by the last word of its name."""
        self.holders: dict[str, str] = {}
        """What parts are told apart by ("coulter arms, row 1:"): the word, and the part's name."""
        self._recent: dict[Draft, int] = {}
        self._clock = 0

    @property
    def heads(self) -> Container[str]:
        """What the parts of this session are, each by the last word of its name."""
        return self._by_head.keys()

    def add(self, draft: Draft) -> Draft:
        """Put a new draft at the end."""
        if draft.part and draft.place:
            self._settle_talk(draft.part, draft.place)
        self.drafts.append(draft)
        name = words_of(draft.part)
        self._by_head[name[-1] if name else ""].append(draft)
        self.used_words.update(name)
        self.touch(draft)
        return draft

    def drop(self, draft: Draft) -> None:
        """Take out a draft that says nothing."""
        self.drafts.remove(draft)
        self._by_head[_head(draft)].remove(draft)
        self._recent.pop(draft, None)
        self.current = None if self.current is draft else self.current

    def touch(self, draft: Draft) -> None:
        """Mark a draft as the one spoken of last."""
        self._clock += 1
        self._recent[draft] = self._clock

    def age(self, draft: Draft) -> int:
        """How recently a draft was spoken of; greater is later."""
        return self._recent.get(draft, 0)

    def part_of(self, name: str, place: str | None = None) -> tuple[str, ...] | None:
        """The fullest name already used for a part that this name can stand for, the latest first.

        With a place, a shorter name stands for a fuller one only when that part was told from its twins in the same way.
        """
        said = words_of(name)
        known = [d for d in self._by_head.get(said[-1] if said else "", ()) if means(said, words_of(d.part))]
        if place is not None:
            kind = self.words.axes(place)
            known = [d for d in known if words_of(d.part) == said or not d.says_something or (d.place and self.words.axes(d.place) & kind)]
        if not known:
            return self._heard_longer(said)
        exact = [d for d in known if words_of(d.part) == said]
        return words_of(max(exact or known, key=self.age).part)

    def _heard_longer(self, said: tuple[str, ...]) -> tuple[str, ...] | None:
        """The short name of a part whose fuller one is only said later: "float guide, top bracket", then "float guide brackets"."""
        shorter = [d for d in self._by_head.get(said[-1] if said else "", ()) if d.part and d.says_something and means(words_of(d.part), said)]
        names = {words_of(d.part) for d in shorter if set(said) - set(words_of(d.part)) <= d.heard}
        return names.pop() if len(names) == 1 else None

    def recent(self) -> list[Draft]:
        """The joints opened last."""
        return self.drafts[-_NEAR:]

    def same_part(self, name: str | None, place: str | None = None) -> list[Draft]:
        """Drafts of a part (and place, when one was said), the latest first."""
        if name is None:
            return []
        full = self.part_of(name, place)
        if full is None:
            return []
        found = [d for d in self._by_head[full[-1]] if words_of(d.part) == full]
        if place is not None:
            exact = [d for d in found if d.place is not None and set(d.place.split()) == set(place.split())]
            found = exact or [d for d in found if d.place is not None and _can_be(place, d)]
        return sorted(found, key=self.age, reverse=True)

    def with_place(self, place: str) -> list[Draft]:
        """Drafts at a place whose part was not said again: of the part worked on when it is told from its twins so, else of the latest such part."""
        current = self.current
        if current is not None and current.place and self.words.axes(current.place) & self.words.axes(place):
            return self.same_part(current.part, place)
        if current is not None and current.part and not current.place and current.fastener and not current.turned:
            return [current]
        for draft in sorted(self.drafts[-_NEAR:], key=self.age, reverse=True):
            if draft.place is not None and set(draft.place.split()) == set(place.split()):
                return self.same_part(draft.part, place)
        return []

    def twin_part(self, place: str, fastener: str | None = None) -> Draft | None:
        """The latest draft whose place is of the same kind (left for right, number 1 for number 2), or the current one.

        Where such a draft has the fastener that was said, it goes before others.
        """
        kind = self.words.axes(place)
        near = sorted(self.drafts[-_NEAR:], key=self.age, reverse=True)
        twins = [d for d in near if d.place and self.words.axes(d.place) & kind and d.part]
        alike = [d for d in twins if fastener is not None and d.fastener == fastener]
        return next(iter(alike or twins), self.current)

    def knows_place(self, place: str | None) -> bool:
        """Whether a place said by itself can tell a joint: a side or a number can, "the top one" only where tops and bottoms were told apart."""
        kind = self.words.axes(place or "")
        if kind & {"side", "number"}:
            return True
        return any(d.place and self.words.axes(d.place) & kind for d in self.drafts[-_NEAR:])

    def group(self, draft: Draft) -> list[Draft]:
        """The joints of a draft's part and place that fasten it, in the order they were opened."""
        same = [d for d in self._by_head[_head(draft)] if d.part == draft.part and d.place == draft.place]
        return [d for d in same if not d.is_part_alone]

    def sized(self, mention: Mention) -> Draft | None:
        """Which of two joints of the current part "the big ones" means: by thread, then by torque."""
        if self.current is None or mention.size is None:
            return None
        group = [d for d in self.group(self.current) if d.fastener]
        if mention.size.isdigit():
            return next((d for d in group if d.thread and _NUMBER.search(d.thread) and _size(d) == float(mention.size)), None)
        if len(group) == 1:
            return group[0]
        called = [d for d in group if d.size == mention.size]
        if called:
            return called[0] if len(called) == 1 else None
        sizes = [_size(d) for d in group]
        if len(group) < 2 or len(set(sizes)) < len(sizes):
            return None
        return group[sizes.index(max(sizes) if mention.size == "big" else min(sizes))]

    def find(self, mention: Mention, *, note: int, alone: bool = False) -> Draft | None:
        """The draft a mention means, or None when it is a new joint; ``alone`` looks for sizes and faults of the part itself."""
        if mention.size:
            return self.sized(mention)
        named = self._candidates(mention)
        if alone:
            return next((d for d in named if d.is_part_alone or (not d.says_something and d.fastener is None)), None)
        if mention.fastener is None:
            return self._fastened(named)
        begun = self._begun_before(mention, mention.fastener)
        if begun is not None:
            return begun
        fits = [d for d in named if _fits(d, mention, mention.fastener, note)]
        return next((d for d in fits if d.fastener), fits[0] if fits else None if named else self._heard_of(mention, mention.fastener, note))

    def _begun_before(self, mention: Mention, fastener: Fastener) -> Draft | None:
        """ "Right, lock nuts then", after a size of another part was told in between: the one joint of such fasteners that still lacks its value."""
        current = self.current
        if mention.part or mention.place or mention.stranger or current is None or current.fastener or current.turned:
            return None
        if not any(d.is_part_alone for d in self._by_head[_head(current)] if d.opened == current.opened):
            return None
        if any(d.part == current.part and d.fastener for d in self.recent()):
            return None
        lacking = [d for d in self.recent() if d.part and d.fastener and not d.turned and not d.left_undone]
        found = [
            d for d in lacking if d.fastener == fastener.fastener and fastener.count in (None, d.count) and threads_agree(fastener.thread, d.thread)
        ]
        return found[0] if len(found) == 1 else None

    def _heard_of(self, mention: Mention, fastener: Fastener, note: int) -> Draft | None:
        """The one recent joint whose fasteners were told by the same job: "anchor nuts" after "stand pads, four anchor nuts"."""
        job = mention.part or ""
        if self.words.role("job", job) != "own" or mention.place:
            return None
        found = [d for d in self.recent() if d.part and d.fastener == fastener.fastener and job in d.heard and d.opened != note]
        return found[0] if len(found) == 1 else None

    def _candidates(self, mention: Mention) -> list[Draft]:
        if mention.part:
            found = self.same_part(mention.part, mention.place)
            if found or mention.place is None:
                return found
            full = self.part_of(mention.part, mention.place)
            bare = [d for d in self.same_part(mention.part) if d.place is None and not d.says_something and words_of(d.part) == full]
            return bare[:1]
        if mention.place:
            return self.with_place(mention.place)
        if mention.stranger:
            same = [d for d in self.recent() if d.stranger == mention.stranger]
            told = set(words_of(mention.stranger))
            heard = [d for d in self.recent() if d.part and d.turned and told <= d.heard]
            return same or (heard if len(heard) == 1 else [])
        if self.current is None:
            return []
        return sorted(self._near_current(self.current), key=self.age, reverse=True)

    def _near_current(self, current: Draft) -> list[Draft]:
        return [d for d in self._by_head[_head(current)] if d.part == current.part and d.place == current.place]

    def _fastened(self, named: list[Draft]) -> Draft | None:
        joints = [d for d in named if not d.is_part_alone]
        open_ones = [d for d in joints if d.fastener and not d.turned]
        return open_ones[0] if len(open_ones) == 1 else joints[0] if joints else None

    def open(self, mention: Mention, *, note: int) -> Draft:
        """A new draft for a mention; part and place fall back to those of the joint it hangs on."""
        part, place = self._part_and_place(mention)
        draft = Draft(part=part, place=place, state=mention.state, opened=note, maybe_place=mention.maybe_place, stranger=mention.stranger)
        if mention.fastener is not None:
            take_fastener(draft, mention.fastener, some=mention.some)
            draft.fastener = self._kind_of(draft)
        elif mention.size and mention.size.isdigit() and self.current:
            draft.fastener, draft.thread = self.current.fastener, f"M{mention.size}"
        elif part and place:
            twin = next((d for d in self.same_part(part) if d.each and d.fastener), None)
            if twin is not None:
                draft.fastener, draft.count, draft.thread, draft.each = twin.fastener, twin.count, twin.thread, True
        return self.add(draft)

    def _settle_talk(self, part: str, place: str) -> None:
        """A left one now shows that "right motor first" meant the right one."""
        across = "number 1" if place == "number 2" else self.words.opposite(place)
        for draft in self.same_part(part):
            if draft.maybe_place and draft.maybe_place == across and draft.place is None:
                self.rename(draft, part=draft.part, place=across)

    def _kind_of(self, draft: Draft) -> str | None:
        """The kind of a fastener named only by its size: that of the part's other fasteners."""
        if draft.fastener != "fastener":
            return draft.fastener
        return next((d.fastener for d in self.same_part(draft.part, draft.place) if d.fastener), draft.fastener)

    def _part_and_place(self, mention: Mention) -> tuple[str | None, str | None]:
        if mention.part:
            full = self.part_of(mention.part, mention.place)
            known = [d for d in self.same_part(mention.part) if words_of(d.part) == full]
            return (known[0].part if known else mention.part), mention.place
        if mention.place:
            twin = self.twin_part(mention.place, mention.fastener.fastener if mention.fastener else None)
            return (twin.part if twin else None), mention.place
        current = None if mention.stranger else self.current
        own = mention.fastener and self.words.role("fastener", mention.fastener.fastener) != "joint"
        beside = current is not None and current.job is not None and mention.job is not None
        if current is None or (own and current.fastener and not beside) or self.lies_between(current):
            return None, None
        return current.part, current.place

    def lies_between(self, draft: Draft) -> bool:
        """Whether a draft's part is put between others (a gasket, a seal), so that fasteners named alone are not its own."""
        name = words_of(draft.part)
        return self.words.lies_between(name) and draft.fastener is None

    def rename(self, draft: Draft, *, part: str | None, place: str | None) -> None:
        """Give a draft another part or place, keeping the ledger's order."""
        self._by_head[_head(draft)].remove(draft)
        draft.part, draft.place = part, place
        self._by_head[_head(draft)].append(draft)


def _head(draft: Draft) -> str:
    name = words_of(draft.part)
    return name[-1] if name else ""


def _can_be(place: str, draft: Draft) -> bool:
    """Whether a place can mean that of a draft: "left" for "left front"; "rear left" for "rear" only while nothing was said of it."""
    said, known = set(place.split()), set((draft.place or "").split())
    return said <= known or (known <= said and not draft.says_something)


def _size(draft: Draft) -> float:
    found = _NUMBER.search(draft.thread or "")
    if found:
        return float(found.group())
    return draft.torques[0].value if draft.torques else 0.0


def _fits(draft: Draft, mention: Mention, fastener: Fastener, note: int) -> bool:
    """Whether a draft can be the joint of a fastener just said."""
    if draft.is_part_alone or (draft.job and mention.job and draft.job != mention.job):
        return False
    if draft.fastener is None:
        return True
    kinds = {draft.fastener, fastener.fastener}
    if len(kinds) > 1 and "fastener" not in kinds and kinds != {"stud", "nut"}:
        return False
    if not threads_agree(fastener.thread, draft.thread):
        return False
    if fastener.count is None or draft.count is None or mention.some or draft.some_only or fastener.count == draft.count:
        return True
    return draft.opened != note and not draft.turned
