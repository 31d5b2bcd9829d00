"""Names of parts by the shape of what is said: words that no list knows, where a part's name stands."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Callable, Container, Sequence
from dataclasses import dataclass, replace

from gudgeon.domain import Angle, Condition, Fact, Fastener, Measure, Part, Torque
from gudgeon.entries.drafts import words_of
from gudgeon.entries.joint_words import singular
from gudgeon.entries.mentions import ASIDES, TOWARDS, Scene
from gudgeon.entries.vocabulary import Vocabulary

_LONGEST = 4
"""Words of a name that no list knows, at most."""
_MORE_WORDS = 2
"""Words that may be added on one side of a part's name that was read."""
_LINKS = 3
_LEAD_IN = 2
_POINTING = frozenset(("the", "that", "those", "these", "this", "its"))
_BREAKS = frozenset((".", ";", "!", "?", ":", ","))
_PLAIN_LINKS = frozenset(("at", "to", ",", ":"))
"""What links a name to its value without a verb that a person could be the subject of."""
_SUBJECT_AFTER = frozenset(("on", "to", "for", "with"))
_GOING_ON = frozenset(("and", "which", "with", "that", "that's"))
PartOf = Callable[[str], tuple[str, ...] | None]


@dataclass(frozen=True, slots=True)
class Group:
    """Words that can be a name: tokens ``at`` to ``end``, with its places from ``first`` on.

    ``part`` is the part that was read among them. ``pointed`` says that "the" or "that" stands before it, ``opens`` that nothing but
    plain words stands between it and the last pause or fact, ``after`` that a torque or a turn was said right before it.
    """

    first: int
    at: int
    end: int
    places: tuple[str, ...]
    part: Part | None
    pointed: bool
    opens: bool
    after: bool

    @property
    def place(self) -> str | None:
        """The place words before the name."""
        return " ".join(self.places) or None


def with_names(scene: Scene, words: Vocabulary, part_of: PartOf, used: Container[str]) -> Scene:
    """The scene with parts named in full, and with the parts that only their position shows.

    ``part_of`` and ``used`` know the names and the words of names that the session used before.
    """
    owners = _owners(scene)
    facts = list(scene.facts)
    found: list[Part] = []
    aside = any(isinstance(f, ASIDES) for f in facts)
    for group in _groups(scene, owners, words):
        if group.part is not None:
            facts = _renamed(facts, group.part, _longer(group, scene, owners, words, part_of, used))
        elif not aside and _is_name(group, scene, owners, words):
            found.append(_part(scene, group))
    if not found and facts == list(scene.facts):
        return scene
    return replace(scene, facts=tuple(sorted((*facts, *found), key=lambda f: f.span)))


def _owners(scene: Scene) -> list[Fact | None]:
    """The fact that each token belongs to; a part's own words belong to the part, even inside a fastener's."""
    owners: list[Fact | None] = [None] * len(scene.tokens)
    for fact in sorted(scene.facts, key=lambda f: isinstance(f, Part)):
        if isinstance(fact, ASIDES):
            continue
        for i in range(bisect_left(scene.line.starts, fact.span[0]), len(owners)):
            if scene.tokens[i].start >= fact.span[1]:
                break
            owners[i] = fact
    return owners


def _groups(scene: Scene, owners: Sequence[Fact | None], words: Vocabulary) -> list[Group]:
    """All groups of a note, in order."""
    found: list[Group] = []
    clean, after, pointed, first = True, False, False, -1
    cued = {i for cue in scene.cues for i in range(cue.at, cue.end)}
    at = 0
    while at < len(owners):
        token, owner = scene.tokens[at], owners[at]
        end, part = _run(scene, owners, words, cued, at)
        if end > at:
            start = first if first >= 0 else at
            named = bisect_left(scene.line.starts, part.span[0]) if part is not None else at
            inside = [t.norm for t in scene.tokens[named:end] if part is not None and t.norm in words.places]
            places = tuple(t.norm for t in scene.tokens[start:at])
            found.append(Group(start, at, end, places if not inside else (), part, pointed, clean, after))
            clean, after, pointed, first, at = False, False, False, -1, end
            continue
        if owner is not None and not isinstance(owner, Part):
            clean, after, pointed, first = True, isinstance(owner, (Torque, Angle)), False, -1
        elif token.norm in words.places:
            first = at if first < 0 else first
        else:
            pointed, first = token.norm in _POINTING, -1
            if token.kind == "punct":
                clean = clean or token.norm in _BREAKS
            else:
                clean = clean and (at in cued or bool(words.role("word", token.norm)))
                after = after and token.norm in {"and", "then", "the"}
        at += 1
    return found


