"""Earlier sessions: the same joint and stage with another value is a clash."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Sequence
from functools import lru_cache

from gudgeon.checks.case import Case
from gudgeon.checks.words import newton_metres, said, torque_words
from gudgeon.domain import Finding, PastValue, TorqueDone
from gudgeon.entries import ByIdentity, joint_key

_SAME = 0.01
"""Values closer than 1 % are the same: two units rounded differ by as much."""


def clash(case: Case) -> Iterator[Finding]:
    """Another value at the same joint and stage, not superseded, named by session, date and value. The last value of a stage stands."""
    if case.entry.part is None or not case.past:
        return
    mine = joint_key(case.entry.part, case.entry.place, case.entry.fastener)
    past = _of_joint(case.past, mine)
    if not past:
        return
    last = {torque.stage: torque for torque in case.entry.torques}
    for stage, torque in last.items():
        nm = newton_metres(torque)
        for other in past:
            if other.stage == stage and _differ(nm, torque.value, other):
                value = torque_words(other.value, other.unit)
                when = f"session {other.session} of {other.date}"
                reason = f"{said(torque)} now, but {value} in {when}, at the same joint{f' and stage {stage}' if stage else ''}."
                yield Finding(code="clash", reason=reason, reference=when)


def said_before(case: Case, torque: TorqueDone) -> bool:
    """Whether an earlier session has the same value at the same joint and stage."""
    nm = newton_metres(torque)
    if case.entry.part is None or nm is None or not case.past:
        return False
    past = _of_joint(case.past, joint_key(case.entry.part, case.entry.place, case.entry.fastener))
    return any(p.stage == torque.stage and p.nm is not None and not _differ(nm, torque.value, p) for p in past)


def counted_before(case: Case) -> int:
    """How many fasteners of the joint got the same value in the earlier session that has it last, as far as it was said."""
    if case.entry.part is None or not case.entry.torques or not case.past:
        return 0
    torque, nm = case.entry.torques[-1], newton_metres(case.entry.torques[-1])
    past = _of_joint(case.past, joint_key(case.entry.part, case.entry.place, case.entry.fastener))
    return sum(p.count or 0 for p in past if p.stage == torque.stage and not _differ(nm, torque.value, p))


def stages_before(case: Case) -> set[int]:
    """The stages that earlier sessions put on the joint."""
    if case.entry.part is None or not case.past:
        return set()
    past = _of_joint(case.past, joint_key(case.entry.part, case.entry.place, case.entry.fastener))
    return {p.stage for p in past if p.stage is not None}


def _of_joint(past: Sequence[PastValue], key: str) -> Sequence[PastValue]:
    """The past values of one joint; a tuple is indexed once, a list (which may change) is gone through."""
    if isinstance(past, tuple):
        return _index(ByIdentity(past)).get(key, ())
    return [p for p in past if joint_key(p.part, p.place, p.fastener) == key]


@lru_cache(maxsize=4)
def _index(same: ByIdentity[tuple[PastValue, ...]]) -> dict[str, list[PastValue]]:
    found: dict[str, list[PastValue]] = defaultdict(list)
    for value in same.of:
        found[joint_key(value.part, value.place, value.fastener)].append(value)
    return dict(found)


def _differ(nm: float | None, value: float, other: PastValue) -> bool:
    if (nm is None) != (other.nm is None):
        return False
    one, two = (value, other.value) if nm is None or other.nm is None else (nm, other.nm)
    return abs(one - two) > _SAME * max(abs(one), abs(two))
