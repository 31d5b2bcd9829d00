"""What heads the parts named after it: a side ("right side now:"), a twin by number or side ("grip number twelve", "paddle gear, offside.").

The parts told under a heading are remembered. Under its twin ("grip number thirteen next") the same names mean other joints, at the twin's
place, and "loom 2 exactly the same" copies them all.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

from gudgeon.domain import Angle, Torque
from gudgeon.entries.bench import Bench, Section
from gudgeon.entries.drafts import Draft, copy_of, means, words_of
from gudgeon.entries.heading_words import FILLER, NOUNS, VALUES, heading_phrase
from gudgeon.entries.sides import side_of_sentence
from gudgeon.entries.spoken import Mention, Scene
from gudgeon.notes import Token

_RESTING = frozenset(
    ("bench", "stand", "stands", "table", "vice", "vise", "trestles", "floor", "blocks", "jig", "apart", "stripped", "up", "today", "in")
)
"""Where what is begun with stands: "winch number three's on the bench"."""
_NUMBER = "number"
_OWNING = 2
_TWO = 2
_COMPASS = frozenset(("north", "south", "east", "west"))
_COMPASS_AXES = frozenset(("side", "end"))
_REACH = 15
"""How many notes a heading holds after the last joint told under it."""


def under_section(scene: Scene, bench: Bench) -> Scene:
    """The note with its parts at the place that its heading gives them; a note that opens one makes it the heading from now on."""
    if _heads_alone(scene, bench):
        return scene
    side = side_of_sentence(scene, bench)
    heading = _heading_of(scene, bench) if side is None else None
    if heading is not None:
        return _open(heading, scene, bench)
    moved = _twin_by_place(scene, bench) or _twin_side(scene, bench)
    if moved is not None:
        return moved
    if side is not None:
        mentions = tuple(m for m in scene.mentions if m.fastener or (m.part and not (m.by_place and not m.fastener)))
        return _with_places(replace(scene, mentions=mentions), _enter((), side, scene, bench), bench, passes=True)
    scene = _of_the_other(_of_that_one(scene, bench), bench)
    section = bench.section
    told = heading_phrase(scene, bench.words) if not scene.has("correct", "correct start", "redo", "untouched") else None
    again = told is not None and scene.has("same") and not scene.mentions and any(d.turned for d in bench.ledger.same_part(" ".join(told.part)))
    if told is not None and again:
        return replace(scene, mentions=(Mention(0, 0, part=" ".join(told.part), place=told.place),))  # "right keep same" after the left one
    if told is not None and (told.part or not told.place.startswith(_NUMBER) or any(s.place.startswith(_NUMBER) for s in bench.sections)):
        return _with_places(scene, _enter(told.part, told.place, scene, bench), bench, passes=told.passes)
    if section is not None and scene.has("correct", "correct start"):
        return _corrected(scene, bench)
    if section is None or scene.index - section.note > _REACH or any(_leaves(m, section, bench) for m in scene.mentions):
        bench.section = None
        return scene
    return _with_places(scene, section, bench, passes=not section.part)


def remember_joints(scene: Scene, bench: Bench) -> None:
    """Keep the joints that a note told under its heading."""
    section = bench.section
    if section is None:
        return
    known = set(map(id, section.joints))
    section.joints += [
        d
        for d in bench.ledger.recent()
        if d.opened >= section.opened and scene.index in d.notes and d.part and id(d) not in known and _is_told(d, section)
    ]
    if section.joints and scene.mentions:
        section.note = scene.index


def _is_told(draft: Draft, section: Section) -> bool:
    """Whether a draft is a joint or a size under a heading, not the heading's own part."""
    return words_of(draft.part) != section.part and bool(draft.fastener or draft.says_something)


def copy_section(scene: Scene, bench: Bench) -> bool:
    """ "Loom 2 exactly the same": every joint told under the twin of the heading just opened, at its place; False when that is not what was said."""
    section = bench.section
    twin = section.twin if section else None
    if section is None or twin is None or section.opened != scene.index or not twin.joints:
        return False
    if any(m.part and words_of(m.part) != section.part and not means(words_of(m.part), section.part) for m in scene.mentions):
        return False
    for source in list(twin.joints):
        place = _at(source.place, twin, section)
        _settle(source, twin, bench)
        draft = bench.ledger.add(copy_of(source, part=source.part, place=place, note=scene.index))
        draft.torques.extend(replace(t, note=scene.index, heard=(), replaces=None) for t in source.torques)
        draft.angles.extend(replace(a, note=scene.index) for a in source.angles)
        draft.step(scene.index, f"said to be the same as {source.name()}")
        bench.ledger.current = draft
        section.joints.append(draft)
    return True