def _run(scene: Scene, owners: Sequence[Fact | None], words: Vocabulary, cued: Container[int], at: int) -> tuple[int, Part | None]:
    """The end of the words that can be one name, from a token on, and the part read among them."""
    part: Part | None = None
    while at < len(owners):
        owner = owners[at]
        if isinstance(owner, Part):
            if part is not None and owner is not part:
                break
            part = owner
        elif owner is not None or at in cued or not _can_name(scene, words, at):
            break
        at += 1
    return at, part


def _can_name(scene: Scene, words: Vocabulary, at: int) -> bool:
    token = scene.tokens[at]
    if token.kind != "word" or "'" in token.norm or token.norm in words.places:
        return False
    return not (words.role("word", token.norm) or words.role("size", token.norm))


def _said(scene: Scene, at: int, end: int) -> list[str]:
    """The words of a name, the last in the singular."""
    said = [t.norm for t in scene.tokens[at:end]]
    return [*said[:-1], singular(said[-1])] if said else []


def _part(scene: Scene, group: Group) -> Part:
    span = (scene.tokens[group.first].start, scene.tokens[group.end - 1].end)
    return Part(name=" ".join(_said(scene, group.at, group.end)), place=group.place, span=span, rule="named by its shape")


# A part that was read, with the words of its name that were left out.


def _longer(group: Group, scene: Scene, owners: Sequence[Fact | None], words: Vocabulary, part_of: PartOf, used: Container[str]) -> Part:
    """The part of a group with the words before and behind it that belong to its name: "pug mill auger coupling"."""
    part = group.part
    assert part is not None
    own = [i for i in range(group.at, group.end) if owners[i] is part]
    before, behind = scene.tokens[group.at : own[0]], scene.tokens[own[-1] + 1 : group.end]
    heads = scene.tokens[group.end].norm == ":" if group.end < len(scene.tokens) else False
    measured = {w for f in scene.facts if isinstance(f, Measure) for w in words_of(f.quantity)}
    left, right = [t.norm for t in before], _said(scene, own[-1] + 1, group.end)
    if not (group.opens or group.pointed) or len(left) > _MORE_WORDS or part.place is not None:
        left = []
    if any(w.endswith(("ed", "ly")) for w in left) or (left and left[0].endswith("ing") and not (heads or group.pointed or left[0] in used)):
        left = []
    if len(right) > _MORE_WORDS or not measured.isdisjoint(singular(w) for w in right) or any(words.role("part", w) == "bit" for w in right):
        right = []
    if right and part_of(" ".join((part.name, *right))) != words_of(" ".join((part.name, *right))):
        joint = heads or _bolted_at(group.end, scene, owners, words) is not None or _says_same(scene, group.end)
        right = right if joint and not any(w.endswith(("ed", "ly", "ing")) for w in right) else []
    if not left and not right:
        return part
    start = scene.tokens[group.first].start if left else part.span[0]
    end = behind[-1].end if right else part.span[1]
    place = part.place or (group.place if left else None)
    return replace(part, name=" ".join((*left, part.name, *right)), place=place, span=(start, end))


def _says_same(scene: Scene, at: int) -> bool:
    return any(c.sense == "same" and 0 <= c.at - at <= 1 for c in scene.cues)


def _renamed(facts: list[Fact], part: Part, longer: Part) -> list[Fact]:
    """The facts with a part's longer name, on the part itself and on what was said of it."""
    if longer is part:
        return facts
    alone = sum(isinstance(f, Part) and f.name == part.name for f in facts) == 1
    renamed: list[Fact] = []
    for fact in facts:
        if fact is part:
            renamed.append(longer)
        elif alone and isinstance(fact, (Torque, Angle, Measure)) and fact.part == part.name:
            renamed.append(replace(fact, part=longer.name, place=fact.place or longer.place))
        elif alone and isinstance(fact, Condition) and fact.part == part.name:
            renamed.append(replace(fact, part=longer.name))
        else:
            renamed.append(fact)
    return renamed


# A name that no list knows.


def _is_name(group: Group, scene: Scene, owners: Sequence[Fact | None], words: Vocabulary) -> bool:
    """Whether a group that no list knows stands where only a part's name stands."""
    if group.end - group.at > _LONGEST:
        return False
    if _is_before_fastener(group, scene, owners, words) or _stands_on(group, scene, owners, words):
        return True
    if any(isinstance(f, Part) and f.span[1] <= scene.tokens[group.at].start for f in scene.facts):
        return False
    return _is_heading(group, scene) or _takes_value(group, scene, owners, words) or _is_opened(group, scene)


