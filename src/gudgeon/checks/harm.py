"""What may do harm: a figure in the wrong unit, a value high for its bolt, a thread that was stripped or may strip."""

from __future__ import annotations

from collections.abc import Iterator

from gudgeon.checks.against_sheet import compare, limits_of
from gudgeon.checks.case import Case
from gudgeon.checks.stages import EXACT
from gudgeon.checks.words import figure, newton_metres, row_words, said, torque_words, wanted
from gudgeon.domain import BadInput, Finding, SpecRow, TorqueDone
from gudgeon.trade import bearing_or_guess, engagement_needed_mm, insert_plan, mix_ups, preload_from_torque_n

_PLAUSIBLE_SHARE = 0.15
"""A torque under this share of what yields the bolt is too low to be what was meant, in the search for another unit."""
_STRIPPED = {"stripped", "cross-threaded"}


def unit_mix_up(case: Case) -> Iterator[Finding]:
    """A value that is wrong and would be right, or at least possible, in another unit."""
    for torque, assigned in zip(case.entry.torques, case.assigned, strict=True):
        nm = newton_metres(torque)
        if nm is None or torque.unit is None:
            continue
        if assigned.mode == EXACT and assigned.row:
            yield from _against_row(torque, nm, assigned.row)
        elif not case.rows:
            yield from _against_bolt(case, torque, nm)


def _against_row(torque: TorqueDone, nm: float, row: SpecRow) -> Iterator[Finding]:
    if compare(nm, row) == "within":
        return
    allowed = limits_of(row)
    high = allowed.high_nm if allowed.high_nm != float("inf") else 2 * max(allowed.low_nm, 1.0)
    for other in mix_ups(torque.value, torque.unit or "", low_nm=allowed.low_nm, high_nm=high):
        value = torque_words(torque.value, other.unit)
        asked = "" if wanted(row) == value else f" (the sheet has {wanted(row)})"
        reason = f"{said(torque)} is wrong, but {value} would be right{asked}: was the unit mixed up?"
        sums = (f"{words} = {figure(newtons)} N·m" for words, newtons in ((value, other.nm), (said(torque), nm)) if not words.endswith(" N·m"))
        yield Finding(code="unit-mix-up", reason=reason, reference=row_words(row), sum="; ".join(sums))


def _against_bolt(case: Case, torque: TorqueDone, nm: float) -> Iterator[Finding]:
    can_bear = case.can_bear
    if can_bear is None or nm <= can_bear.limit.nm:
        return
    others = mix_ups(torque.value, torque.unit or "", low_nm=_PLAUSIBLE_SHARE * can_bear.limit.nm, high_nm=can_bear.limit.nm)
    if others:
        values = " or ".join(f"{torque_words(torque.value, other.unit)} ({figure(other.nm)} N·m)" for other in others)
        reason = f"{said(torque)} is more than the fastener can bear; {values} would be possible: was the unit mixed up?"
        yield Finding(code="unit-mix-up", reason=reason, reference=can_bear.limit.reference, sum=can_bear.limit.how)


def above_usual(case: Case) -> Iterator[Finding]:
    """Not beyond what the bolt bears, but above the usual torque for its grade and friction, with no sheet that asks for it."""
    if case.rows or not case.grade():
        return
    can_bear = case.can_bear
    if can_bear is None or can_bear.limit.usual_nm is None:
        return
    usual = can_bear.limit.usual_nm
    for torque in case.entry.torques:
        nm = newton_metres(torque)
        if nm is not None and usual * 1.1 < nm <= can_bear.limit.nm:
            reason = (
                f"{said(torque)} is above the {figure(usual)} N·m that the computation gives as usual; if the thread is oiled it may yield the bolt."
            )
            yield Finding(code="above-usual", reason=reason, reference=can_bear.limit.reference, sum=can_bear.limit.how)


def sheet_beyond_bolt(case: Case) -> Iterator[Finding]:
    """The sheet's own value is more than the strongest usual bolt of that thread bears."""
    can_bear = case.can_bear
    if can_bear is None or can_bear.by != "thread":
        return
    for row in case.rows:
        allowed = limits_of(row) if row.torque is not None or row.high is not None else None
        if allowed and can_bear.limit.nm < allowed.low_nm:
            reason = f"The sheet's {wanted(row)} is more than the fastener can bear: {can_bear.limit.what}. Has the sheet the right thread and value?"
            yield Finding(code="sheet-unlikely", reason=reason, reference=row_words(row), sum=can_bear.limit.how)


def stripped(case: Case) -> Iterator[Finding]:
    """A stripped thread: drill, tap and lengths of an insert are offered."""
    if not _STRIPPED & set(case.entry.conditions):
        return
    what = "The thread was found stripped" if "stripped" in case.entry.conditions else "The fastener was found cross-threaded"
    thread = next(iter(case.trade.threads_of(case.thread() or "")), None)
    if thread is None:
        yield Finding(code="stripped-thread", reason=f"{what}; say its thread, and the insert's drill, tap and lengths are offered.")
        return
    try:
        plan = insert_plan(thread, case.trade.inserts.get(thread.name))
    except BadInput as bad:
        yield Finding(code="stripped-thread", reason=f"{what}. {bad.happened}")
        return
    lengths = ", ".join(f"{mm:g} ({by:g} d)" for by, mm in plan.lengths_mm[:3])
    reason = f"{what}. A wire-thread insert for {plan.thread} takes a drill of {plan.drill_mm:g} mm, the tap {plan.tap}, and comes {lengths} mm long."
    yield Finding(code="stripped-thread", reason=reason, reference=f"computed; {plan.source}", sum=f"least hole d + 0.2165·P = {plan.least_mm:g} mm")


def soft_thread(case: Case) -> Iterator[Finding]:
    """A tapped thread in soft material whose engagement is short, or not known, at this torque."""
    material = case.trade.material(case.shared("material"))
    thread = next(iter(case.trade.threads_of(case.thread() or "")), None)
    values = [nm for torque in case.entry.torques if (nm := newton_metres(torque)) is not None]
    if material is None or not material.soft or thread is None or thread.series == "pipe" or not values:
        return
    row = next(row for row in case.rows if row.material)
    friction = case.trade.frictions["as received"]
    load = preload_from_torque_n(thread, torque_nm=max(values), mu=friction.usual, bearing=bearing_or_guess(case.trade, thread))
    needed = engagement_needed_mm(thread, preload=load, shear_mpa=material.shear_mpa)
    has = next((r.engagement_mm for r in case.rows if r.engagement_mm), None)
    usual = material.engagement_d * thread.diameter_mm
    sum_ = f"{figure(max(values))} N·m pull about {load / 1000:.3g} kN (µ {friction.usual:g}), which strips {needed:.3g} mm of {material.name}"
    if has is not None and needed > 0.8 * has:
        reason = f"{thread.name} in {material.name} is {has:g} mm deep, close to the {needed:.3g} mm that this torque would strip."
        yield Finding(code="thread-may-strip", reason=reason, reference=f"{row_words(row)}; computed; {material.source}", sum=sum_)
    elif has is not None and has < usual:
        reason = f"{thread.name} in {material.name} is {has:g} mm deep; {usual:g} mm ({material.engagement_d:g} d) is usual there."
        yield Finding(code="engagement-short", reason=reason, reference=f"{row_words(row)}; computed; {material.source}", sum=sum_)
