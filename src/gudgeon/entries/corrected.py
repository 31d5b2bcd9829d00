"""Which entries a correcting note may mean: those of the joint it names, at the places and numbers it names, or the last ones."""

from __future__ import annotations

from itertools import pairwise

from gudgeon.entries.bench import Bench
from gudgeon.entries.changes import change_of
from gudgeon.entries.drafts import Draft, places_agree, words_of
from gudgeon.entries.joint_words import singular
from gudgeon.entries.ledger import Ledger
from gudgeon.entries.shapes import unknown_subject
from gudgeon.entries.spoken import JOINING, Mention, Scene

_LAST = 12
_NEAR = 6


def candidates(scene: Scene, bench: Bench) -> tuple[list[Draft], Mention | None]:
    """Entries a correction may mean, the likeliest first, and the joint named in it."""
    ledger = bench.ledger
    named = _set_right(scene, ledger)
    recent = sorted(ledger.drafts[-_LAST * 3 :], key=ledger.age, reverse=True)[:_LAST]
    if named is None:
        pointed = _pointed_at(scene, recent)
        if pointed:
            return pointed, Mention(0, 0, part=pointed[0].part)
        sided = _at_side_said(scene, recent, bench)
        if sided is not None:
            return sided, Mention(0, 0, place=sided[0].place if sided else None)
        return [] if unknown_subject(scene, bench.words, ledger) else recent, None
    if named.size:
        sized = ledger.sized(named)
        return ([sized] if sized else []), named
    if named.part:
        both = _sharing_a_word(named, recent) if scene.has("both") and not named.place else []
        found = (
            [d for place in places_named(named, scene) for d in ledger.same_part(named.part, place) if d.says_something]
            or (both if len(both) > 1 else [])
            or _at_numbers(named, scene, bench)
            or [d for d in ledger.same_part(named.part, named.place) if d.says_something]
            or _unplaced_twin(named, bench)
            or _sharing_a_word(named, recent)
            or _heard_of(named, recent, scene)
            or ledger.same_part(named.part, named.place)
        )
    elif named.place:
        found = ledger.with_place(named.place) or _only_at(named.place, recent)
    else:
        found = recent
    kind = named.fastener.fastener if named.fastener else None
    alike = [d for d in found if kind is None or d.fastener == kind]
    if not named.part and not named.place and named.fastener and named.fastener.count and not named.some:
        alike = [d for d in alike if d.count in (None, named.fastener.count)]
    if kind is not None and not alike and "ones" in {t.norm for t in scene.tokens}:
        return found, named
    if alike or kind is None:
        return alike, named
    return [d for d in found if d.fastener is None or len({x.part for x in found}) == 1], named


def places_named(named: Mention, scene: Scene) -> list[str]:
    """The places of a part that a note sets right at several: "seat rails, front and rear, were 22"; empty when it names one or none."""
    alike = [m for m in scene.mentions if m.place and m.part == named.part]
    own = {*words_of(named.part), *(w for m in alike for w in (m.place or "").split()), "on", "the", "number"}
    gaps = [[w for w in scene.between(a.end, b.start) if w not in own] for a, b in pairwise(alike)]
    listed = all(not set(gap) - JOINING or ("so" in gap and {"has", "have", "had", "did"} & set(gap)) for gap in gaps)
    places = list(dict.fromkeys(m.place for m in alike if m.place))
    return places if listed and len(places) > 1 else []


def _set_right(scene: Scene, ledger: Ledger) -> Mention | None:
    """The joint that a note sets right: that of the sentence with "thirteen, not fourteen" in it, else the first."""
    named = [m for m in scene.mentions if m.part or m.place or m.fastener or m.size]
    told = (c for c in scene.cues if c.sense == "not value" and any(t.figure for t in scene.tokens[c.end : c.end + 1]))
    against = [scene.sentence(scene.tokens[c.at].start) for c in told]
    change = change_of(scene) if len(named) > 1 else None
    if change is not None and change.old is not None:
        holding = [m for m in named if m.part and any(t.value == change.old for d in ledger.same_part(m.part) for t in d.torques)]
        if len({m.part for m in holding}) == 1 and holding[0].part != named[0].part:
            return holding[0]  # "wiped the dial and it's ninety five I gave those rollers, not ninety"
    chosen = next((m for m in named if against and m.part and scene.sentence(m.start) == against[0]), next(iter(named), None))
    placed = [m for m in named if chosen and chosen.part and not chosen.place and m.part == chosen.part and m.place]
    return placed[0] if len(placed) == 1 else chosen


