"""Turns: after a torque in the same breath they are its angle, else a fact of their own."""

from __future__ import annotations

from gudgeon.facts.drafts import AngleDraft, TorqueDraft
from gudgeon.facts.stages import Stage
from gudgeon.facts.wordset import word_set
from gudgeon.facts.work import Work
from gudgeon.notes import Quantity

REACH = 4
SIZE_WORDS = word_set("timing btdc atdc camber castor caster dwell advance")


def find_angles(work: Work, torques: list[TorqueDraft], stages: list[Stage]) -> list[AngleDraft]:
    """Turns that stand alone; a turn that follows a torque is set as its ``angle_deg``."""
    angles = []
    for at in sorted(work.quantities):
        quantity = work.quantities[at]
        if quantity.family not in ("angle", "turn") or quantity.unsure or at in work.taken.by or work.scopes.unreal(at) or work.scopes.chatter[at]:
            continue
        degrees = quantity.value * (360.0 if quantity.family == "turn" else 1.0)
        if not 0 < degrees <= 1080 or _is_backing_off(work, at) or _is_a_size(work, quantity):
            continue
        owner = _torque_before(work, torques, stages, at)
        if owner is not None and owner.angle_deg is None:
            owner.angle_deg, owner.span_end = round(degrees, 6), quantity.end
        elif _is_a_turn(work, quantity, stages):
            row = f" ({quantity.hit.row})" if quantity.hit else ""
            angles.append(AngleDraft(at, quantity.end, round(degrees, 6), f"angles:turned-further{row}"))
        else:
            continue
        work.used.update(range(at, quantity.end))
    return angles


def _cue_before(work: Work, at: int, role: str) -> bool:
    return any(
        hit.end <= at and at - hit.end < REACH and work.note.sentence[hit.start] == work.note.sentence[at] for hit in work.note.of("turns", role=role)
    )


def _is_backing_off(work: Work, at: int) -> bool:
    """Whether something was backed off by this turn."""
    note = work.note
    for hit in note.of("turns", role="off"):
        if hit.end <= at and at - hit.end < REACH and note.sentence[hit.start] == note.sentence[at] and hit.row.phrase != "back":
            return True
    return note.word(work.quantities[at].end) in ("back", "off", "out") and note.word(work.quantities[at].end + 1) != "on"


def _is_a_size(work: Work, quantity: Quantity) -> bool:
    number = work.note.sentence[quantity.at]
    near = [h for h in work.note.hits.get("quantities", ()) if work.note.sentence[h.start] == number and abs(h.start - quantity.at) < 10]
    return any(h.row["family"] == quantity.family for h in near) or any(w in SIZE_WORDS for w in work.note.norms[quantity.end : quantity.end + 2])


def _torque_before(work: Work, torques: list[TorqueDraft], stages: list[Stage], at: int) -> TorqueDraft | None:
    """The torque in whose breath the turn was said."""
    note = work.note
    before = [t for t in torques if t.end <= at and note.sentence[t.at] == note.sentence[at]]
    if not before:
        return None
    last = before[-1]
    if any(last.end <= s.start and s.end <= at for s in stages):
        return None
    gap = at - last.end
    if gap <= 2 or _cue_before(work, at, "plus") or _cue_before(work, at, "more") or note.word(at - 1) in ("then", "and", "a"):
        return last
    return None


def _is_a_turn(work: Work, quantity: Quantity, stages: list[Stage]) -> bool:
    note, at = work.note, quantity.at
    if _cue_before(work, at, "more") or _cue_before(work, at, "plus"):
        return _work_about(work, at)
    if any(h.row["role"] == "more" and " " in h.row.phrase for h in note.starting("turns", quantity.end)):
        return True
    if any(w in ("past", "beyond") for w in note.norms[quantity.end : quantity.end + 4]):
        return True
    after = note.norms[quantity.end : quantity.end + 3]
    if any(w in ("more", "further", "extra", "again") for w in after):
        return _work_about(work, at)
    if any(s.end <= at and at - s.end < REACH for s in stages):
        return True
    return quantity.family == "turn" and any(t.kind == "fastener" and note.clause[t.start] == note.clause[at] for t in work.things)


def _work_about(work: Work, at: int) -> bool:
    """Whether the note speaks of work, so that degrees are no weather."""
    if any(t.kind in ("fastener", "noun", "tool") for t in work.things) or work.verbs:
        return True
    return work.note.word(work.quantities[at].end) in ("", ".", ",", "on", "more", "each", "further") and not any(work.scopes.chatter)
