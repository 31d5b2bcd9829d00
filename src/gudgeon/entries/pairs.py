"""One value said of several joints: "left and right hub nuts at ninety", "seven newton metres on both of the retainers"."""

from __future__ import annotations

from itertools import pairwise

from gudgeon.entries.bench import NEAR, Bench
from gudgeon.entries.copies import copy_all
from gudgeon.entries.drafts import Draft
from gudgeon.entries.spoken import JOINING, Mention, Scene

_ALL = frozenset(("both", "pair"))
_NUMBERED = frozenset(("number", "no", "#", "one", "two", "three", "four", "five", "six"))
_SOON = 2
_MOST = 4
"""Words between twins that are named together, at most."""


def copy_to_twin(scene: Scene, bench: Bench) -> None:
    """When places of one part were named together, what this note put at the last of them stands at the others too."""
    for one, other in reversed(list(pairwise(scene.mentions))):
        if not _are_together(one, other, scene):
            continue
        source, target = (bench.ledger.find(m, note=scene.index) for m in (other, one))
        if source is None or target is None or source is target or source.opened != scene.index or target.says_something:
            continue
        if source.says_something:
            bench.ledger.drop(target)
            copy_all(source, one.place or "", scene.index, bench.ledger)


def _are_together(one: Mention, other: Mention, scene: Scene) -> bool:
    """Whether two mentions name one part at two places, with nothing but "and" between them."""
    if not (one.part and one.part == other.part and one.place and other.place and one.place != other.place):
        return False
    between = [w for w in scene.between(one.end, other.start) if w not in _NUMBERED and not w.isdigit()]
    return 0 < len(between) <= _MOST and set(between) <= JOINING


def others_meant(draft: Draft, mention: Mention | None, scene: Scene, bench: Bench) -> list[Draft]:
    """The twins of a joint of which its value was said too: those without a value yet ("both of those 32 Nm"), or those named behind it."""
    named = [m for m in scene.mentions if m.by_place and m.place and m.part and mention is not None and m.part == mention.part]
    if mention is not None and mention.place is None and len(named) > 1 and all(m.start > mention.end for m in named):
        found = [bench.ledger.find(m, note=scene.index) for m in named]
        return [d for d in found if d is not None and d is not draft]
    listed = [m for m in scene.mentions if mention is not None and m.part and m.part == mention.part and m.place and m.place != draft.place]
    ahead = mention is not None and all(_are_together(m, mention, scene) and m.start < mention.start for m in listed)
    if scene.has("redo") and draft.turned and len(listed) == 1 and ahead:
        beside = [bench.ledger.find(m, note=scene.index) for m in listed]  # "left and right tie rods both slackened and redone at 120 Nm"
        return [d for d in beside if d is not None and d is not draft and d.turned]
    numbered = _numbered_with(draft, scene, bench)
    if numbered:
        return numbered
    if mention is not None and mention.by_place:
        return []
    if _ALL.isdisjoint(t.norm for t in scene.tokens):
        return []
    if draft.turned:
        return _done_anew(draft, mention, scene, bench)
    if draft.place is None:
        return _named_before(draft, mention, scene, bench)
    kind = bench.words.axes(draft.place)
    twins = [d for d in bench.ledger.same_part(draft.part) if d is not draft and d.place and bench.words.axes(d.place) & kind]
    return [d for d in twins if not d.turned and d.fastener == draft.fastener and scene.index - d.opened <= NEAR and d.fastener]


def _numbered_with(draft: Draft, scene: Scene, bench: Bench) -> list[Draft]:
    """ "Been round again number one and number two, every bolt": the twin at the number told right before, when both had their value."""
    if not (scene.has("redo") and draft.turned and (draft.place or "").startswith("number ")):
        return []
    tokens, found = scene.tokens, []
    for at in range(2, len(tokens)):
        if not tokens[at].figure or f"number {tokens[at].value:g}" != draft.place:
            continue
        here = at - 1 - (tokens[at - 1].norm in {"number", "no"})
        if here > 0 and tokens[here].norm in {"and", "&"} and tokens[here - 1].figure:
            found += bench.ledger.same_part(draft.part, f"number {tokens[here - 1].value:g}")
    return [d for d in found if d is not draft and d.turned and d.fastener == draft.fastener]


def _named_before(draft: Draft, mention: Mention | None, scene: Scene, bench: Bench) -> list[Draft]:
    """ "Auger motor, three bolts." "Auger gearbox, four bolts." "Eight on both of those": the joint told right before, when both still lack a value.

    Not where the joint has two fasteners: then "both" is of them.
    """
    if mention is not None or not draft.fastener or draft.count == 2 or not any(t.norm == "both" for t in scene.tokens):
        return []
    lacking = [d for d in bench.ledger.recent() if d is not draft and d.part and d.fastener and not (d.says_something or d.left_undone)]
    near = [d for d in lacking if 0 < draft.opened - d.opened <= _SOON and scene.index - draft.opened <= _SOON]
    return near if len(near) == 1 else []


def _is_of_both(mention: Mention, scene: Scene) -> bool:
    """ "Both wheels again": the part itself was said to be both of its twins."""
    at = next((i for i, t in enumerate(scene.tokens) if t.start >= mention.start), 0)
    led = [t.norm for t in scene.tokens[max(at - 2, 0) : at + 1]]
    return mention.part is not None and not mention.place and "both" in led


def _done_anew(draft: Draft, mention: Mention | None, scene: Scene, bench: Bench) -> list[Draft]:
    """ "Both again to ten": the twin of the joint worked on, which had its value too; not where the joint has two fasteners."""
    cued = _is_of_both(mention, scene) if mention else scene.has("redo")
    alone = scene.tokens[-1].norm == "both"  # "240 both" may be of the two bolts of one joint
    if draft.place is None or draft.count == 2 or (alone and not cued):
        return []
    kind = bench.words.axes(draft.place)
    twins = [d for d in bench.ledger.same_part(draft.part) if d is not draft and d.place and bench.words.axes(d.place) & kind]
    twins = [d for d in twins if d.turned and d.fastener == draft.fastener and scene.index - d.opened <= NEAR]
    if not cued:  # "the jaw ones got 240 after the run, both cheeks": twins that had the same
        told = [t.value for t in draft.torques[-1:]]
        twins = [d for d in twins if told and [t.value for t in d.torques[-1:]] == told]
    return twins if len(twins) == 1 else []