def _twin_by_place(scene: Scene, bench: Bench) -> Scene | None:
    """ "Starboard forward the same": only a place is said, and it tells twins of the heading apart, not those of the joint worked on."""
    section, current = bench.section, bench.ledger.current
    own = [m for m in scene.mentions if not (m.place == getattr(section, "place", None) and scene.same_cued(m))]  # "row two same as row one"
    if section is None or not section.part or not section.joints or not scene.has("same") or len(own) != 1 or scene.facts:
        return None
    mention = own[0]
    kind = bench.words.axes(mention.place or "") & bench.words.axes(section.place)
    if mention.part or not kind or mention.place == section.place or (current is not None and bench.words.axes(current.place or "") & kind):
        return None
    _enter(section.part, mention.place or "", scene, bench)
    return replace(scene, mentions=(replace(mention, part=" ".join(section.part)),))


def _twin_side(scene: Scene, bench: Bench) -> Scene | None:
    """ "Front right is the same", "right side exactly the same, hub and cap": the twin of a side under which joints were told."""
    section, first = bench.section, next(iter(scene.mentions), None)
    if section is None or section.part or len(section.joints) < _TWO or first is None or not scene.has("same") or scene.has("correct"):
        return None
    told = [scene.tokens[c.at].start for c in scene.cues if c.sense == "same"]
    behind = first.part is not None and any(first.start < at < first.end for at in told)  # "front right the same, hub and cap"
    others = [m for m in scene.mentions if (m is not first or behind) and m.part and not m.by_place]
    before = [t for t in scene.tokens if t.end <= first.start and t.norm not in FILLER and t.norm not in bench.words.places]
    sided = behind or first.by_place or (first.part is None and first.fastener is None)
    if not sided or before or first.place is None or first.place == section.place or any(f.kind in VALUES for f in scene.facts):
        return None
    if not bench.words.axes(first.place) & bench.words.axes(section.place):
        return None
    twin = _enter((), first.place, scene, bench)
    others = [replace(m, place=None) if m is first else m for m in others]
    return _with_places(replace(scene, mentions=tuple(others)), twin, bench, passes=True)


def _corrected(scene: Scene, bench: Bench) -> Scene:
    """ "Car 1 bracket should have been 50": the joint told under the heading that a correcting note names with it."""
    for mention in scene.mentions:
        named = [s for s in bench.sections if mention.part and mention.place == s.place and _is_kin_heading(words_of(mention.part), s.part)]
        others = [m for m in scene.mentions if m is not mention and m.part and not m.place]
        told = _told(others[0], named[-1].joints, named[-1]) if named and others else None
        if told is not None:
            return replace(scene, mentions=(replace(others[0], part=told.part, place=told.place),))
    return scene


def _of_that_one(scene: Scene, bench: Bench) -> Scene:
    """ "That one's drum cover": a part that was told before, at the numbered place worked on now."""
    first, current = next(iter(scene.mentions), None), bench.ledger.current
    if first is None or not first.part or first.place or current is None or not (current.place or "").startswith(_NUMBER):
        return scene
    before = [t.norm for t in scene.tokens if t.end <= first.start][-_OWNING:]
    if not before or before[-1] != "'s" or "one" not in before or not bench.ledger.same_part(first.part):
        return scene
    return replace(scene, mentions=(replace(first, place=current.place), *scene.mentions[1:]))


def _of_the_other(scene: Scene, bench: Bench) -> Scene:
    """ "The other lamp bracket the same": a second one of a part that was told without a place."""
    first = next(iter(scene.mentions), None)
    if first is None or not first.part or first.place or not scene.has("same"):
        return scene
    before = [t.norm for t in scene.tokens if t.start <= first.start][-2:]
    told = [d for d in bench.ledger.same_part(first.part) if d.turned]
    if "other" not in before or not told or any(d.place for d in told):
        return scene
    return replace(scene, mentions=(replace(first, place="other"), *scene.mentions[1:]))


