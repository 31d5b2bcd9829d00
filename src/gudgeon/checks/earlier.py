"""Earlier sessions: the same joint and stage with another value is a clash."""

from __future__ import annotations

from collections.abc import Iterator

from gudgeon.checks.case import Case
from gudgeon.checks.torques import newton_metres
from gudgeon.checks.words import said, torque_words
from gudgeon.domain import Finding, PastValue
from gudgeon.entries import joint_key

_SAME = 0.01
"""Values closer than 1 % are the same: two units rounded differ by as much."""


def clash(case: Case) -> Iterator[Finding]:
    """Another value at the same joint and stage, not superseded, named by session, date and value. The last value of a stage stands."""
    if case.entry.part is None or not case.past:
        return
    mine = joint_key(case.entry.part, case.entry.place, case.entry.fastener)
    past = [p for p in case.past if joint_key(p.part, p.place, p.fastener) == mine]
    last = {torque.stage: torque for torque in case.entry.torques}
    for stage, torque in last.items():
        nm = newton_metres(torque)
        for other in past:
            if other.stage == stage and _differ(nm, torque.value, other):
                value = torque_words(other.value, other.unit)
                when = f"session {other.session} of {other.date}"
                reason = f"{said(torque)} now, but {value} in {when}, at the same joint{f' and stage {stage}' if stage else ''}."
                yield Finding(code="clash", reason=reason, reference=when)


def _differ(nm: float | None, value: float, other: PastValue) -> bool:
    if (nm is None) != (other.nm is None):
        return False
    one, two = (value, other.value) if nm is None or other.nm is None else (nm, other.nm)
    return abs(one - two) > _SAME * max(abs(one), abs(two))
