"""Torques: a figure with a unit of torque, or a bare figure that something was tightened to."""

from __future__ import annotations

from gudgeon.facts.applied import is_not_applied
from gudgeon.facts.bare import is_bare, is_tightened, shared_unit
from gudgeon.facts.drafts import TorqueDraft
from gudgeon.facts.predicates import begins_afresh, is_put_on
from gudgeon.facts.wordset import word_set
from gudgeon.facts.work import Work
from gudgeon.notes import Quantity
from gudgeon.units import to_nm

WANTING = word_set("need needs needed want wants requires require")
"""Words right before a torque that is wanted and not done."""
TURNING = word_set("drag preload friction stiction")
WEIGHED = word_set(
    "weigh weighs weighed weighing weight scales cost costs costing price priced paid pay paying quid worth cheap cheaper expensive charged charge "
    "bought sold sell box boxes bag packet pack"
)
"""Words beside which pounds are a weight or money."""
HUNG = word_set("hook crane rope sling scales scale pallet trolley forks jack bench")
"""What a load is put on."""
MOST = 100_000.0
"""A torque above this (in its unit) is no reading of a wrench."""
MOST_NM = 10_000.0
"""A torque above this (in newton metres) is beyond what any hand-held wrench or its multiplier brings on: figures that ran together."""


def find_torques(work: Work) -> list[TorqueDraft]:
    """All torques applied, in order."""
    drafts: list[TorqueDraft] = []
    for at in sorted(work.quantities):
        quantity = work.quantities[at]
        figure_at = _figure_at(work, quantity)
        if figure_at in work.taken.by or quantity.unsure or quantity.value <= 0 or quantity.value > MOST:
            continue
        draft = _read(work, quantity, figure_at)
        if (
            draft is not None
            and draft.unit is None
            and any(d.value == draft.value and work.note.sentence[d.at] == work.note.sentence[draft.at] for d in drafts)
        ):
            continue
        if draft is not None and drafts and _sets_the_wrench(work, draft.at):
            continue
        if draft is not None and not _refused(work, draft, figure_at) and not is_not_applied(work, draft, drafts) and is_put_on(work, draft):
            work.used.update(range(draft.at, draft.end))
            drafts.append(draft)
    return drafts


def _figure_at(work: Work, quantity: Quantity) -> int:
    """The token of the last figure in the quantity, the one that a correction speaks of."""
    for at in range(quantity.end - 1, quantity.at - 1, -1):
        if work.note.kinds[at] == "figure":
            return at
    return quantity.at


def _said_before(work: Work, draft: TorqueDraft, drafts: list[TorqueDraft]) -> bool:
    """ "ninety foot pounds, then rechecked all at ninety": the same again."""
    sentence = work.note.sentence
    return any(d.value == draft.value and sentence[d.at] == sentence[draft.at] for d in drafts)


def _sets_the_wrench(work: Work, at: int) -> bool:
    """ "so set the wrench to sixteen", beside a torque already told: a setting, no torque."""
    wrench = any(t.row["tool"] in ("wrench", "torque wrench") and 0 <= at - t.end <= 3 for t in work.of_kind("tool"))
    return wrench and any(w in ("set", "setting", "dialled", "dialed") for w in work.note.norms[max(0, at - 6) : at])


def _refused(work: Work, draft: TorqueDraft, figure_at: int) -> bool:
    scopes = work.scopes
    if scopes.unreal(draft.at) or scopes.unreal(figure_at):
        return True
    if bool(scopes.negated[draft.at]) and work.taken.replaced(figure_at) is None and begins_afresh(work, draft.at) is None:
        return True
    if not scopes.confirmed and (work.note.word(draft.at - 1) in WANTING or work.note.word(draft.at - 2) in WANTING):
        return True
    if draft.nm is not None and draft.nm > MOST_NM:
        return True
    if work.note.norms[draft.at - 2 : draft.at] == ["on", "all"] and work.note.kind(draft.at - 3) == "figure":
        return True  # "forty eight on all four, newton metres I mean"
    return _gave_way_at(work, draft.at) or _is_drag(work, draft.at)


def _is_drag(work: Work, at: int) -> bool:
    """ "bearing preload 1.2 Nm", "drag on the shaft 2 Nm": what it takes to turn something, no tightening."""
    note = work.note
    near = range(max(note.start_of(note.piece, at), at - 5), at)
    joints = {i for n in work.names for i in range(n.start, n.end - 1)} | {t.start - 1 for t in work.of_kind("fastener")}
    joints |= {n.start - 1 for n in work.names}
    return (
        note.word(at - 1) != "to" and any(note.norms[i] in TURNING and i not in joints for i in near) and not any(v.start in near for v in work.verbs)
    )


def _gave_way_at(work: Work, at: int) -> bool:
    """ "stripped one at thirty newton metres": where it failed, not what it was left at."""
    note = work.note
    if note.word(at - 1) not in ("at", "around", "about"):
        return False
    failed = ("stripped", "broken", "cracked", "rounded", "loose")
    return any(
        h.row["condition"] in failed and 0 < at - h.end <= 5 and note.clause[h.start] == note.clause[at] for h in note.hits.get("conditions", ())
    )


