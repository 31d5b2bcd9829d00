"""What of a joint another one gets that is the same: its kind, and its values as they stand or at another figure."""

from __future__ import annotations

from dataclasses import replace

from gudgeon.entries.bench import said
from gudgeon.entries.drafts import Draft, on_note, same_torque
from gudgeon.entries.spoken import Scene

_LIKE = 3
"""How many times a value another one may be, to be meant instead of it."""


def fill(draft: Draft, source: Draft) -> None:
    """What is not known of a joint yet, from the one it is the same as."""
    draft.fastener = draft.fastener or source.fastener
    draft.count = draft.count or source.count
    draft.thread = draft.thread or source.thread
    draft.tool = draft.tool or source.tool
    draft.compound = draft.compound or source.compound


def other_figure(scene: Scene) -> float | None:
    """The bare figure that ends what is said to be the same with a difference: "the same but with rubbers so fifteen"."""
    behind = [t for t in scene.tokens if t.start > (scene.same_at or 0) and t.kind != "punct"]
    differs = any(t.norm in {"but", "except", "only"} for t in behind)
    last = behind[-1] if behind else None
    if last is None or not differs or last.figure is None or last.figure.form != "cardinal":
        return None
    return None if any(f.span[0] <= last.start < f.span[1] for f in scene.facts) else last.value


def copy_changed(source: Draft, draft: Draft, value: float, at: int) -> None:
    """The model's one torque at another value; nothing where it has several, or the figure can be no torque beside it."""
    if len(source.torques) != 1 or not source.torques[0].value / _LIKE <= value <= source.torques[0].value * _LIKE:
        draft.how.append(f"note {at + 1}: the same as on {source.name()}, but {value:g}: no value was taken over")
        return
    old = source.torques[0]
    nm = old.nm * value / old.value if old.nm is not None and old.value else None
    new = replace(on_note(old, at), value=value, nm=nm, low=None, high=None, heard=(), angle_heard=(), replaces=None)
    draft.torques.append(new)
    draft.how.append(f"note {at + 1}: {said(new)}: as on {source.name()}, but for the value")


def copy_values(source: Draft, draft: Draft, at: int, *, latest_only: bool) -> None:
    """The model's torques and turns; only those of its last note when the copy has values already."""
    last = max((note or 0 for note in (*(t.note for t in source.torques), *(a.note for a in source.angles))), default=0)
    for torque in source.torques:
        if latest_only and (torque.note or 0) != last:
            continue
        if not any(same_torque(t, torque) for t in draft.torques):
            draft.torques.append(replace(on_note(torque, at), heard=(), angle_heard=(), replaces=None))
            draft.how.append(f"note {at + 1}: {said(torque)}, as on {source.name()}")
    for angle in source.angles:
        if not (latest_only and (angle.note or 0) != last) and not any(a.angle_deg == angle.angle_deg for a in draft.angles):
            draft.angles.append(replace(angle, heard=(), note=at))


def without_stages(source: Draft, stages: set[int]) -> Draft:
    """The model without the stages that differ, so that only the others are copied; nothing of a model whose stages were not told."""
    kept = [t for t in source.torques if t.stage and t.stage not in stages]
    return replace(source, torques=kept, angles=[a for a in source.angles if a.stage and a.stage not in stages])
