"""A torque against its row of the spec sheet: within, under, over, or why it cannot be said."""

from __future__ import annotations

from dataclasses import dataclass

from gudgeon.checks import stages
from gudgeon.checks.case import Case
from gudgeon.checks.words import figure, said, torque_words, turned, unit_words, wanted
from gudgeon.domain import AngleDone, SpecRow, TorqueDone
from gudgeon.units import convert, to_nm

SMALL_NM = 10.0
SMALL_PERCENT, LARGE_PERCENT = 6.0, 4.0
ANGLE_DEG = 5.0
_HAIR = 1e-9


@dataclass(frozen=True, slots=True)
class Held:
    """How a value stands to the sheet: ``code`` within, under, over, or no reference; the sentence, the sum and the row it was held against."""

    code: str
    reason: str
    row: SpecRow | None = None
    sum: str = ""


@dataclass(frozen=True, slots=True)
class Limits:
    """What a row allows, in newton metres; ``how`` says in words where the tolerance is from ("" for the row's own range), ``short`` briefly."""

    low_nm: float
    high_nm: float
    how: str
    short: str


def limits_of(row: SpecRow) -> Limits:
    """The row's own range, else its value with its own tolerance, else with the rule of thumb: 4 %, or 6 % at 10 N·m and below.

    The rule of thumb is what ISO 6789 asks of an adjustable wrench (type II class A), as a tool maker's summary gives it; it is no tolerance
    of the joint.
    """
    unit = row.unit or "N*m"
    if row.low is not None or row.high is not None:
        low = to_nm(row.low, unit) if row.low is not None else 0.0
        high = to_nm(row.high, unit) if row.high is not None else float("inf")
        return Limits(low, high, "", "the sheet's own range")
    nm = to_nm(row.torque or 0.0, unit)
    if row.tolerance_percent is not None:
        percent, how = row.tolerance_percent, f"the sheet's own ±{row.tolerance_percent:g} %"
        short = how
    else:
        percent = SMALL_PERCENT if nm <= SMALL_NM + _HAIR else LARGE_PERCENT
        how = f"±{percent:g} %, a rule of thumb (it really depends on the wrench: ISO 6789)"
        short = f"±{percent:g} %, a rule of thumb"
    return Limits(nm * (1 - percent / 100), nm * (1 + percent / 100), how, short)


def compare(nm: float, row: SpecRow) -> str:
    """``under``, ``within`` or ``over`` of a value in newton metres against a row."""
    allowed = limits_of(row)
    if nm < allowed.low_nm * (1 - _HAIR) - _HAIR:
        return "under"
    return "over" if nm > allowed.high_nm * (1 + _HAIR) else "within"


def hold(case: Case, index: int, nm: float) -> Held:
    """The torque at ``index`` of the entry, in newton metres, against what the sheet asks."""
    assigned = case.assigned[index]
    if assigned.mode == stages.EXACT and assigned.row:
        return _exact(case, index, nm, assigned.row, assigned.why)
    if assigned.mode == stages.EARLIER_PASS and assigned.row:
        return _earlier_pass(case, index, nm, assigned.row)
    if assigned.mode == stages.UNSAID:
        return _unsaid(case, index, nm)
    value = said(case.entry.torques[index])
    if case.sheet is None:
        return Held("no reference", f"There is no spec sheet to hold {value} against.")
    why = assigned.why if case.rows else case.match.why
    return Held("no reference", f"Nothing in the sheet to hold {value} against: {why}.")


def _exact(case: Case, index: int, nm: float, row: SpecRow, why: str) -> Held:
    torque = case.entry.torques[index]
    code = _code(torque, nm, row)
    held = Held(code, _sentence(torque, row, code) + (f" ({why})" if why else "") + ".", row, _sum(torque, nm, row))
    if code == "within" and row.angle_deg:
        return _with_angle(case, torque, row, held)
    later = case.entry.torques[index + 1 :]
    if code == "under" and any(case.assigned[index + 1 + n].row is row for n in range(len(later))):
        return Held(
            "no reference", f"{said(torque)} is below the sheet's {wanted(row)}, but a later value of the same joint stands in its place.", row
        )
    return held


def _sentence(torque: TorqueDone, row: SpecRow, code: str) -> str:
    agrees = "agrees with" if row.low is None and row.high is None else "lies within"
    word = {"within": agrees, "under": "is under", "over": "is over"}[code]
    how = limits_of(row).how
    value = said(torque)
    if torque.low is not None and torque.high is not None and code != "within":
        value = f"{value}, said as {torque.low:g} to {torque.high:g},"
    return f"{value} {word} the sheet's {wanted(row)}" + (f", allowing {how}" if how else "")


def _code(torque: TorqueDone, nm: float, row: SpecRow) -> str:
    """The verdict of a value, or of a range that was said: its high end may not be over, nor its low end under."""
    if torque.low is None or torque.high is None or torque.unit is None:
        return compare(nm, row)
    low, high = compare(to_nm(torque.low, torque.unit), row), compare(to_nm(torque.high, torque.unit), row)
    return "over" if high == "over" else "under" if low == "under" else "within"