def _at_numbers(named: Mention, scene: Scene, bench: Bench) -> list[Draft]:
    """The joints of a part at several numbers listed: "rope grips on hangers 12 and 13"."""
    if not named.part or (named.place and not named.place.startswith("number")):
        return []
    at = next((i for i, t in enumerate(scene.tokens) if t.figure and f"number {t.value:g}" == named.place), None)
    if named.place is None:
        at = next((i + 1 for i, t in enumerate(scene.tokens[:-1]) if t.norm in {"numbers", "nos"} and scene.tokens[i + 1].figure), None)
    values = []
    while at is not None and at < len(scene.tokens) and scene.tokens[at].figure and scene.tokens[at].value is not None:
        values.append(scene.tokens[at].value)
        at += 2 if at + 1 < len(scene.tokens) and scene.tokens[at + 1].norm in JOINING else len(scene.tokens)
    found = [d for value in values for d in bench.ledger.same_part(named.part, f"number {value:g}") if d.turned]
    return found if len(values) > 1 and len(found) == len(values) else []


def _only_at(place: str, recent: list[Draft]) -> list[Draft]:
    """Recent entries at a place, when all of them are of one part."""
    found = [d for d in recent if d.turned and d.place and set(d.place.split()) == set(place.split())]
    return found if len({d.part for d in found}) == 1 else []


def _unplaced_twin(named: Mention, bench: Bench) -> list[Draft]:
    """The one joint of a part whose place was not said, when its other twins are told by theirs."""
    twins = bench.ledger.same_part(named.part) if named.part and named.place else []
    bare = [d for d in twins if d.turned and not d.place]
    return bare if len(bare) == 1 and any(d.turned and d.place for d in twins) else []


def _sharing_a_word(named: Mention, recent: list[Draft]) -> list[Draft]:
    """Recent entries whose part is named more loosely, or more fully: "that winch" for the winch base."""
    said = set(words_of(named.part))
    within = ((d, set(words_of(d.part))) for d in recent if d.turned)
    alike = [d for d, name in within if name and (said <= name or name <= said) and places_agree(named.place, d.place)]
    return [d for d in alike if d.place or not named.place]


def _heard_of(named: Mention, recent: list[Draft], scene: Scene) -> list[Draft]:
    """Recent entries that were named together with this part: "the bell housing ones" after "gearbox to bell housing"."""
    said = set(words_of(named.part))
    own = set((named.place or "").split()) & {t.norm for t in scene.tokens}  # a place that only a heading gave binds nothing
    found = [d for d in recent if d.turned and said <= d.heard and (not own or places_agree(named.place, d.place))]
    return found if len({(d.part, d.place) for d in found}) == 1 and (found[0].place or not named.place) else []


def _pointed_at(scene: Scene, recent: list[Draft]) -> list[Draft]:
    """Recent entries of the one part that a word behind "the" or "that" belongs to: "a hundred and fifteen on the discharge"."""
    said = {singular(after.norm) for before, after in pairwise(scene.tokens) if before.norm in {"the", "that", "those"}}
    found = [d for d in recent if d.turned and said & set(words_of(d.part))]
    return found if len({d.part for d in found}) == 1 else []


def _at_side_said(scene: Scene, recent: list[Draft], bench: Bench) -> list[Draft] | None:
    """ "Correction: upper is 55": the last joint at the side that is said with the value; None when no side of a recent joint is."""
    figure = next((t for t in scene.tokens if t.figure is not None), None)
    if figure is None:
        return None
    here = scene.sentence(figure.start)
    sides = [t.norm for t in scene.tokens if scene.sentence(t.start) == here and t.norm in bench.words.alone]
    turned = [d for d in recent if d.turned and d.place]
    told = {side for side in sides if any(side in (d.place or "").split() for d in turned)}
    if len(told) != 1:
        return None
    side = told.pop()
    return [d for d in turned if side in (d.place or "").split()][:1]