def _heads_alone(scene: Scene, bench: Bench) -> bool:
    """Whether a note says nothing but a side: one that the joint worked on is not told from its twins by, or under a heading already."""
    places = [m for m in scene.mentions if m.place]
    if scene.facts or len(places) != 1 or len(scene.mentions) != 1 or scene.has("same", "other", "correct", "back"):
        return False
    place = places[0].place or ""
    if _NUMBER in place or NOUNS.isdisjoint(t.norm for t in scene.tokens):
        return False
    if any(t.kind != "punct" and t.norm not in FILLER and t.norm not in bench.words.places for t in scene.tokens):
        return False
    current = bench.ledger.current
    twin = current is not None and current.place and bench.words.axes(current.place) & bench.words.axes(place)
    section = bench.section
    if twin and (section is None or (section.part and not (section.joints and bench.words.axes(section.place) & bench.words.axes(place)))):
        return False
    _enter((), place, scene, bench)
    return True


@dataclass(frozen=True, slots=True)
class _Opening:
    """The mention that a note opens with as a heading, and whether its place is that of the parts named behind it."""

    mention: Mention
    passes: bool


def _heading_of(scene: Scene, bench: Bench) -> _Opening | None:
    """The twin that a note opens with, when nothing is fastened at it and no value is its own."""
    same = next((m for m in scene.mentions if scene.has("same") and _is_twin_heading(m, bench)), None)
    if same is not None:
        return _Opening(same, passes=False)
    mentions = list(scene.mentions)
    while len(mentions) > 1 and _only_leads_to(mentions[0], scene):
        mentions.pop(0)
    first = next(iter(mentions), None)
    if first is None or not first.part or not first.place or first.fastener or first.size or scene.has("correct", "correct start", "redo"):
        return None
    here = scene.sentence(first.start)
    before = [t for t in scene.tokens if t.end <= first.start and scene.sentence(t.start) == here]
    if any(f.span[0] < first.start and scene.sentence(f.span[0]) == here for f in scene.facts if f.kind != "part"):
        return None
    led = first is scene.mentions[0] and not all(_is_plain(t, bench) for t in before)
    others = [m for m in mentions[1:] if m.part or m.fastener]
    name = words_of(first.part)
    bolted = next((m.start for m in others if m.part and m.fastener), None)
    own = [f for f in scene.facts if f.kind in VALUES and words_of(getattr(f, "part", None)) == name]
    if any(words_of(m.part) == name for m in others) or any(bolted is None or f.span[0] < bolted for f in own):
        return None
    rest = _behind(first, scene, bench)
    numbered = first.place.startswith(_NUMBER)
    if not any(f.span[0] >= first.end for f in scene.facts) and all(_is_plain(t, bench) for t in rest):
        return _Opening(first, passes=False) if not led or _begins(rest) else None
    if led:
        return None
    told = any(d.turned for d in bench.ledger.same_part(first.part))  # a joint itself, and no heading
    if (
        rest
        and not told
        and any(c.sense == "same" and scene.tokens[c.at].start in (rest[0].start, rest[min(1, len(rest) - 1)].start) for c in scene.cues)
    ):
        return _Opening(first, passes=False)
    if not rest or not others or not others[0].part:
        return None
    if rest[0].norm == ":" or (rest[0].norm == "," and others[0].fastener):
        return _Opening(first, passes=True)
    begins = any(c.sense == "open" and scene.tokens[c.at] is rest[0] for c in scene.cues)
    if rest[0].norm in {".", ";"} or begins:
        return _Opening(first, passes=not numbered or scene.has("back"))
    return _Opening(first, passes=False) if numbered else None


def _is_twin_heading(mention: Mention, bench: Bench) -> bool:
    """Whether a mention names the twin of a heading under which joints were told: "same on the right leaf, bracket and pivot"."""
    if not mention.part or not mention.place or mention.fastener:
        return False
    kind, name, said = _kind(mention.place, bench), words_of(mention.part), set(mention.place.split())
    alike = (s for s in bench.sections if s.part and s.joints and _is_kin(name, s.part) and _kind(s.place, bench) & kind)
    return any(set(s.place.split()) != said for s in alike)


