"""Where only a part's name stands: before a fastener or a value, before a colon, behind "now the"; and where one may stand."""

from __future__ import annotations

from bisect import bisect_left

from gudgeon.domain import Action, Angle, Fastener, Part, Tool, Torque
from gudgeon.entries.groups import POINTING, Group, Groups
from gudgeon.entries.joint_words import only_describes, singular
from gudgeon.entries.lines import BREAKS
from gudgeon.entries.spoken import TOWARDS

LONGEST = 4
"""Words of a name that no list knows, at most."""
MORE_WORDS = 2
"""Words that may be added on one side of a part's name that was read; and of a name said right behind a value."""
_LINKS = 3
"""Words between a name and its value, at most."""
_LEAD_IN = 2
_GOING_ON = frozenset(("and", "which", "with", "that", "that's"))
_PLAIN_LINKS = frozenset(("at", "to", ",", ":"))
"""What links a name to its value without a verb that a person could be the subject of."""
_SEATED = frozenset(("back", "on", "in", "hung", "sat", "up", "down", "home", "bolted", "seated", "lifted"))
"""What is told of a part that was put in its place."""
_VOWELS = frozenset("aeiouy")
_SHORT = 4
_SAID_OF = frozenset(("'s", "was", "were", "is", "are", "ones", "one", "should", "had", "got", "gets", "needs", "wants"))
"""What a correcting note goes on with behind the joint that it sets right."""
_HAVING = frozenset(("has", "have", "had", "got", "gets", "takes"))
_LONG_LEAD = 6
"""Words between a name and its fasteners, at most, where a verb of work stands between them."""
_HELD_BY = frozenset(("is", "has", "takes", "gets", "with", "by", "on", "goes", ",", ":"))
"""What stands between what something is held to and its fasteners."""
_SUBJECT_AFTER = frozenset(("on", "to", "for", "with"))


def is_doing(word: str) -> bool:
    """Whether a word can be a verb in -ing ("leaking", not "ring" or "spring")."""
    return word.endswith("ing") and not _VOWELS.isdisjoint(word[:-3])


def is_no_noun(word: str) -> bool:
    """Whether a word has the ending of a past form or an adverb ("cleaned", "nicely", not "bed")."""
    return len(word) > _SHORT and word.endswith(("ed", "ly")) and word not in {"assembly", "supply"}