def _sum(torque: TorqueDone, nm: float, row: SpecRow) -> str:
    allowed = limits_of(row)
    high = "no upper end" if allowed.high_nm == float("inf") else f"{figure(allowed.high_nm)} N·m"
    value = f"{said(torque)} = {figure(nm)} N·m; " if torque.unit != "N*m" else ""
    return f"{value}allowed {figure(allowed.low_nm)} to {high} ({allowed.short})"


def _with_angle(case: Case, torque: TorqueDone, row: SpecRow, held: Held) -> Held:
    """The torque is right; the turn that goes with it is compared when one was said."""
    turn = torque.angle_deg if torque.angle_deg is not None else _turn_said(case, torque)
    asked = row.angle_deg or 0.0
    if turn is None:
        return Held("within", held.reason[:-1] + f"; the further {asked:g}° that the sheet asks for was not said.", row, held.sum)
    if abs(turn - asked) <= ANGLE_DEG:
        return Held("within", held.reason[:-1] + f", and the turn of {turn:g}° is the sheet's {asked:g}°.", row, held.sum)
    code = "under" if turn < asked else "over"
    return Held(
        code,
        f"The torque is right, but the turn of {turn:g}° is {code} the sheet's {asked:g}° (±{ANGLE_DEG:g}° allowed, common practice).",
        row,
        held.sum,
    )


def _turn_said(case: Case, torque: TorqueDone) -> float | None:
    same = [angle for angle in case.entry.angles if angle.stage == torque.stage] or [angle for angle in case.entry.angles if angle.stage is None]
    asked = sum(1 for row in case.rows if row.angle_deg)
    return same[-1].angle_deg if same and (asked == 1 or same[-1].stage is not None) else None


def _earlier_pass(case: Case, index: int, nm: float, row: SpecRow) -> Held:
    torque = case.entry.torques[index]
    code = compare(nm, row)
    if code != "under":
        return _exact(case, index, nm, row, f"stage {torque.stage}; the sheet gives only the final value")
    last = max(t.stage or 0 for t in case.entry.torques)
    if torque.stage == 1 or torque.stage != last:
        return Held("no reference", f"{said(torque)} is stage {torque.stage}, below the sheet's final {wanted(row)}, as an earlier stage is.", row)
    return Held("under", f"{said(torque)}, the last stage that was said, is under the sheet's final {wanted(row)}.", row, _sum(torque, nm, row))


def _unsaid(case: Case, index: int, nm: float) -> Held:
    torque = case.entry.torques[index]
    asked = [row for row in case.rows if stages.has_torque(row)]
    fits = [row for row in asked if compare(nm, row) == "within"]
    if fits:
        return _exact(case, index, nm, fits[-1], f"which stage was not said; the value is that of stage {stages.stage_of(fits[-1], case.rows)}")
    if all(compare(nm, row) == "over" for row in asked):
        return Held("over", f"{said(torque)} is over every stage of the sheet ({'; '.join(wanted(row) for row in asked)}).", asked[-1])
    return Held(
        "no reference",
        f"Which stage {said(torque)} was is not said, and it is none of the sheet's ({'; '.join(wanted(row) for row in asked)}).",
        None,
    )


def hold_angle(case: Case, angle: AngleDone) -> Held | None:
    """A turn said by itself against a row that asks for a turn alone; None when no such row is certain."""
    alone = [row for row in case.rows if row.angle_deg and not stages.has_torque(row)]
    if angle.stage is not None:
        alone = [row for row in alone if stages.stage_of(row, case.rows) == angle.stage]
    if len(alone) != 1:
        return None
    asked = alone[0].angle_deg or 0.0
    if abs(angle.angle_deg - asked) <= ANGLE_DEG:
        return Held("within", f"{turned(angle)} is the sheet's {asked:g}° (±{ANGLE_DEG:g}° allowed, common practice).", alone[0])
    code = "under" if angle.angle_deg < asked else "over"
    return Held(code, f"{turned(angle)} is {code} the sheet's {asked:g}° (±{ANGLE_DEG:g}° allowed, common practice).", alone[0])


def if_unit_were(value: float, row: SpecRow) -> str:
    """What a value without a unit would be against a row, in each unit that would fit, for the reason of ``unit not said``."""
    fits = [unit for unit in ("N*m", "lbf*ft", "lbf*in", "kgf*m") if compare(to_nm(value, unit), row) == "within"]
    if fits:
        return f"; it would be within the sheet's {wanted(row)} if it was {' or '.join(unit_words(unit) for unit in fits)}"
    in_row = torque_words(round(convert(row.torque, row.unit, "N*m"), 2), "N*m") if row.torque is not None and row.unit else wanted(row)
    return f"; in no unit would it be the sheet's {wanted(row)}" + (f" ({in_row})" if row.unit != "N*m" and row.torque is not None else "")
