"""What one note speaks of: its joints as named, and which of them a value was said of."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

from gudgeon.domain import Buy, Fact, Fastener, Part, Question, Todo
from gudgeon.entries.drafts import means, places_agree, words_of
from gudgeon.entries.lines import ENDINGS, Line
from gudgeon.entries.places import BarePlace
from gudgeon.entries.vocabulary import Cue, Vocabulary
from gudgeon.notes import Token

ASIDES = (Question, Todo, Buy)
AS = frozenset(("as", "like"))
"""What the model of "the same" stands behind."""
TOWARDS = frozenset(("on", "for", "to", "into", "onto", "in", "of", "at", "off"))
_COMPASS = frozenset(("side", "end"))
"""North, south, east and west tell twins apart together."""
_NUMBER = "number"
_GAVE_WAY = frozenset(("slipped", "slips", "stretched", "jumped", "squealed", "squeals"))
"""What a belt or a chain did, so that what holds another thing was done again."""
_INTO = frozenset(("to", "into", "onto"))
_PUT_ON = frozenset(("on", "onto", "in", "into", "to", "at"))
JOINING = frozenset(("and", "&", ",", "the", "both"))
"""What stands between twins named together: "front left and front right"."""
_CONCLUDING = frozenset(("so", "cause", "cos", "because"))
"""What may go on with the joint itself: "20 Nm, so that's the sump bolts"."""
_HELD = frozenset(("held", "bolted", "fixed", "screwed", "clamped", "attached", "fastened", "mounted", "pinned", "secured", "bolts", "fixes"))
"""What is said of a part before "to" and what it is held to."""
_WRITTEN = frozenset(("written", "printed", "stamped", "marked", "scribbled", "chalked", "painted", "scratched", "engraved", "cast", "stuck"))
_INSIDE = frozenset(("inside", "under", "up", "down", "underneath"))
_AIMED = 4
_BEFORE_TO = frozenset(("on", "back", "next", "up", "down", "over", "close", "got", "had", "moved", "going", "went", "move"))
_AT_IT = (frozenset(("we", "i", "i'm", "we're")), frozenset(("'re", "'m", "are", "am")), frozenset(("on", "at")))
"""What leads in the part that is worked on: "we're on the pump"."""
_SUBJECT_OF = frozenset(("'s", "is", "goes", "has", "gets", "got", "takes", "needs", "wants"))
_SKIPPED = frozenset(
    ("the", "a", "an", "its", "that", "this", "those", "these", "new", "old", "my", "our", "hand", "side", "number", "each", "all", "both")
)


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


class Sorter:
    """Goes through the parts, fasteners and places of one note in order, and gathers them into joints."""

    def __init__(self, scene: Scene, words: Vocabulary) -> None:
        self.scene = scene
        self.words = words
        self.mentions: list[Mention] = []
        self.parts = [f for f in scene.facts if isinstance(f, Part)]
        self.fasteners = [f for f in scene.facts if isinstance(f, Fastener)]
        self.claimed = {words_of(named) for fact in scene.facts if (named := getattr(fact, "part", None))}
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
        return tuple(replace(m, job=self._job(m.fastener)) if m.fastener else m for m in self.mentions)

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
        lead = self._lead(part.span[0])
        if last and last.fastener and not claimed and self._is_for_compound(part, last):
            self.secondary.add(name)
            return
        carries = any(self._is_of(f, part) for f in self.fasteners if last is not None and f is not last.fastener)
        if last and last.part is None and not (last.fastener and carries) and (lead in TOWARDS or self._near(last.end, part.span[0], 1)):
            place, state = part.place or last.place, part.state or last.state
            self.mentions[-1] = replace(last, part=part.name, place=place, state=state, end=max(last.end, part.span[1]), by_place=False)
            return
        fresh = last is not None and (last.state == "new" or self._is_put_in(last))
        if last and last.part and fresh and not last.fastener and not last.place and part.place and lead in _PUT_ON:
            self.secondary.add(words_of(last.part))
            self.mentions[-1] = Mention(last.start, part.span[1], part=part.name, place=part.place, state=part.state)
            return
        first = self.scene.tokens[0].start if self.scene.tokens else 0
        before = next((t.norm for t in reversed(self.scene.tokens) if t.end <= part.span[0]), "")
        if last and last.part and self._tells_why(part, last):
            self.secondary.add(name)
            return
        if before == "its" and last and last.part and not last.fastener and lead in _PUT_ON:
            self.secondary.add(name)  # "the ring's sat down on its seat"
            return
        if last and last.part and not last.fastener and last.start == first and self.scene.between(last.end, part.span[0]) == ["to"]:
            self.secondary.add(name)  # "coupling half to shaft grub screws"
            return
        if last and last.part and last.fastener and lead in _INTO and self._near(last.fastener.span[1], part.span[0], 1) and not self._carries(part):
            self.secondary.add(name)  # "burner arm first up, two bolts to the frame"
            return
        if any(m.part for m in self.mentions) and not self._carries(part) and self._is_aim(part):
            self.secondary.add(name)  # "slackened both bolts to true the bar"
            return
        if not self._carries(part) and self._is_written_on(part):
            self.secondary.add(name)  # "12 Nm, it's written inside the lid"
            return
        if last and last.part and not last.fastener and lead in _INTO and self._is_held_to(part):
            self.secondary.add(name)  # "arm number one, it's bolted to the frame with four bolts"
            return
        if self._came_out(part) or (not self._carries(part) and self._is_purpose(part)) or self._bears(part, last, lead):
            self.secondary.add(name)
            return
        if self._is_minor(part, name) and not self._carries(part):
            self.secondary.add(name)
            return
        if last and last.part == part.name and part.place and not last.place and _NUMBER in part.place:
            self.mentions[-1] = replace(last, place=part.place)  # "two nuts each, start with number one big end"
            return
        owned = last is not None and (last.fastener is None or lead in {"on", "of", "in"})
        if last and last.part and (owned or not claimed) and self._is_secondary(part, lead):
            if owned:
                self.secondary.add(name)
            if (
                part.place and last.place is None and lead in {"on", "at", "in", "to"} and self._near(last.end, part.span[0], 1)
            ):  # "the cap on the left block" is not that on the right
                self.mentions[-1] = replace(last, place=part.place)
            return
        if last and last.part == part.name and places_agree(part.place, last.place):
            self.mentions[-1] = replace(last, place=last.place or part.place, state=last.state or part.state)
            return
        self.mentions.append(Mention(*part.span, part=part.name, place=part.place, state=part.state, firm=self._firm(part, lead)))

    def _tells_why(self, part: Part, last: Mention) -> bool:
        """Whether a part only tells why another one was done again: "motor mounts again, belt slipped: 40 Nm"."""
        behind = next((t.norm for t in self.scene.tokens if t.start >= part.span[1]), "")
        return "again" in self.scene.between(last.end, part.span[0]) and behind in _GAVE_WAY and not self._carries(part)

    def _is_held_to(self, part: Part) -> bool:
        """Whether "held to", "bolted to" stands before a part."""
        led = [t.norm for t in self.scene.tokens if t.end <= part.span[0] and t.norm not in _SKIPPED and t.norm not in self.words.places][-2:]
        return len(led) == 2 and led[0] in _HELD  # noqa: PLR2004

    def _is_put_in(self, mention: Mention) -> bool:
        """ "Put the spare anchor in the number two bracket": what is put into the joint."""
        led = [t.norm for t in self.scene.tokens if t.end <= mention.start and t.norm not in _SKIPPED]
        return led[-1:] == ["put"]

    def _is_aim(self, part: Part) -> bool:
        """Whether a part is what something was done for: "to true the bar", "to get at the pump"; in the sentence's own verb."""
        here = self.scene.sentence(part.span[0])
        led = [t for t in self.scene.tokens if t.end <= part.span[0] and self.scene.sentence(t.start) == here]
        said = [t.norm for t in led]
        article = said[-1:] in (["the"], ["that"], ["its"])
        if not article or len(said) < _AIMED or said[-3] != "to" or said[-4] in _BEFORE_TO:
            return False
        verb = led[-2]
        plain = verb.kind == "word" and verb.norm not in self.words.places and verb.norm not in TOWARDS and not self.words.role("join", verb.norm)
        acted = any(f.kind == "action" and f.span[1] <= led[-3].start and self.scene.sentence(f.span[0]) == here for f in self.scene.facts)
        return plain and acted

    def _is_written_on(self, part: Part) -> bool:
        """Whether a part behind a value only tells where that value was read."""
        values = [f.span[1] for f in self.scene.facts if f.kind in {"torque", "angle"} and f.span[1] <= part.span[0]]
        between = self.scene.between(max(values), part.span[0]) if values else []
        return any(one in _WRITTEN and other in _PUT_ON | _INSIDE for one, other in pairwise(between)) and not ENDINGS.intersection(between)

    def _is_for_compound(self, part: Part, last: Mention) -> bool:
        """Whether a part behind fasteners only says where a compound goes: "fourteen bolts and sealant on the face"."""
        spread = [f for f in self.scene.facts if f.kind == "compound" and last.end <= f.span[0] and f.span[1] <= part.span[0]]
        if not spread or "and" not in self.scene.between(last.end, spread[0].span[0]) or self._carries(part):
            return False
        return [w for w in self.scene.between(spread[-1].span[1], part.span[0]) if w not in _SKIPPED] in (["on"], ["round"], ["around"])

    def _is_purpose(self, part: Part) -> bool:
        """Whether a part behind a value only says what it was for, or until when: "40 Nm to bed the bearings", "till the gasket gave"."""
        if not any(f.kind in {"torque", "angle"} and f.span[1] <= part.span[0] for f in self.scene.facts):
            return False
        before = [t for t in self.scene.tokens if t.end <= part.span[0] and self.scene.sentence(t.start) == self.scene.sentence(part.span[0])]
        while before and (before[-1].norm in _SKIPPED or before[-1].norm in self.words.places):
            before.pop()
        values = [f.span[1] for f in self.scene.facts if f.kind in {"torque", "angle"} and before and f.span[1] <= before[-1].start]
        if not values:
            return False
        clause = [t.norm for t in before if t.start >= max(values) and self.words.role("lead", t.norm) == "clause"]
        aside = clause and clause[-1] not in _CONCLUDING and words_of(part.name) not in self.claimed
        if clause and (before[-1].norm == clause[-1] or aside):
            return True
        return len(before) > 1 and before[-2].norm == "to" and before[-2].start <= max(values) + 1 and before[-1].norm not in TOWARDS

    def _bears(self, part: Part, last: Mention | None, lead: str | None) -> bool:
        """Whether a part only says where the one that the note opens with sits: "minute hand on the dial clamp screw 6 Nm"."""
        if last is None or not last.part or last.fastener or lead != "on" or not any(f.kind == "torque" for f in self.scene.facts):
            return False
        opens = not [f for f in self.scene.facts if f.span[0] < last.start]
        near = [w for w in self.scene.between(last.end, part.span[0]) if w not in _SKIPPED and w not in self.words.places] == ["on"]
        of = [f for f in self.fasteners if self._is_of(f, part)]
        one = bool(of) and of[0].count is None and not self.scene.between(*of[0].span)[-1].endswith("s")
        return opens and near and one and len(self.fasteners) == 1

    def _came_out(self, part: Part) -> bool:
        """Whether a part only came out, before fasteners went in elsewhere: "got the stump out and a new bolt is in"."""
        after = [t.norm for t in self.scene.tokens if t.start >= part.span[1]][:2]
        later = any(f.span[0] > part.span[1] for f in self.fasteners)
        return later and after[:1] in (["out"], ["away"]) and after[1:] in (["and"], [","])

    def _is_secondary(self, part: Part, lead: str | None) -> bool:
        """Whether a part only says where the one before it sits: "lifting eye on the head has one bolt"."""
        if lead is None or self.words.role("lead", lead) != "away" or self._carries(part):
            return False
        start = part.span[0]
        heads = {"open": 0, "same": 1}  # cues that head a joint, and how many words may stand between: "the same on the cover"
        return not any(c.sense in heads and self._near(self.scene.tokens[c.end - 1].end, start, heads[c.sense]) for c in self.scene.cues)

    def _is_minor(self, part: Part, name: tuple[str, ...]) -> bool:
        role = self.words.role("part", name[-1]) if name else None
        role = None if role == "between" and not self.words.lies_between(name) else role
        minor = role == "between" or all(self.words.role("part", w) == "bit" for w in name)
        here = self.scene.sentence(part.span[0])
        others = sum(self.scene.sentence(p.span[0]) == here for p in self.parts) > 1
        return minor and (others or role == "bit" or any(self.scene.sentence(m.start) == here for m in self.mentions) or not self._opens(part))

    def _opens(self, part: Part) -> bool:
        """Whether a part's sentence begins with it, so that it is what the sentence is about."""
        here = self.scene.sentence(part.span[0])
        return len(self.parts) == 1 or not any(self.scene.sentence(t.start) == here and t.end <= part.span[0] for t in self.scene.tokens)

    def _carries(self, part: Part) -> bool:
        """Whether a fastener is said of this very part ("the drop arm nut", "bolts on the sump")."""
        return any(self._is_of(fastener, part) for fastener in self.fasteners)

    def _is_of(self, fastener: Fastener, part: Part) -> bool:
        """Whether a part's name stands in a fastener's words, or right before them without a count between ("the drop arm nut")."""
        if part.span[0] < fastener.span[1] and part.span[1] > fastener.span[0]:
            return True
        if part.span[1] > fastener.span[0] or self.scene.between(part.span[1], fastener.span[0]):
            return False
        first = next((t for t in self.scene.tokens if t.start >= fastener.span[0]), None)
        return first is None or first.kind != "figure"

    def _firm(self, part: Part, lead: str | None) -> bool:
        first = self.scene.tokens[0].start if self.scene.tokens else 0
        early = len(self.scene.between(first, part.span[0])) <= 3
        if early or lead is None or self._carries(part) or words_of(part.name) in self.claimed or self.scene.has("open", "back", "same"):
            return True
        if self._is_worked_on(part):
            return True
        after = next((t for t in self.scene.tokens if t.start >= part.span[1]), None)
        if lead in {"and", "then"} and after is not None and after.norm in _SUBJECT_OF:
            return True
        ends = after is None or after.kind == "punct"
        return self.words.role("lead", lead) != "away" and (ends or any(not isinstance(f, Part) for f in self.scene.facts))

    def _is_worked_on(self, part: Part) -> bool:
        """ "We're on winch number one": what somebody says to be at."""
        led = [t.norm for t in self.scene.tokens if t.end <= part.span[0] and t.norm not in _SKIPPED and t.norm not in self.words.places][-3:]
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
        elif last and last.fastener is None and (last.firm or self._goes_on(last, fastener)) and self._belongs(last, fastener):
            self.mentions[-1] = replace(last, fastener=fastener, some=some, state=last.state or state, end=fastener.span[1], firm=True)
        elif last and last.firm and self._belongs(last, fastener):
            self.mentions.append(Mention(*fastener.span, last.part, last.place, last.state or state, fastener, some))
        else:
            self.mentions.append(Mention(*fastener.span, state=state, fastener=fastener, some=some))
        if some and self._is_rest(fastener) and self.mentions[-1].fastener is fastener:
            self.mentions[-1] = replace(self.mentions[-1], rest=True)

    def _sums_up(self, some: Fastener, total: Fastener) -> bool:
        """Whether a greater count of the same fasteners is what a lesser one comes to: "four bolts apiece, so twenty four bolts"."""
        if some.fastener != total.fastener or not some.count or not total.count or total.count % some.count or total.count <= some.count:
            return False
        return "so" in self.scene.between(some.span[1], total.span[0]) and some.thread in (None, total.thread)

    def _goes_on(self, last: Mention, fastener: Fastener) -> bool:
        """Whether a counted fastener stands right behind the only part of its sentence: "new knife in the knife bar, 7 screws"."""
        alone = not any(m.part and m is not last and self.scene.sentence(m.start) == self.scene.sentence(last.start) for m in self.mentions)
        return alone and bool(fastener.count) and self._near(last.end, fastener.span[0], 0)

    def _state_of(self, fastener: Fastener) -> str | None:
        """Whether a fastener was said to be new or reused: "two new bolts"."""
        said = [state for w in self.scene.between(*fastener.span) if (state := self.words.role("state", w))]
        before = next((t for t in reversed(self.scene.tokens) if t.end <= fastener.span[0]), None)
        return said[0] if said else self.words.role("state", before.norm) if before is not None else None

    def _belongs(self, last: Mention, fastener: Fastener) -> bool:
        """A fastener belongs to the joint named before it, unless the words after it name its own ("bolts on the cover")."""
        follower = next((p for p in self.parts if p.span[0] >= fastener.span[1]), None)
        if last.part is None or follower is None or self._lead(follower.span[0]) not in {"on", "of", "for"}:
            return True
        between = self.scene.between(fastener.span[1], follower.span[0])
        sided = any(one in _COMPASS and other == "of" for one, other in pairwise(between))  # "two nuts one each side of the plate"
        return sided or not self._near(fastener.span[1], follower.span[0], 2) or last.part == follower.name

    def _owner(self, fastener: Fastener) -> Part | None:
        """The part whose name stands in or right before the fastener's words; one named before is said again there: "10 new head bolts"."""
        own = next((part for part in reversed(self.parts) if self._is_of(fastener, part)), None)
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
        if last and last.part and last.place is None and not bare.size and self._near(last.end, bare.span[0], 0):
            self.mentions[-1] = replace(last, place=bare.place, end=bare.span[1])
            return
        if last and last.fastener and not bare.size and last.part is None and last.place is None and self._near(last.end, bare.span[0], 1):
            self.mentions[-1] = replace(last, place=bare.place, end=bare.span[1])
            return
        place = bare.place or None
        beside = last is not None and last.fastener is not None and last.place is not None and last.part == (anchor.part if anchor else None)
        joined = last is not None and beside and set(self.scene.between(last.end, bare.span[0])) <= JOINING
        if anchor and anchor.place and place and not joined and self.words.axes(anchor.place).isdisjoint(self.words.axes(place)):
            place = f"{anchor.place} {place}"
        fastener = last.fastener if last is not None and joined else None
        part = anchor.part if anchor else None
        self.mentions.append(Mention(*bare.span, part=part, place=place, fastener=fastener, size=bare.size, by_place=True))

    def _lead(self, position: int) -> str | None:
        """The word that leads in a name, past articles and places: "on" before "the left drum"."""
        for token in reversed([t for t in self.scene.tokens if t.end <= position]):
            if token.norm in _SKIPPED or token.norm in self.words.places or token.figure:
                continue
            return token.norm
        return None

    def _near(self, start: int, end: int, most: int) -> bool:
        """Whether at most so many words (no full stop) stand between two positions."""
        words = [w for w in self.scene.between(start, end) if w not in {",", ":", "-", "'s"} and w not in _SKIPPED]
        return start <= end and len(words) <= most and not ENDINGS.intersection(words)