def _is_heading(group: Group, scene: Scene) -> bool:
    """ "Left wing root: two main pins", "striking line anchor: same"."""
    colon = group.end < len(scene.tokens) and scene.tokens[group.end].norm == ":"
    if not group.opens or not colon or scene.has("correct", "correct start"):
        return False
    return scene.has("same") or any(f.kind in {"fastener", "torque"} for f in scene.facts)


def _bolted_at(end: int, scene: Scene, owners: Sequence[Fact | None], words: Vocabulary) -> Fastener | None:
    """The fastener right behind a name, past commas and linking words: "feed dog two screws", "gearbox feet: 4 nuts"."""
    for i in range(end, min(end + _LINKS + 1, len(owners))):
        owner = owners[i]
        if isinstance(owner, Fastener):
            return owner
        token = scene.tokens[i]
        if owner is not None or not (token.norm in {",", ":", "-"} or words.role("join", token.norm)):
            return None
    return None


def _is_before_fastener(group: Group, scene: Scene, owners: Sequence[Fact | None], words: Vocabulary) -> bool:
    """ "The feed dog screws", "feed dog two screws", "pivot bolt 40 Nm, adjuster bolt 22 Nm"."""
    fastener = _bolted_at(group.end, scene, owners, words)
    if fastener is None or not group.opens:
        return False
    counted = any(t.kind == "figure" for t in scene.tokens if fastener.span[0] <= t.start < fastener.span[1])
    return counted or group.pointed or (group.after and group.end - group.at <= _MORE_WORDS)


def _stands_on(group: Group, scene: Scene, owners: Sequence[Fact | None], words: Vocabulary) -> bool:
    """ "Minute hand on the north dial clamp screw 6 Nm": a name that a note opens with, and another part on which it stands."""
    if not group.opens or group.end - group.at < _MORE_WORDS or any(f.span[0] < scene.tokens[group.at].start for f in scene.facts):
        return False
    at = group.end + 1
    while at < len(owners) and (scene.tokens[at].norm in _POINTING or scene.tokens[at].norm in words.places):
        at += 1
    on = group.end < len(owners) and scene.tokens[group.end].norm == "on"
    if not on or at >= len(owners) or not isinstance(owners[at], Part):
        return False
    return any(isinstance(f, Fastener) for f in scene.facts) and any(isinstance(f, Torque) for f in scene.facts)


def _takes_value(group: Group, scene: Scene, owners: Sequence[Fact | None], words: Vocabulary) -> bool:
    """ "Picker stick at eighteen newton metres", "eighteen newton metres on the picker stick"."""
    lead = group.first - 1 - group.pointed
    led_by = scene.tokens[lead].norm if lead >= 0 else ""
    if lead > 0 and group.pointed and led_by in TOWARDS and isinstance(owners[lead - 1], Torque):
        return True
    if not group.opens or (led_by not in _SUBJECT_AFTER and words.role("lead", led_by)) or group.end >= len(owners):
        return False
    someone = group.end - group.at == 1 and not group.pointed and scene.tokens[group.end].norm not in _PLAIN_LINKS
    for i in range(group.end, min(group.end + _LINKS, len(owners))):
        owner, norm = owners[i], scene.tokens[i].norm
        if isinstance(owner, (Torque, Angle)):
            return owner.part is None and not someone
        if owner is not None or norm in {"it", "them"} or not (norm in _PLAIN_LINKS or words.role("join", norm)):
            break
    return False


def _is_opened(group: Group, scene: Scene) -> bool:
    """ "Presser foot next", "now the shuttle race", "on to the doffer comb and …", "that was the doffer comb"."""
    if not group.opens:
        return False
    after = scene.tokens[group.end] if group.end < len(scene.tokens) else None
    pauses = after is None or after.kind in {"punct", "figure"} or after.norm in _GOING_ON
    for cue in scene.cues:
        if cue.sense in {"names last", "names waiting"} and 0 <= cue.at - group.end <= 1 and (cue.at == group.end or pauses):
            return True
        if cue.sense != "open":
            continue
        if cue.at == group.end and scene.tokens[cue.at].norm == "next":
            return cue.end >= len(scene.tokens) or scene.tokens[cue.end].kind in {"punct", "figure"}
        begins = cue.at < _LEAD_IN or scene.tokens[cue.at - 1].kind == "punct"
        if pauses and begins and cue.end <= group.first and all(t.norm in _POINTING for t in scene.tokens[cue.end : group.first]):
            return True
    return False