def _read(work: Work, quantity: Quantity, figure_at: int) -> TorqueDraft | None:
    if figure_at in work.passes and quantity.family in (None, "torque"):
        return _pass(work, quantity, figure_at)
    if quantity.family == "torque" and quantity.unit is not None:
        tightened = work.names or work.of_kind("fastener") or is_tightened(work, quantity, strict=True)
        if quantity.hit is not None and quantity.hit.ambiguous and not tightened:
            return None
        rule = "torques:unit-by-sound" if quantity.mended else "torques:figure-unit"
        return _draft(work, quantity, figure_at, quantity.unit, rule + _unit_row(quantity))
    replaced = work.taken.replaced(figure_at)
    if quantity.family is None and replaced is not None:
        before = work.quantity_of(replaced)
        if before is not None and before.family == "torque":
            return _draft(work, quantity, figure_at, before.unit, f"torques:corrected-takes-unit{_unit_row(before)}")
        if before is not None and before.family is None and (shared := shared_unit(work, before, replaced)) is not None:
            return _draft(work, quantity, figure_at, shared, "torques:corrected-takes-shared-unit")
    if quantity.family == "mass" and _is_weighed_or_paid(work, quantity):
        return None
    if quantity.family in ("mass", "force") and quantity.hit is not None and quantity.hit.ambiguous and is_tightened(work, quantity, strict=True):
        if quantity.hit.unit == "N*m":
            return _draft(work, quantity, figure_at, "N*m", f"torques:newtons-where-tightened{_unit_row(quantity)}")
        return _draft(work, quantity, figure_at, None, f"torques:unit-not-said ({quantity.hit.reason})")
    if quantity.family is None and (shared := shared_unit(work, quantity, figure_at)) is not None:
        return _draft(work, quantity, figure_at, shared, "torques:unit-of-the-same-sentence")
    if quantity.family is None and is_bare(work, quantity, figure_at, replaced):
        return _draft(work, quantity, figure_at, None, "torques:tightened-to-figure (no unit was said)")
    return None


def _unit_row(quantity: Quantity) -> str:
    """The table row of the unit, as a rule ends with it."""
    return f" ({quantity.hit.row})" if quantity.hit else ""


def _pass(work: Work, quantity: Quantity, figure_at: int) -> TorqueDraft | None:
    """One of the passes told in a row; the unit, when one was said, stands behind the last."""
    note = work.note
    units = [
        q.unit for q in work.torques_said if note.sentence[q.at] == note.sentence[figure_at] and any(i in work.passes for i in range(q.at, q.end))
    ]
    bolts = any(note.sentence[t.start] == note.sentence[figure_at] for t in work.of_kind("fastener"))
    tightened = any(v.action == "tighten" and note.sentence[v.start] == note.sentence[figure_at] for v in work.verbs)
    elsewhere = any(note.sentence[q.at] == note.sentence[figure_at] for q in work.torques_said)
    if not units and (elsewhere or not (bolts or tightened)):
        return None
    draft = _draft(work, quantity, figure_at, units[-1] if units else None, "torques:passes-in-a-row")
    draft.stage = work.passes[figure_at]
    return draft


def _is_weighed_or_paid(work: Work, quantity: Quantity) -> bool:
    """ "weigh twelve pounds", "twelve pounds a box", "paid ten pounds for the bolts"."""
    note = work.note
    near = note.norms[note.start_of(note.clause, quantity.at) : note.end_of(note.clause, quantity.end - 1)]
    if note.word(quantity.end) == "on" and not HUNG.isdisjoint(note.norms[quantity.end + 1 : quantity.end + 4]):
        return True  # "we put eighty kilos on the hook and the bolts held"
    return bool(WEIGHED & set(near)) or (note.word(quantity.end) in ("a", "per", "an") and note.kind(quantity.end + 1) == "word")


def _draft(work: Work, quantity: Quantity, figure_at: int, unit: str | None, rule: str) -> TorqueDraft:
    unit = _corrected_unit(work, quantity.end) or unit if unit else None
    draft = TorqueDraft(quantity.at, quantity.end, quantity.end, quantity.value, unit, rule, low=quantity.low, high=quantity.high)
    draft.nm = to_nm(quantity.value, unit) if unit else None
    draft.mended = quantity.mended
    replaced = work.taken.replaced(figure_at)
    if replaced is not None and not _said_not(work, replaced):
        before = work.quantity_of(replaced)
        draft.replaces = before.value if before else work.note.tokens[replaced].value
    return draft


def _corrected_unit(work: Work, end: int) -> str | None:
    """ "twelve newton metres sorry foot pounds": another unit of torque right after a cue."""
    note = work.note
    at = end
    while at < len(note.tokens) and at - end < 5:
        hits = note.starting("corrections", at) or note.starting("fillers", at)
        if hits:
            at = hits[0].end
        elif note.kinds[at] == "punct" or note.norms[at] in ("not", "it's", "the"):
            at += 1
        else:
            break
    if at == end or at >= len(note.tokens):
        return None
    hit = work.units.match(note.norms, at)
    return hit.unit if hit is not None and hit.family == "torque" else None


def _said_not(work: Work, at: int) -> bool:
    """ "not forty, it's fifty two": a value denied before the right one was never the speaker's."""
    after = work.taken.by.get(at)
    return work.note.word(at - 1) == "not" and after is not None and after > at
