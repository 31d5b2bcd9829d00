"""Which tool and compound goes with which joint, and a tool that is kept from joint to joint."""

from __future__ import annotations

from dataclasses import replace

from gudgeon.domain import Action, Compound, CompoundUsed, Measure, Part, Tool, ToolUsed
from gudgeon.entries.bench import Bench, Kept
from gudgeon.entries.drafts import Draft, words_of
from gudgeon.entries.linking import link
from gudgeon.entries.spoken import Scene

_CALLED = {"key": "hex key", "spanner": "wrench", "wrench": "wrench", "socket": "socket", "driver": "screwdriver"}
"""Tools by their short names; "tool" and "bit" can mean any."""


def take_tools(scene: Scene, bench: Bench, measured: list[Draft], joint: Draft | None) -> None:
    """Tools of a note: measuring ones to what was measured, turning ones to the joint they were named with, or the current one."""
    idle = all(isinstance(f, Tool) and f.size is None for f in scene.facts)
    joint = _worked_on(scene, bench, joint)
    for fact in (f for f in scene.facts if isinstance(f, Tool) and not idle):
        role = bench.words.role("tool", fact.tool)
        if role == "measuring":
            for draft in measured:
                draft.tool = draft.tool or _used(fact)
        elif role in {"turning", "holding"}:
            used = _meant(fact, scene, bench)
            mention = link(fact, scene)
            draft_for = bench.joint(mention, scene.index) if mention and (mention.part or mention.fastener or mention.size) else joint
            if draft_for is not None and not draft_for.is_part_alone:
                _give(draft_for, used, scene.index, bench)
            if role == "turning" and used.size is not None:
                bench.last_tool = used
                bench.kept = None
    _same_tool(scene, bench, joint)
    _keep(scene, bench, joint)


def _worked_on(scene: Scene, bench: Bench, joint: Draft | None) -> Draft | None:
    """The joint worked on, or None while a value of the same note waits for its joint to be named: what is said beside it is that joint's too."""
    return None if any(waiting.note == scene.index for waiting in bench.waiting) else joint


def _same_tool(scene: Scene, bench: Bench, joint: Draft | None) -> None:
    """ "Same key": the last sized tool, when the note names no tool of its own and the word can mean it."""
    cue = next((c for c in scene.cues if c.sense == "same tool"), None)
    if cue is None or joint is None or joint.is_part_alone or bench.last_tool is None or any(isinstance(f, Tool) for f in scene.facts):
        return
    kind = _CALLED.get(scene.tokens[cue.end - 1].norm)
    if kind is None or kind == bench.last_tool.tool:
        _give(joint, bench.last_tool, scene.index, bench)


def _used(fact: Tool) -> ToolUsed:
    return ToolUsed(tool=fact.tool, size=fact.size, size_unit=fact.size_unit, heard=fact.heard)


_AGAIN = frozenset(("same", "that", "this"))


def _meant(fact: Tool, scene: Scene, bench: Bench) -> ToolUsed:
    """The tool said, or the last one of its kind for "same spanner as before"."""
    around = scene.between(max(fact.span[0] - 6, 0), fact.span[1])
    if fact.size is None and not _AGAIN.isdisjoint(around) and bench.last_tool and bench.last_tool.tool == fact.tool:
        return bench.last_tool
    return _used(fact)


def _give(draft: Draft, used: ToolUsed, note: int, bench: Bench) -> None:
    """A sized turning tool stands before a torque wrench or an extension."""
    old = draft.tool
    if old is None or (old.size is None and used.size is not None):
        draft.tool = used
        draft.step(note, f"tool {used.tool}")


def _keep(scene: Scene, bench: Bench, joint: Draft | None) -> None:
    cue = next((c for c in scene.cues if c.sense == "keep"), None)
    if cue is None:
        return
    said_here = [_meant(f, scene, bench) for f in scene.facts if isinstance(f, Tool) and bench.words.role("tool", f.tool) == "turning"]
    sized = [t for t in said_here if t.size is not None]
    tool = sized[-1] if sized else (joint.tool if joint else None) or bench.last_tool
    if tool is not None and tool.size is not None:
        parts = tuple(words_of(m.part) for m in scene.asides if m.part and m.start >= scene.tokens[cue.at].start)
        placed = any(t.norm in bench.words.places for t in scene.tokens[cue.end :])
        if not parts and (placed or scene.has("both")) and joint and joint.part:
            parts = (words_of(joint.part),)
        bench.kept = Kept(tool, scene.index, parts, scene.has("until"))


def take_compounds(scene: Scene, bench: Bench, measured: list[Draft], joint: Draft | None) -> None:
    """Compounds of a note: what was filled in goes with its volume, what was put on threads or faces with the joint."""
    filled = any(isinstance(f, Action) and f.action in {"fill", "drain"} for f in scene.facts)
    volume = any(isinstance(f, Measure) and f.quantity == "volume" for f in scene.facts)
    joint = _worked_on(scene, bench, joint)
    for fact in (f for f in scene.facts if isinstance(f, Compound)):
        role = bench.words.role("compound", fact.compound)
        used = CompoundUsed(compound=fact.compound, strength=fact.strength)
        if filled or volume or role == "part":
            for draft in measured:
                draft.compound = draft.compound or used
        elif role == "joint":
            mention = link(fact, scene)
            near = bench.joint(replace(mention), scene.index) if mention and (mention.part or mention.fastener) else joint
            if near is not None and near.compound is None and not near.is_part_alone:
                near.compound = used
                near.step(scene.index, f"compound {fact.compound}")


def kept_for(scene: Scene, part: Part) -> bool:
    """Whether a part is named only as what a tool is kept for ("keeping it on for the pump plate as well")."""
    for cue in scene.cues:
        if (
            cue.sense == "keep"
            and scene.tokens[cue.at].start < part.span[0]
            and scene.sentence(scene.tokens[cue.at].start) == scene.sentence(part.span[0])
        ):
            behind = next((t.norm for t in scene.tokens if t.start >= part.span[1]), "")
            if behind == ":" and any(getattr(f, "part", None) == part.name for f in scene.facts):
                return False  # "still on for the frame: 6 bolts 45 Nm"
            if any(f.kind == "fastener" and getattr(f, "count", None) and f.span[0] > part.span[1] for f in scene.facts):
                return False  # "same key for the valve chest, there's four screws in that"
            words = scene.between(scene.tokens[cue.at].start, part.span[0])
            return bool({"for", "till", "until", "to"}.intersection(words))
    return False
