"""The joints that one note names, gathered from its parts, fasteners and places."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from itertools import pairwise

from gudgeon.domain import Fastener, Part
from gudgeon.entries.around import SKIPPED, Around
from gudgeon.entries.bystanders import is_for_compound, is_put_in, stands_by, tells_why
from gudgeon.entries.drafts import means, places_agree, words_of
from gudgeon.entries.places import BarePlace
from gudgeon.entries.seats import bears, is_held_to, is_minor, is_secondary
from gudgeon.entries.spoken import JOINING, TOWARDS, Mention, Scene
from gudgeon.entries.vocabulary import Vocabulary

_COMPASS = frozenset(("side", "end"))
"""North, south, east and west tell twins apart together."""
_NUMBER = "number"
_INTO = frozenset(("to", "into", "onto"))
_PUT_ON = frozenset(("on", "onto", "in", "into", "to", "at"))
_AT_IT = (frozenset(("we", "i", "i'm", "we're")), frozenset(("'re", "'m", "are", "am")), frozenset(("on", "at")))
"""What leads in the part that is worked on: "we're on the pump"."""
_SUBJECT_OF = frozenset(("'s", "is", "goes", "has", "gets", "got", "takes", "needs", "wants"))


class Sorter:
    """Goes through the parts, fasteners and places of one note in order, and gathers them into joints."""

    def __init__(self, scene: Scene, words: Vocabulary) -> None:
        self.scene = scene
        self.words = words
        self.mentions: list[Mention] = []
        self.parts = [f for f in scene.facts if isinstance(f, Part)]
        self.fasteners = [f for f in scene.facts if isinstance(f, Fastener)]
        self.claimed = {words_of(named) for fact in scene.facts if (named := getattr(fact, "part", None))}
        self.around = Around(scene, words, tuple(self.parts), tuple(self.fasteners), frozenset(self.claimed))
        self.secondary: set[tuple[str, ...]] = set()

    def run(self, bare: Sequence[BarePlace]) -> tuple[Mention, ...]:
        """The joints named, in order."""
        items: list[Part | Fastener | BarePlace] = [*self.parts, *self.fasteners, *bare]
        for item in sorted(items, key=lambda i: (i.span[1], isinstance(i, Fastener))):
            if isinstance(item, Part):
                self._part(item)
            elif isinstance(item, Fastener):
                self._fastener(item)
            else:
                self._place(item)
        self._share_part_backwards()
        self._name_twins()
        self._call_in_full()
        return tuple(replace(m, job=self._job(m.fastener)) if m.fastener else m for m in self.mentions)

    def _call_in_full(self) -> None:
        """ "Manual says 45 for the water jet housing. Ours is bronze, so the housing nuts got 32": a name's last word alone means the whole name."""
        for i, mention in enumerate(self.mentions):
            word = mention.part or ""
            if not mention.fastener or " " in word or mention.place or not word:
                continue
            longer = {p.name for p in self.parts if p.name.endswith(f" {word}") and p.span[1] <= mention.start and words_of(p.name) in self.secondary}
            if len(longer) == 1:
                self.mentions[i] = replace(mention, part=longer.pop())

    def _name_twins(self) -> None:
        """ "South and east turnbuckles", "left and right hub nuts": places before "and" are of the part named behind it."""
        tokens = self.scene.tokens
        for at in range(len(self.mentions) - 1, -1, -1):
            mention = self.mentions[at]
            if not mention.part or not mention.place or mention.by_place:
                continue
            kind = self.words.axes(mention.place)
            kind |= _COMPASS if kind & _COMPASS else kind
            i = next((i for i, t in enumerate(tokens) if t.start >= mention.start), 0) - 1
            while i > 0 and tokens[i].norm in {"and", "&", ","} and (self.words.axes(tokens[i - 1].norm) & kind or tokens[i - 1].norm == ","):
                i -= 1
                place = tokens[i].norm
                if place in self.words.places and place not in mention.place.split() and not self._is_held(tokens[i].start):
                    twin = replace(mention, place=place, start=tokens[i].start, end=tokens[i].end)
                    self.mentions.insert(at, twin)
                if tokens[i].norm != ",":
                    i -= 1

    def _is_held(self, position: int) -> bool:
        return any(m.start <= position < m.end for m in self.mentions)

    def _job(self, fastener: Fastener) -> str | None:
        """The word of a fastener, or right before it, that tells it apart: "drain" of a drain plug."""
        before = next((t for t in reversed(self.scene.tokens) if t.end <= fastener.span[0]), None)
        said = [*self.scene.between(*fastener.span), *([before.norm] if before is not None else [])]
        return next((w for w in said if self.words.role("job", w) == "apart"), None)

    def _share_part_backwards(self) -> None:
        """ "Upper bolts 20 Nm, lower bolts 25 Nm on the motor mount": a part named last is that of the fasteners before it in the sentence."""
        for i in range(len(self.mentions) - 2, -1, -1):
            this, after = self.mentions[i], self.mentions[i + 1]
            if (
                this.part is None
                and this.fastener
                and after.part
                and after.fastener
                and self.scene.sentence(this.start) == self.scene.sentence(after.start)
                and any(p.name == after.part and p.span[0] >= after.fastener.span[1] for p in self.parts)
            ):
                self.mentions[i] = replace(this, part=after.part)

    def _last(self, position: int, *, same_sentence: bool = True) -> Mention | None:
        if not self.mentions:
            return None
        last = self.mentions[-1]
        if same_sentence and self.scene.sentence(last.start) != self.scene.sentence(position):
            return None
        return last

    def _part(self, part: Part) -> None:
        name = words_of(part.name)
        claimed = any(means(name, other) or means(other, name) for other in self.claimed)
        last = self._last(part.span[0])
        lead = self.around.lead(part.span[0])
        if last and last.fastener and not claimed and is_for_compound(part, last, self.around):
            self.secondary.add(name)
            return
        carries = any(self.around.is_of(f, part) for f in self.fasteners if last is not None and f is not last.fastener)
        if last and last.part is None and not (last.fastener and carries) and (lead in TOWARDS or self.around.near(last.end, part.span[0], 1)):
            place, state = part.place or last.place, part.state or last.state
            self.mentions[-1] = replace(last, part=part.name, place=place, state=state, end=max(last.end, part.span[1]), by_place=False)
            return
        fresh = last is not None and (last.state == "new" or is_put_in(last, self.around))
        if last and last.part and fresh and not last.fastener and not last.place and part.place and lead in _PUT_ON:
            self.secondary.add(words_of(last.part))
            self.mentions[-1] = Mention(last.start, part.span[1], part=part.name, place=part.place, state=part.state)
            return
        first = self.scene.tokens[0].start if self.scene.tokens else 0
        before = next((t.norm for t in reversed(self.scene.tokens) if t.end <= part.span[0]), "")
        if last and last.part and tells_why(part, last, self.around):
            self.secondary.add(name)
            return
        if before == "its" and last and last.part and not last.fastener and lead in _PUT_ON:
            self.secondary.add(name)  # "the ring's sat down on its seat"
            return
        if (
            last
            and last.part
            and not last.fastener
            and last.start == first
            and [w for w in self.scene.between(last.end, part.span[0]) if w not in SKIPPED] == ["to"]
        ):
            if part.place and last.place is None:
                self.mentions[-1] = replace(last, place=part.place)
            self.secondary.add(name)  # "coupling half to shaft grub screws"
            return
        if (
            last
            and last.part
            and last.fastener
            and lead in _INTO
            and self.around.near(last.fastener.span[1], part.span[0], 1)
            and not self.around.carries(part)
        ):
            self.secondary.add(name)  # "burner arm first up, two bolts to the frame"
            return
        if stands_by(part, last, self.mentions, self.around) or bears(part, last, lead, self.around):
            self.secondary.add(name)
            return
        if last and last.part and not last.fastener and lead in _INTO and is_held_to(part, self.around):
            self.secondary.add(name)  # "arm number one, it's bolted to the frame with four bolts"
            return
        if is_minor(part, name, self.mentions, self.around) and not self.around.carries(part):
            self.secondary.add(name)
            return
        if last and last.part == part.name and part.place and not last.place and _NUMBER in part.place:
            self.mentions[-1] = replace(last, place=part.place)  # "two nuts each, start with number one big end"
            return
        owned = last is not None and (last.fastener is None or lead in {"on", "of", "in"})
        if last and last.part and (owned or not claimed) and not self._is_worked_on(part) and is_secondary(part, lead, self.around):
            if owned:
                self.secondary.add(name)
            if (
                part.place and last.place is None and lead in {"on", "at", "in", "to"} and self.around.near(last.end, part.span[0], 1)
            ):  # "the cap on the left block" is not that on the right
                self.mentions[-1] = replace(last, place=part.place)
            return
        if last and last.part == part.name and places_agree(part.place, last.place):
            self.mentions[-1] = replace(last, place=last.place or part.place, state=last.state or part.state)
            return
        self.mentions.append(Mention(*part.span, part=part.name, place=part.place, state=part.state, firm=self._firm(part, lead)))

    def _firm(self, part: Part, lead: str | None) -> bool:
        first = self.scene.tokens[0].start if self.scene.tokens else 0
        early = len(self.scene.between(first, part.span[0])) <= 3
        if early or lead is None or self.around.carries(part) or words_of(part.name) in self.claimed or self.scene.has("open", "back", "same"):
            return True
        if self._is_worked_on(part):
            return True
        after = next((t for t in self.scene.tokens if t.start >= part.span[1]), None)
        later = next((t.norm for t in self.scene.tokens if after is not None and t.start >= after.end), "")
        if after is not None and after.norm == "'s" and later in {"going", "gone", "back"}:
            return True  # "up on the deck, gearbox cover's going back, ten screws"
        if lead in {"and", "then"} and after is not None and after.norm in _SUBJECT_OF:
            return True
        ends = after is None or after.kind == "punct"
        return self.words.role("lead", lead) != "away" and (ends or any(not isinstance(f, Part) for f in self.scene.facts))

    def _is_worked_on(self, part: Part) -> bool:
        """ "We're on winch number one": what somebody says to be at."""
        led = [t.norm for t in self.scene.tokens if t.end <= part.span[0] and t.norm not in SKIPPED and t.norm not in self.words.places][-3:]
        if led[-2:] == ["went", "to"]:
            behind = next((t for t in self.scene.tokens if t.start >= part.span[1]), None)
            return behind is None or behind.kind == "punct"
        return len(led) == len(_AT_IT) and all(word in known for word, known in zip(led, _AT_IT, strict=True))

    def _fastener(self, fastener: Fastener) -> None:
        role = self.words.role("fastener", fastener.fastener)
        if role == "with" and (len(self.fasteners) > 1 or not any(f.kind == "condition" for f in self.scene.facts)):
            return
        start = fastener.span[0]
        last = self._last(start, same_sentence=False)
        owner = self._owner(fastener)
        some = self._is_some(fastener)
        state = self._state_of(fastener)
        if (
            last
            and last.fastener
            and fastener.count is None
            and not self.scene.between(last.fastener.span[1], start)
            and start >= last.fastener.span[1]
        ):
            if last.fastener.count is None or {last.fastener.fastener, fastener.fastener} != {"stud", "nut"}:
                self.mentions[-1] = replace(last, fastener=replace(fastener, count=last.fastener.count), end=fastener.span[1])
        elif last and last.fastener and owner is None and self._sums_up(last.fastener, fastener):
            thread = fastener.thread or last.fastener.thread
            self.mentions[-1] = replace(last, fastener=replace(fastener, thread=thread), some=False, end=fastener.span[1])
        elif owner is not None and last and last.part == owner.name and last.fastener is None:
            state = last.state or state
            self.mentions[-1] = replace(
                last, fastener=fastener, some=some, state=state, start=min(last.start, start), end=fastener.span[1], firm=True
            )
        elif owner is not None:
            self.mentions.append(Mention(start, fastener.span[1], owner.name, owner.place, owner.state or state, fastener, some))
        elif (
            last
            and last.fastener is None
            and (last.firm or self._goes_on(last, fastener) or self._is_its(fastener))
            and self._belongs(last, fastener)
        ):
            self.mentions[-1] = replace(last, fastener=fastener, some=some, state=last.state or state, end=fastener.span[1], firm=True)
        elif last and last.firm and self._belongs(last, fastener):
            self.mentions.append(Mention(*fastener.span, last.part, last.place, last.state or state, fastener, some))
        else:
            self.mentions.append(Mention(*fastener.span, state=state, fastener=fastener, some=some))
        if some and self._is_rest(fastener) and self.mentions[-1].fastener is fastener:
            self.mentions[-1] = replace(self.mentions[-1], rest=True)

    def _is_its(self, fastener: Fastener) -> bool:
        """ "Twenty five for the guard ring but it's thin wire so I gave its eight nuts fifteen": those of the part named."""
        led = next((t.norm for t in reversed(self.scene.tokens) if t.end <= fastener.span[0]), "")
        last = self.mentions[-1] if self.mentions else None
        name = list(words_of(last.part)) if last else []
        said = [t.norm for t in self.scene.tokens if t.end <= fastener.span[0] and t.start >= (last.end if last else 0)]
        return led == "its" or bool(name and said[-len(name) :] == name)  # "begin at the stoker motor so stoker motor four bolts"

    def _sums_up(self, some: Fastener, total: Fastener) -> bool:
        """Whether a greater count of the same fasteners is what a lesser one comes to: "four bolts apiece, so twenty four bolts"."""
        if some.fastener != total.fastener or not some.count or not total.count or total.count % some.count or total.count <= some.count:
            return False
        return "so" in self.scene.between(some.span[1], total.span[0]) and some.thread in (None, total.thread)

    def _goes_on(self, last: Mention, fastener: Fastener) -> bool:
        """Whether a counted fastener stands right behind the only part of its sentence: "new knife in the knife bar, 7 screws"."""
        alone = not any(m.part and m is not last and self.scene.sentence(m.start) == self.scene.sentence(last.start) for m in self.mentions)
        return alone and bool(fastener.count) and self.around.near(last.end, fastener.span[0], 0)

    def _state_of(self, fastener: Fastener) -> str | None:
        """Whether a fastener was said to be new or reused: "two new bolts"."""
        said = [state for w in self.scene.between(*fastener.span) if (state := self.words.role("state", w))]
        before = next((t for t in reversed(self.scene.tokens) if t.end <= fastener.span[0]), None)
        return said[0] if said else self.words.role("state", before.norm) if before is not None else None

    def _belongs(self, last: Mention, fastener: Fastener) -> bool:
        """A fastener belongs to the joint named before it, unless the words after it name its own ("bolts on the cover")."""
        follower = next((p for p in self.parts if p.span[0] >= fastener.span[1]), None)
        if last.part is None or follower is None or self.around.lead(follower.span[0]) not in {"on", "of", "for"}:
            return True
        between = self.scene.between(fastener.span[1], follower.span[0])
        sided = any(one in _COMPASS and other == "of" for one, other in pairwise(between))  # "two nuts one each side of the plate"
        return sided or not self.around.near(fastener.span[1], follower.span[0], 2) or last.part == follower.name

    def _owner(self, fastener: Fastener) -> Part | None:
        """The part whose name stands in or right before the fastener's words; one named before is said again there: "10 new head bolts"."""
        own = next((part for part in reversed(self.parts) if self.around.is_of(fastener, part)), None)
        said = words_of(" ".join(self.scene.between(*fastener.span)))[:-1]
        again = (p for p in reversed(self.parts) if p.span[1] <= fastener.span[0] and (name := words_of(p.name)) and said[-len(name) :] == name)
        own = own or next(again, None)
        return own if own and words_of(own.name) not in self.secondary else None

    def _is_rest(self, fastener: Fastener) -> bool:
        """Whether its number is of those that were left: "the last two bolts"."""
        near = range(fastener.span[0] - 24, fastener.span[1])
        first = [self.scene.tokens[cue.at] for cue in self.scene.cues if cue.sense == "partial"]
        return any(self.words.role("partial", token.norm) == "rest" for token in first if token.start in near)

    def _is_some(self, fastener: Fastener) -> bool:
        if fastener.count == 1 and any(f.kind == "condition" for f in self.scene.facts):
            return True
        around = range(fastener.span[0] - 24, fastener.span[1] + 1)
        return any(cue.sense == "partial" and self.scene.tokens[cue.at].start in around for cue in self.scene.cues)

    def _place(self, bare: BarePlace) -> None:
        last = self._last(bare.span[0])
        anchor = next((m for m in reversed(self.mentions) if m.part and not m.by_place), None)
        led = self.scene.between(last.end, bare.span[0]) if last else []
        one = led in (["now", "the"], ["next", "the"], ["first", "the"])  # "guide roller now, the forward one, it's got one nut"
        if last and last.part and last.place is None and not bare.size and (one or self.around.near(last.end, bare.span[0], 0)):
            self.mentions[-1] = replace(last, place=bare.place, end=bare.span[1])
            return
        if last and last.fastener and not bare.size and last.part is None and last.place is None and self.around.near(last.end, bare.span[0], 1):
            self.mentions[-1] = replace(last, place=bare.place, end=bare.span[1])
            return
        place = bare.place or None
        beside = last is not None and last.fastener is not None and last.place is not None and last.part == (anchor.part if anchor else None)
        joined = last is not None and beside and set(self.scene.between(last.end, bare.span[0])) <= JOINING
        if anchor and anchor.place and place and not joined and self.words.axes(anchor.place).isdisjoint(self.words.axes(place)):
            place = f"{anchor.place} {place}"
        elif anchor and anchor.place and place and not joined and " " in anchor.place and " " not in place:
            place = self._twin_of(anchor.place, place)
        fastener = last.fastener if last is not None and joined else None
        part = anchor.part if anchor else None
        self.mentions.append(Mention(*bare.span, part=part, place=place, fastener=fastener, size=bare.size, by_place=True))

    def _twin_of(self, told: str, place: str) -> str:
        """ "Stays left front 11 Nm, rear 12 Nm": the rear one on the left."""
        words = told.split()
        same = [w for w in words if self.words.axes(w) & self.words.axes(place)]
        known = all(self.words.axes(w) for w in words)
        return " ".join(place if w == same[0] else w for w in words) if known and len(same) == 1 and same[0] != place else place
