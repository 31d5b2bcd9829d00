"""Parts that only say where the joint sits: what it is held to, what it stands on, what lies between its parts."""

from __future__ import annotations

from collections.abc import Sequence

from gudgeon.domain import Part
from gudgeon.entries.around import SKIPPED, Around
from gudgeon.entries.spoken import TOWARDS, Mention


def is_held_to(part: Part, around: Around) -> bool:
    """Whether "held to", "bolted to" stands before a part."""
    led = [t.norm for t in around.scene.tokens if t.end <= part.span[0] and t.norm not in SKIPPED and t.norm not in around.words.places][-2:]
    return len(led) == 2 and around.words.role("hold", led[0]) is not None


def bears(part: Part, last: Mention | None, lead: str | None, around: Around) -> bool:
    """Whether a part only says where the one that the note opens with sits: "minute hand on the dial clamp screw 6 Nm"."""
    if last is None or not last.part or last.fastener or lead != "on" or not any(f.kind == "torque" for f in around.scene.facts):
        return False
    opens = not [f for f in around.scene.facts if f.span[0] < last.start]
    near = [w for w in around.scene.between(last.end, part.span[0]) if w not in SKIPPED and w not in around.words.places] == ["on"]
    of = [f for f in around.fasteners if around.is_of(f, part)]
    one = bool(of) and of[0].count is None and not around.scene.between(*of[0].span)[-1].endswith("s")
    return opens and near and one and len(around.fasteners) == 1


def is_secondary(part: Part, lead: str | None, around: Around) -> bool:
    """Whether a part only says where the one before it sits: "lifting eye on the head has one bolt"."""
    if lead is None or around.words.role("lead", lead) != "away" or around.carries(part):
        return False
    if any(c.sense == "open" and 0 <= around.scene.tokens[c.at].start - part.span[1] <= 1 for c in around.scene.cues):
        return False  # "motor's on the bench, commutator bearing cap first"
    if any(f.count and f.span[0] == part.span[1] + 1 for f in around.fasteners) and not around.scene.between(part.span[0], part.span[0]):
        before = next((t.norm for t in reversed(around.scene.tokens) if t.end <= part.span[0]), "")
        if before == lead:
            return False  # "studded tyres on front left wheel five nuts": the nuts are the wheel's
    after = [t for t in around.scene.tokens if t.start >= part.span[1]][:2]
    bolts = [f for f in around.fasteners if f.count and f.span[0] > part.span[1]]
    kept = any(c.sense == "keep" and around.scene.tokens[c.at].start < part.span[0] for c in around.scene.cues)
    gap = around.scene.between(part.span[1], bolts[0].span[0]) if bolts else []
    if lead == "for" and kept and bolts and set(gap) <= {",", "which", "that", "it", "has", "'s", "is", "got", "with", "there"}:
        return False  # "keeping that spanner for the exhaust bracket, three bolts thirty newton metres"
    if (
        lead == "for"
        and bolts
        and bolts[0] is around.fasteners[0]
        and around.scene.has("same")
        and "there" in around.scene.between(part.span[1], bolts[0].span[0])
    ):
        return False  # "same key for the valve chest, there's four screws in that"
    led = [t.norm for t in around.scene.tokens if t.end <= part.span[0] and t.norm not in SKIPPED][-2:]
    if led in (["back", "to"], ["figure", "for"], ["number", "for"], ["value", "for"]):
        return False  # "arms are rested so back to the slewing ring", "couldn't find a figure for the handrail"
    if lead == "for" and len(after) > 1 and after[0].norm == ":" and any(f.count and f.span[0] == after[1].start for f in around.fasteners):
        return False  # "still on for the kiln frame: 6 bolts 45 Nm"
    if [t.norm for t in around.scene.tokens if t.end <= part.span[0] and t.norm not in SKIPPED][-2:-1] in (["another"], ["other"]):
        return False  # "a nut on the spindle, 55 Nm, and another on the handwheel"
    start = part.span[0]
    heads = {"open": 0, "same": 1}  # cues that head a joint, and how many words may stand between: "the same on the cover"
    return not any(c.sense in heads and around.near(around.scene.tokens[c.end - 1].end, start, heads[c.sense]) for c in around.scene.cues)


def is_minor(part: Part, name: tuple[str, ...], mentions: Sequence[Mention], around: Around) -> bool:
    """Whether a part only lies between others (a gasket, a seal) or is a side of one (a face), beside another part of the sentence."""
    role = around.words.role("part", name[-1]) if name else None
    role = None if role == "between" and not around.words.lies_between(name) else role
    told = [f.span[1] for f in around.scene.facts if f.kind in {"torque", "angle"} and f.span[1] <= part.span[0]]
    if role == "between" and told and not set(around.scene.between(max(told), part.span[0])) & TOWARDS:
        return True  # "second round eighteen newton metres and the gasket's showing the same all the way round"
    minor = role == "between" or all(around.words.role("part", w) == "bit" for w in name)
    here = around.scene.sentence(part.span[0])
    others = sum(around.scene.sentence(p.span[0]) == here for p in around.parts) > 1
    return minor and (others or role == "bit" or any(around.scene.sentence(m.start) == here for m in mentions) or not around.opens(part))