def _only_leads_to(mention: Mention, scene: Scene) -> bool:
    """Whether a mention says only what the heading behind it belongs to: "ore tub, front wheelset.", "lever frame. Lever 5:"."""
    here = scene.sentence(mention.start)
    alone = all(f.kind == "part" for f in scene.facts if scene.sentence(f.span[0]) == here)
    return alone and mention.part is not None and mention.place is None and mention.fastener is None


def _begins(rest: list[Token]) -> bool:
    """Whether what stands behind a part says that it is begun with: "we're on the guide sheaves port forward one first"."""
    return any(t.norm in {"first", "next", "now"} for t in rest)


def _is_plain(token: Token, bench: Bench) -> bool:
    word = token.norm
    return token.kind == "punct" or word in bench.words.places or word in FILLER or word in _RESTING or bench.words.role("word", word) is not None


def _behind(first: Mention, scene: Scene, bench: Bench) -> list[Token]:
    """What stands behind a heading's name and its place."""
    said = set((first.place or "").split())
    rest = [t for t in scene.tokens if t.start >= first.end]
    while rest and (
        rest[0].norm in NOUNS
        or rest[0].norm in {_NUMBER, "#", "no"}
        or rest[0].norm in said
        or (rest[0].figure is not None and f"{rest[0].value:g}" in said)
        or (rest[0].norm == "," and len(rest) > 1 and rest[1].norm in bench.words.places)
    ):
        rest.pop(0)
    return rest


def _enter(part: tuple[str, ...], place: str, scene: Scene, bench: Bench) -> Section:
    """The heading of a part and place: the one of before when it is gone back to, else a new one beside its twin."""
    alike = [s for s in reversed(bench.sections) if (not part or _is_kin_heading(part, s.part)) and _kind(s.place, bench) & _kind(place, bench)]
    same = next((s for s in alike if set(s.place.split()) == set(place.split())), None)
    twin = next((s for s in alike if set(s.place.split()) != set(place.split()) and s.joints), None)
    if same is None:
        same = Section(part, place, scene.index, opened=scene.index, twin=twin)
        bench.sections.append(same)
        bench.ledger.headings.update(part)
    same.note = scene.index
    bench.section = same
    return same


def _is_kin(one: tuple[str, ...], other: tuple[str, ...]) -> bool:
    return one == other or means(one, other) or means(other, one)


def _is_kin_heading(one: tuple[str, ...], other: tuple[str, ...]) -> bool:
    """Whether two headings can be of twins: one's words are among the other's ("east dial" after "north dial hands")."""
    return bool(one and other) and (set(one) <= set(other) or set(other) <= set(one) or one[-1] == other[-1])


def _open(opening: _Opening, scene: Scene, bench: Bench) -> Scene:
    first = opening.mention
    section = _enter(words_of(first.part), first.place or "", scene, bench)
    rest = tuple(m for m in scene.mentions if m is not first)
    rest = tuple(m for m in rest if not (scene.same_cued(m) and _names_section(m, bench)))
    if any(m.part for m in rest):
        scene = _without_heading(replace(scene, mentions=rest), section)
    return _with_places(scene, section, bench, passes=opening.passes)


def _without_heading(scene: Scene, section: Section) -> Scene:
    """Values read as the heading's, behind a joint with fasteners, are that joint's: "left arm next the knuckle has two bolts 60 Nm"."""
    bolted = next((m for m in scene.mentions if m.part and m.fastener), None)
    if bolted is None:
        return scene
    facts = tuple(
        replace(f, part=bolted.part, place=bolted.place)
        if isinstance(f, (Torque, Angle)) and words_of(f.part) == section.part and f.span[0] > bolted.start
        else f
        for f in scene.facts
    )
    return replace(scene, facts=facts)


def _names_section(mention: Mention, bench: Bench) -> bool:
    """Whether a mention names an earlier heading: "hanger top: same as boat 1"."""
    if not mention.part or not mention.place or mention.fastener:
        return False
    return any(_is_kin(words_of(mention.part), s.part) and s.place == mention.place for s in bench.sections)


def _leaves(mention: Mention, section: Section, bench: Bench) -> bool:
    """Whether a mention names another place of the same kind."""
    place = mention.place
    return bool(place and set(place.split()).isdisjoint(section.place.split()) and _kind(place, bench) & _kind(section.place, bench))


