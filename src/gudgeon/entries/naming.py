"""The joints that a note names: found again or opened, and which of them is worked on from now."""

from __future__ import annotations

from itertools import pairwise

from gudgeon.domain import Action, Todo
from gudgeon.entries.bench import Bench
from gudgeon.entries.drafts import Draft
from gudgeon.entries.joint_words import singular
from gudgeon.entries.linking import link
from gudgeon.entries.scenes import live_values
from gudgeon.entries.spoken import JOINING, Mention, Scene
from gudgeon.entries.vocabulary import Cue


def name_joints(scene: Scene, bench: Bench) -> None:
    """Open the joints that a note names, and make the one it is about the current one."""
    drafts: list[tuple[Mention, Draft]] = []
    before = bench.ledger.current
    only_aside = _only_aside(scene, bench)
    for mention in scene.mentions:
        if mention.size or not (mention.firm or mention.fastener):
            continue
        if not mention.part and not mention.fastener and not _speaks(scene):
            continue
        if not _only_faults(mention, scene):
            draft = _further_twin(mention, drafts, scene, bench) or bench.joint(mention, scene.index)
            if draft.opened == scene.index or (draft.fastener and not draft.turned):
                draft.heard |= frozenset(singular(t.norm) for t in scene.tokens if t.kind == "word")
            drafts.append((mention, draft))
            if mention.fastener is not None:
                around = scene.between(*mention.fastener.span)
                draft.size = next((size for w in around if (size := bench.words.role("size", w))), draft.size)
            draft.aside = only_aside and not draft.fastener and not draft.turned
            if mention.part or mention.fastener:
                draft.step(scene.index, f"names {draft.name()}")
            bench.ledger.current = draft
    if scene.has("both"):
        for _, draft in drafts:
            draft.each = draft.place is None
    opened = [d for m, d in drafts if m.part and any(c.sense == "open" and _opens(c, m, scene) for c in scene.cues)]
    named = [d for m, d in drafts if m.fastener] or opened or [d for _, d in drafts]
    if named:
        bench.ledger.current = named[0] if not any(d.fastener for d in named) else named[-1]
    if bench.ledger.current and bench.ledger.current.aside and before and before.fastener and not before.turned:
        bench.ledger.current = before
    if named:
        bench.named_together = _rivals(named, bench) or _pair(scene, bench)
    undone = any(isinstance(f, Action) and f.status in {"todo", "not done"} for f in scene.facts) or any(isinstance(f, Todo) for f in scene.facts)
    for draft in named:
        draft.left_undone = undone and not draft.turned
        norms = [t.norm for t in scene.tokens]
        nothing = scene.has("untouched") or any(a == "nothing" and b in {"tightened", "torqued", "done"} for a, b in pairwise(norms))
        draft.put_off = (draft.left_undone and not _LATER.isdisjoint(norms)) or (nothing and not draft.turned)


def _opens(cue: Cue, mention: Mention, scene: Scene) -> bool:
    """Whether "next", "first" stands right behind a joint: "axlebox keeps today, and the front left one first"."""
    at = scene.tokens[cue.at].start
    return 0 <= at - mention.end <= 1 or (mention.end <= at and scene.between(mention.end, at) in (["one"], ["is"], ["'s"]))


def _further_twin(mention: Mention, drafts: list[tuple[Mention, Draft]], scene: Scene, bench: Bench) -> Draft | None:
    """ "Strap bolts 60 Nm, right hand set 65 Nm": a place behind a value of the same part without a place is another joint."""
    if not mention.place or not mention.part:
        return None
    told = next((m for m, d in drafts if m.part == mention.part and not m.place and d.place is None and d.opened == scene.index), None)
    if told is None or bench.ledger.same_part(mention.part, mention.place):
        return None
    values = [f for f in scene.facts if f.kind == "torque"]
    between = [f for f in values if told.end <= f.span[0] < mention.start]
    after = [f for f in values if f.span[0] >= mention.end]
    return bench.ledger.open(mention, note=scene.index) if between and after else None


def _only_aside(scene: Scene, bench: Bench) -> bool:
    """Whether parts were only taken off, cleaned or looked at in this note."""
    actions = [f for f in scene.facts if isinstance(f, Action)]
    return bool(actions) and all(bench.words.role("action", f.action) == "aside" for f in actions)


def _rivals(named: list[Draft], bench: Bench) -> list[Draft]:
    """Joints of one note that a value alone could belong to as well as to one another."""
    joints = [d for d in dict.fromkeys(named) if d.fastener and not d.turned and bench.words.role("fastener", d.fastener) == "joint"]
    kinds = {(d.part, d.place, "stud" if d.fastener == "nut" else d.fastener, d.thread) for d in joints}
    return joints if len(kinds) > 1 else []


_LATER = frozenset(("till", "until", "tomorrow", "later", "yet"))
"""What puts work off."""
_LISTED = frozenset(("there", "'s", "is", "a", "an"))
"""What lists two things besides: "there's an arm and there's a cam, both on the plate"."""


def _pair(scene: Scene, bench: Bench) -> list[Draft]:
    """The joint worked on, when another was named with it and nothing but "and" between them: "one of them's had thirty" is then no one's."""
    for one, other in pairwise(scene.mentions):
        twin = one.part and other.part and (one.part, one.place) != (other.part, other.place) and not (one.fastener or other.fastener)
        near = set(scene.between(one.end, other.start))
        if twin and (near <= JOINING or (scene.has("both") and near <= JOINING | _LISTED)) and bench.ledger.current:
            return [] if any(f.kind in {"torque", "angle"} for f in scene.facts) else [bench.ledger.current]
    return []


def _speaks(scene: Scene) -> bool:
    return bool(scene.facts) or scene.has("back", "same", "open")


def _only_faults(mention: Mention, scene: Scene) -> bool:
    """Whether a part is named only for a size or fault of its own, so that no fastened joint is opened."""
    if mention.fastener is not None or any(f.kind in {"torque", "angle"} for f in scene.facts):
        return False
    values = [f for f in live_values(scene) if (link(f, scene) or mention).part == mention.part]
    return bool(values) and not any(f.kind in {"fastener"} for f in scene.facts)