class Positions(Groups):
    """Tells which groups stand where a part is named."""

    def _is_name(self, group: Group) -> bool:
        """Whether a group that no list knows stands where only a part's name stands."""
        if group.size > LONGEST or not self._can_be_thing(group) or self._is_likened(group):
            return False
        if self.words.role("read", self.tokens[group.end - 1].norm):
            return False
        first = self.owners[group.at]
        if isinstance(first, Tool) and self.words.role("hand tool", self.tokens[group.at].norm) == "held" and group.size > 1:
            return False  # "same spanner stays in my hand"
        if group.first > 0 and self.tokens[group.first - 1].norm in {"my", "his", "her", "your", "they", "it", "we", "i", "you", "he", "she"}:
            return False  # "my shoulder felt every one of them"
        last = self.owners[group.end - 1]
        if isinstance(last, Tool) and self.words.role("hand tool", self.tokens[group.end - 1].norm) == "held":
            return False
        if self._is_before_fastener(group) or self._stands_on(group) or self._gets_the_same(group) or self._is_opened(group):
            return True
        if self._is_held_to(group) or self._is_fastened_on(group):
            return True
        start = self.tokens[group.at].start
        here = self.scene.sentence(start)
        if any(isinstance(f, Part) and f.span[1] <= start and self.scene.sentence(f.span[0]) == here for f in self.facts):
            return False
        return self._is_heading(group) or self._takes_value(group) or self._is_the_same(group)

    def _can_be_thing(self, group: Group) -> bool:
        """Whether a group is more than a side of something ("flat face"), and not how its bolts were gone round ("star pattern")."""
        roles = [self.words.role("part", t.norm) for t in self.tokens[group.at : group.end]]
        if group.size == 1 and self.tokens[group.at].norm in {"thread", "threads", "sure", "certain"}:
            return False
        return roles[-1] != "manner" and any(role != "bit" for role in roles)

    def _is_announced(self) -> bool:
        """ "Jugs for the easy line next: 12 bolts": a colon behind "next"."""
        return any(self._is(i, "next") and self._is(i + 1, ":") for i in range(len(self.tokens)))

    def _is_likened(self, group: Group) -> bool:
        """ "Like a clock face": what something is only likened to."""
        led = [t.norm for t in self.tokens[max(group.first - 3, 0) : group.first]]
        return led[-2:] in (["like", "a"], ["like", "an"]) and "same" not in led

    def _is_held_to(self, group: Group) -> bool:
        """ "Wobble box to the end plate is six bolts": what a note opens with is held to a part, and has the fasteners."""
        at = group.end + 1
        while at < len(self.tokens) and (self.tokens[at].norm in POINTING or self.tokens[at].norm in self.words.places):
            at += 1
        to = self.owners[at] if self._is(group.end, "to") and at < len(self.tokens) else None
        if not isinstance(to, Part) or group.first or group.size < MORE_WORDS:
            return False
        bolts = next((f for f in self.facts if isinstance(f, Fastener) and f.span[0] >= to.span[1]), None)
        return bolts is not None and bolts.count is not None and set(self.scene.between(to.span[1], bolts.span[0])) <= _HELD_BY

    def _is_fastened_on(self, group: Group) -> bool:
        """ "Foot chips are screwed on, 20 screws", "jugs for the easy line next: 12 bolts": what a note opens with, announced or put on."""
        if group.first or any(isinstance(f, Part) for f in self.facts):
            return False
        bolts = next((f for f in self.facts if isinstance(f, Fastener)), None)
        if bolts is None or bolts.count is None:
            return False
        led = self.scene.between(self.tokens[group.end - 1].end, bolts.span[0])
        if led[-2:] == ["next", ":"]:
            return True
        put = [f for f in self.facts if isinstance(f, Action) and f.action in {"tighten", "fit"} and f.status in {"done", "doing"}]
        on = [f for f in put if self.tokens[group.end].end < f.span[0] < bolts.span[0]]
        return bool(on) and led[:1] in (["is"], ["are"], ["'s"], ["were"], ["was"]) and len(led) <= _LONG_LEAD

    def _gets_the_same(self, group: Group) -> bool:
        """ "And the same on the throttle pedal stop": a pointed name that a note without facts ends with."""
        lead = self.tokens[group.first - 2].norm if group.first > 1 and group.pointed else ""
        ends = all(t.kind == "punct" for t in self.tokens[group.end :])
        told = [c for c in self.scene.cues if c.sense == "same" and c.end <= group.first]
        placed = " ".join(t.norm for t in self.tokens[group.at : group.end]) in self.words.places
        return ends and not placed and lead in {"on", "for", "to"} and not self.facts and bool(told) and group.first - told[-1].end <= _LEAD_IN

    def _is_the_same(self, group: Group) -> bool:
        """ "Starboard chock pivot the same"."""
        side = self.words.role("part", self.tokens[group.end - 1].norm) == "bit"
        return group.opens and group.size > 1 and not side and self._says_same(group.end)

    def _is_heading(self, group: Group) -> bool:
        """ "Left wing root: two main pins", "striking line anchor: same", "sweep 1: hanger bolt"."""
        if self._is_first_sentence(group) or self._is_listed_last(group):
            return True
        colon = self._is(group.end, ":") or self._number(group.end) is not None
        if not group.opens or not colon:
            return False
        figure = self.tokens[group.end].figure if group.end < len(self.tokens) else None
        if figure is not None and singular(self.tokens[group.end - 1].norm) in self.ledger.headings and group.opens:
            return True
        if self.scene.has("correct", "correct start"):
            return False
        if figure is not None and self._is_all_said(group.end, figure.value):
            return True
        return self.scene.has("same") or any(f.kind in {"fastener", "torque"} for f in self.facts)

    def _is_listed_last(self, group: Group) -> bool:
        """ "Star projector, azimuth ring.": the last of two names that are all a note says is what is worked on."""
        if self.facts or group.size < MORE_WORDS or group.end < len(self.tokens) - self._is(len(self.tokens) - 1, "."):
            return False
        before = self.tokens[: group.at]
        return len(before) > MORE_WORDS and before[-1].norm == "," and all(self._can_name(i) for i in range(len(before) - 1))

    def _is_first_sentence(self, group: Group) -> bool:
        """ "Angle drive. Level plug 22 Nm": a name of several words that is all the first sentence says, and fasteners of no other part behind it."""
        if group.first or not self._is(group.end, ".") or (group.size < MORE_WORDS and not self._is_placed_next(group.end + 1)):
            return False
        behind = [t for t in self.tokens[group.end + 1 :] if self.scene.sentence(t.start) == 1]
        bolt = next((f for f in self.facts if isinstance(f, Fastener) and self.scene.sentence(f.span[0]) == 1), None)
        if bolt is None or any(isinstance(f, Part) for f in self.facts):
            return False
        return all(t.start >= bolt.span[0] or self.words.role("word", t.norm) or t.norm in self.words.places or t.kind == "punct" for t in behind)

    def _is_placed_next(self, at: int) -> bool:
        """Whether a place and a colon stand there: "Handrims. Left: 6 screws"."""
        end = next((i for i in range(at, len(self.tokens)) if self.tokens[i].norm not in self.words.places), at)
        return end > at and self._is(end, ":")

    def _is_before_fastener(self, group: Group) -> bool:
        """ "The feed dog screws", "feed dog two screws", "pivot bolt 40 Nm, adjuster bolt 22 Nm"."""
        fastener = self._bolted_at(group.end)
        if fastener is None or not group.opens or only_describes(t.norm for t in self.tokens[group.at : group.end]):
            return False
        counted = any(t.kind == "figure" for t in self.tokens if fastener.span[0] <= t.start < fastener.span[1])
        if self._is(group.end, ",") and self._under_colon(group):
            return False
        if self._is_hyphenated(group.at) and fastener is self.owners[group.end]:
            return True
        if self._is_job(group.at) and (self._sits_on_another(fastener) or self._under_colon(group) or self._is_its_own(group)):
            return False
        if self._has(group.end, fastener):
            return True
        counted = counted or (self.owners[group.end] is fastener and self._counted_behind(fastener))
        return counted or group.pointed or (group.after and group.size <= MORE_WORDS) or self._is_job(group.at) or self._is_valued(group, fastener)

    def _counted_behind(self, fastener: Fastener) -> bool:
        """ "Box floor bolts first, 8 off": the count of fasteners stands behind them in the sentence."""
        here = self.scene.sentence(fastener.span[0])
        said = (t.value for t in self.tokens if t.start >= fastener.span[1] and self.scene.sentence(t.start) == here)
        return fastener.count is not None and fastener.count in said

    def _has(self, at: int, fastener: Fastener) -> bool:
        """Whether a thing is said to have a fastener whose thread or value is told: "crossbar's got a bolt each end, m eight"."""
        said = {t.norm for t in self.tokens[at:] if t.end <= fastener.span[0]}
        return not _HAVING.isdisjoint(said) and bool(fastener.thread or any(isinstance(f, Torque) for f in self.facts))

    def _sits_on_another(self, fastener: Fastener) -> bool:
        """Whether a fastener's words go on with the part it sits on: "shear bolt on the flywheel"."""
        at = bisect_left(self.scene.line.starts, fastener.span[1])
        named = next((i for i in range(at + 1, len(self.tokens)) if self.tokens[i].norm not in POINTING | self.words.places.keys()), None)
        return at < len(self.tokens) and self.tokens[at].norm in {"on", "of", "in"} and named is not None and isinstance(self.owners[named], Part)

    def _is_its_own(self, group: Group) -> bool:
        """Whether "its" leads to a fastener's job, behind a part: "the buffer's had its four anchor bolts"."""
        led = [t for t in self.tokens[max(group.first - 2, 0) : group.first] if t.figure is None]
        named = any(isinstance(f, Part) and f.span[1] <= self.tokens[group.first].start for f in self.facts)
        return bool(led) and led[-1].norm == "its" and named

    def _is_valued(self, group: Group, fastener: Fastener) -> bool:
        """Whether a note opens with two words right before a fastener and goes on with its value: "hook timing screw 1.5 Nm"."""
        said = [t.norm for t in self.tokens[group.at : group.end]]
        if group.size != MORE_WORDS or any(f.span[0] < self.tokens[group.at].start for f in self.facts) or is_doing(said[0]):
            return False
        near = self.tokens[group.end].start >= fastener.span[0]
        return near and not any(is_no_noun(w) for w in said) and any(isinstance(f, Torque) and f.span[0] >= fastener.span[1] for f in self.facts)

    def _under_colon(self, group: Group) -> bool:
        """Whether something was named before a colon of the sentence, so that a word behind it only describes."""
        colon = next((t.start for t in self.tokens[: group.at] if t.norm == ":"), None)
        return colon is not None and any(isinstance(f, Part) and f.span[1] <= colon for f in self.facts)

    def _stands_on(self, group: Group) -> bool:
        """A name that a note opens with, and another part on which it stands: "minute hand on the north dial clamp screw 6 Nm", "the ratchet
        for the headrest 8 Nm".
        """
        named = group.size >= MORE_WORDS or group.pointed
        if not group.opens or not named or any(f.span[0] < self.tokens[group.at].start for f in self.facts):
            return False
        at = group.end + 1
        while at < len(self.tokens) and (self.tokens[at].norm in POINTING or self.tokens[at].norm in self.words.places):
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
        placed = group.size == 1 and self._is_plural_of_parts(group)
        if isinstance(self.owners[group.at], Tool):
            return False  # "wrench reset, 40 lb-ft this time"
        someone = group.size == 1 and not group.pointed and not placed and not any(self._is(group.end, link) for link in _PLAIN_LINKS)
        for i in range(group.end, min(group.end + _LINKS, len(self.tokens))):
            owner, norm = self.owners[i], self.tokens[i].norm
            if isinstance(owner, (Torque, Angle)):
                return owner.part is None and not someone
            if placed and norm in self.words.alone:
                continue
            if owner is not None or norm in {"it", "them"} or not (norm in _PLAIN_LINKS or self.words.role("join", norm)):
                break
        return False

    def _is_plural_of_parts(self, group: Group) -> bool:
        """ "Clacks left 22 Nm": a plural that a note opens with, a side and a value behind it."""
        word = self.tokens[group.end - 1].norm
        value = self.owners[group.end + 1] if group.end + 1 < len(self.tokens) else None
        return (
            group.first == 0
            and group.end < len(self.tokens)
            and word.endswith("s")
            and word != singular(word)
            and self.tokens[group.end].norm in self.words.alone
            and isinstance(value, Torque)
        )

    def _is_opened(self, group: Group) -> bool:
        """ "Presser foot next", "now the shuttle race", "on to the doffer comb and …", "that was the doffer comb", "hotplate's back on with …"."""
        joined = group.size == 1 and group.first > 0 and self._is(group.first - 1, "and")
        if not group.opens and not joined:
            return False
        if joined and not group.opens:
            return self._is(group.end, "'s") and self._is(group.end + 1, "on") and self._is(group.end + 2, "all") and self._bolts_behind(group.end)
        if self._is(group.end, "'s") and any(self._is(group.end + 1, w) for w in ("back", "on", "in")) and self._bolts_behind(group.end):
            return True
        if self._is(group.end, "went") and any(self._is(group.end + 1, w) for w in _SEATED) and self._bolts_behind(group.end):
            return True  # "left volume went up with six bolts"
        if self._is(group.end, "'s") and any(self._is(group.end + 1, w) for w in _SEATED) and self._has_its_bolts(group.end):
            return True
        pauses = self._pauses(group.end) or self.tokens[group.end].norm in _GOING_ON
        for cue in self.scene.cues:
            ahead = cue.sense == "names last" and cue.end - (self.tokens[cue.end - 1].norm == "the") <= group.first <= cue.end + 1 and cue.at == 0
            if ahead and group.pointed and self._counted_next(group.end):
                return True  # "that was the strand guide, the three screws"
            if cue.sense in {"names last", "names waiting"} and 0 <= cue.at - group.end <= 1 and (cue.at == group.end or pauses):
                return True
            if cue.sense != "open":
                continue
            if cue.at == group.end and self.tokens[cue.at].norm in {"next", "first", "to"}:
                return self._pauses(cue.end) or self._is(cue.end, "its") or (self._is(cue.end, "that") and self._is(cue.end + 1, "'s"))
            if cue.at == group.end and self.tokens[cue.at].norm == "now" and any(isinstance(f, Fastener) for f in self.facts):
                return self._pauses(cue.end) or self.tokens[cue.end].norm in _GOING_ON
            begins = cue.at < _LEAD_IN or self.tokens[cue.at - 1].kind == "punct"
            if pauses and begins and cue.end <= group.first and all(t.norm in POINTING for t in self.tokens[cue.end : group.first]):
                return True
        return False

    def _counted_next(self, at: int) -> bool:
        """Whether counted fasteners stand right behind a token, past "the" and a comma."""
        owner = next((self.owners[i] for i in range(at, len(self.tokens)) if self.tokens[i].norm not in {"the", ",", "all"}), None)
        return isinstance(owner, Fastener) and bool(owner.count)

    def _has_its_bolts(self, at: int) -> bool:
        """ "The flyer's hung on the frame again and its four bolts are in"."""
        return any(self._is(i, "its") and isinstance(self.owners[i + 1], Fastener) for i in range(at, len(self.tokens) - 1))

    def _bolts_behind(self, at: int) -> bool:
        """Whether a counted fastener stands behind "with", "all": "hotplate's back on with eight m eight bolts", "hopper's on all eight bolts"."""
        owner = self.owners[at + 2] if at + 2 < len(self.tokens) else None
        owner = owner or (self.owners[at + 3] if at + 3 < len(self.tokens) else None)
        if isinstance(owner, Fastener) and owner.count and any(self._is(at + 2, w) or self._is(at + 1, w) for w in ("all", "its", "both", "on")):
            return True
        led = next((t.end for t in self.tokens[at:] if t.norm == "with"), None)
        return led is not None and any(isinstance(f, Fastener) and f.count and f.span[0] == led + 1 for f in self.facts)

    def _is_telling(self, group: Group) -> bool:
        """ "The plastic was creaking so they've had eight": what something was doing, and no name of what the value is of."""
        behind = self.tokens[group.end + 1].norm if group.end + 1 < len(self.tokens) else ""
        return any(self._is(group.end, w) for w in ("was", "were", "is", "'s")) and is_doing(behind)

    def subject(self) -> str | None:
        """Words, no known part's, of which a correcting note says a value: "the scraper arm was fourteen"."""
        for group in self._groups():
            if not group.parts and any(self._is(group.end, link) for link in _SAID_OF) and group.size <= LONGEST:
                return " ".join(self._said(group.at, group.end))
        return None

    def _is_beside(self, group: Group) -> bool:
        """ "Found the sheet under the kettle": where something else lay."""
        led = self.tokens[group.first - 2].norm if group.pointed and group.first > 1 else ""
        return led in {"under", "behind", "beside", "by", "near", "inside", "underneath"}

    def doubtful(self) -> str | None:
        """The words of a group that opens a note with a value, or is all that a note without facts says besides plain words."""
        groups = self._groups()
        group = groups[0] if groups else None
        if group is not None and (self.words.role("hand tool", self.tokens[group.end - 1].norm) == "held" or self._is_beside(group)):
            return None
        if group is None or group.parts or not group.opens or group.size > LONGEST:
            return None
        if not self._can_be_thing(group) or self._is_likened(group):
            return None
        close = group.end < len(self.tokens) and isinstance(self.owners[group.end], Fastener) and group.size == 1  # "tracking screw"
        doing = (is_doing(self.tokens[group.at].norm) and not close) or is_no_noun(self.tokens[group.at].norm)
        bolt = next((f.span[0] for f in self.facts if isinstance(f, Fastener)), None)
        bare = bolt is not None and not BREAKS.intersection(self.scene.between(self.tokens[group.end - 1].end, bolt))
        heads = self._number(group.end) is not None or self._is(group.end, ":") or (bare and not doing) or self._is_announced()
        if not (group.size > 1 or group.pointed or heads or self._places(group)) or self._is_telling(group):
            return None
        first_value = next((f.span[0] for f in self.facts if isinstance(f, (Torque, Angle, Fastener))), None)
        if first_value is None:
            alone = group.size > 1 and not self.facts and len(groups) == 1 and not any(t.figure for t in self.tokens)
            plain = all(self.words.role("word", t.norm) or t.kind == "punct" for t in (*self.tokens[: group.at], *self.tokens[group.end :]))
            return " ".join(self._said(group.at, group.end)) if alone and plain else None
        begins = self.scene.sentence(self.tokens[group.at].start) == self.scene.sentence(first_value) and self.tokens[group.at].start < first_value
        return " ".join(self._said(group.at, group.end)) if begins else None