def _kind(place: str, bench: Bench) -> frozenset[str]:
    """What a place tells apart; north, south, east and west tell twins apart together."""
    return bench.words.axes(place) | (_COMPASS_AXES if not _COMPASS.isdisjoint(place.split()) else frozenset())


def _with_places(scene: Scene, section: Section, bench: Bench, *, passes: bool) -> Scene:
    mentions = tuple(_placed(m, section, scene, bench, passes=passes) for m in scene.mentions)
    if mentions == scene.mentions:
        return scene
    fuller = {old.part: new.part for old, new in zip(scene.mentions, mentions, strict=True) if old.part and new.part and old.part != new.part}
    facts = tuple(replace(f, part=fuller[f.part]) if isinstance(f, (Torque, Angle)) and f.part in fuller else f for f in scene.facts)
    return replace(scene, mentions=mentions, facts=facts)


def _placed(mention: Mention, section: Section, scene: Scene, bench: Bench, *, passes: bool) -> Mention:
    """A part's mention at the place of its heading: as told there before, as told under the twin, or because the heading passes its place on."""
    if section.part and mention.part and mention.place == section.place and section.opened == scene.index and words_of(mention.part) != section.part:
        return _placed(replace(mention, place=None), section, scene, bench, passes=True)
    said = bench.words.axes(mention.place or "")
    if not mention.part or mention.size or words_of(mention.part) == section.part or said & bench.words.axes(section.place):
        return mention
    if section.part and words_of(mention.part)[-len(section.part) :] == section.part:
        return mention  # "left pump flange … drive pump flange": another of its kind, and no part of it
    own = _told(mention, section.joints, section)
    if own is not None:
        return replace(mention, part=own.part, place=own.place, maybe_place=None)
    twin = section.twin
    told = _told(mention, twin.joints, twin) if twin is not None and not scene.has("back", "redo", "correct", "partial") else None
    if twin is not None and told is not None:
        _settle(told, twin, bench)
        return replace(mention, part=told.part, place=_at(told.place, twin, section), maybe_place=None)
    if section.opened == scene.index and section.place.startswith(_NUMBER) and _is_numbered_elsewhere(mention, section, bench):
        return replace(mention, place=" ".join(w for w in (section.place, mention.place) if w), maybe_place=None)
    if passes and mention.place and section.part:
        return replace(mention, place=f"{section.place} {mention.place}", maybe_place=None)
    if not passes or mention.place:
        return mention
    if section.opened != scene.index and any(d.place is None and d.says_something for d in bench.ledger.same_part(mention.part)):
        return mention
    return replace(mention, place=section.place, maybe_place=None)


def _is_numbered_elsewhere(mention: Mention, section: Section, bench: Bench) -> bool:
    """Whether such a part was told at another number of what heads it: "lane six … sweep arm", and now "lane eight"."""
    said = set((mention.place or "").split())
    places = [set((d.place or "").split()) for d in bench.ledger.same_part(mention.part)]
    return any(_NUMBER in p and said <= p and not set(section.place.split()) <= p for p in places)


def _told(mention: Mention, joints: list[Draft], section: Section) -> Draft | None:
    """The joint that a mention means among those told under a heading."""
    name, place = words_of(mention.part), set((mention.place or "").split())
    there = [d for d in joints if place <= set((d.place or "").split())]
    alike = [d for d in there if means(name, words_of(d.part)) or (d.fastener and means(words_of(d.part), name))]
    if not alike and not (mention.fastener and mention.fastener.count and all(d.turned for d in there)):
        alike = [d for d in there if set(name) < set(words_of(d.part))]
        alike = alike if len({d.part for d in alike}) == 1 else []
    return next((d for d in alike if mention.fastener and d.fastener == mention.fastener.fastener), next(iter(alike), None))


def _at(place: str | None, twin: Section, section: Section) -> str:
    """The place under a heading that a place under its twin answers to: "right lower" to "lower" and to "left lower"."""
    further = [w for w in (place or "").split() if w not in twin.place.split()]
    return " ".join((section.place, *further))


def _settle(draft: Draft, section: Section, bench: Bench) -> None:
    """Once a heading's twin has such a joint too, the place of the first is said for both."""
    if not set(section.place.split()) & set((draft.place or "").split()):
        bench.ledger.rename(draft, part=draft.part, place=" ".join(w for w in (section.place, draft.place) if w))
