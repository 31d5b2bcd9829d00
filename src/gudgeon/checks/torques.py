"""The verdict on each torque of an entry: the first that holds of unit not said, unlikely, over, under, within, no reference."""

from __future__ import annotations

from gudgeon.checks.against_sheet import Held, hold, hold_angle, if_unit_were
from gudgeon.checks.bears import ABSURD_NM, Bears
from gudgeon.checks.case import Case
from gudgeon.checks.earlier import said_before
from gudgeon.checks.stages import has_torque
from gudgeon.checks.words import figure, newton_metres, row_words, said, turned
from gudgeon.domain import AngleDone, TorqueDone, Verdict

UNIT_NOT_SAID, UNLIKELY, OVER, UNDER, WITHIN, NO_REFERENCE = "unit not said", "unlikely", "over", "under", "within", "no reference"


def torque_verdicts(case: Case) -> tuple[Verdict, ...]:
    """One verdict a torque, in order, then one for each turn said by itself that the sheet asks for."""
    can_bear = case.can_bear
    torques = tuple(_verdict(case, index, torque, can_bear) for index, torque in enumerate(case.entry.torques))
    angles = tuple(verdict for angle in case.entry.angles if (verdict := _angle_verdict(case, angle)))
    return torques + angles


def _verdict(case: Case, index: int, torque: TorqueDone, can_bear: Bears | None) -> Verdict:
    nm = newton_metres(torque)
    if nm is None:
        return _unit_not_said(case, index, torque)
    held = hold(case, index, nm)
    unlikely = _unlikely(case, torque, nm, held)
    if unlikely:
        return Verdict(code=UNLIKELY, of=said(torque), torque=index, reason=unlikely[0], reference=unlikely[1], sum=unlikely[2])
    if held.code == NO_REFERENCE:
        return Verdict(
            code=NO_REFERENCE,
            of=said(torque),
            torque=index,
            reason=held.reason + _plausible(nm, can_bear),
            reference=row_words(held.row) if held.row else can_bear.limit.reference if can_bear else "",
            sum=can_bear.limit.how if can_bear else "",
        )
    return Verdict(code=held.code, of=said(torque), torque=index, reason=held.reason, reference=row_words(held.row) if held.row else "", sum=held.sum)


def _unit_not_said(case: Case, index: int, torque: TorqueDone) -> Verdict:
    row = case.assigned[index].row
    more = if_unit_were(torque.value, row) if row and has_torque(row) else ""
    return Verdict(
        code=UNIT_NOT_SAID,
        of=said(torque),
        torque=index,
        reason=f"{torque.value:g} was said without a unit, and none is guessed{more}.",
        reference=row_words(row) if row else "",
    )


def _unlikely(case: Case, torque: TorqueDone, nm: float, held: Held) -> tuple[str, str, str] | None:
    """(reason, reference, sum) when the value is beyond what can be; a guess from the wrench never overrules the sheet or the past."""
    if nm > ABSURD_NM or nm <= 0:
        return f"{said(torque)} is no torque that a machine's fastener takes.", "common practice, no source", f"{figure(nm)} N·m"
    can_bear = case.can_bear
    if can_bear is None or nm <= can_bear.limit.nm:
        return None
    judged = held.code in {OVER, UNDER, WITHIN} or said_before(case, torque)
    if judged and can_bear.by == "tool":
        return None
    if held.code == WITHIN and not can_bear.limit.sure:
        return None
    sheet = " The sheet asks for it all the same: one of the two is wrong, and the maker's manual decides." if held.code == WITHIN else ""
    guess = f" That rests on a guess: {can_bear.guess}." if can_bear.guess else ""
    reason = f"{said(torque)} is more than the fastener can bear: {can_bear.limit.what}.{guess}{sheet}"
    return reason, can_bear.limit.reference, f"{figure(nm)} N·m against {figure(can_bear.limit.nm)} N·m ({can_bear.limit.how})"


def _plausible(nm: float, can_bear: Bears | None) -> str:
    if can_bear is None:
        return ""
    guess = f", and {can_bear.guess}" if can_bear.guess else ""
    return f" It is plausible all the same: {can_bear.limit.what}{guess} (computed, no specification)."


def _angle_verdict(case: Case, angle: AngleDone) -> Verdict | None:
    held = hold_angle(case, angle)
    if held is None:
        return None
    return Verdict(code=held.code, of=turned(angle), reason=held.reason, reference=row_words(held.row) if held.row else "", sum=held.sum)
