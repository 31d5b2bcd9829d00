"""Values out of bounds of a joint or size that has a later value which is within: they stay listed, and say what came after them."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping, Sequence

from gudgeon.domain import Verdict
from gudgeon.entries import joint_key
from gudgeon.reports import saying
from gudgeon.reports.entry_blocks import Work

Value = tuple[int, str]
"""An entry's number and which of its values is meant."""


def which(work: Work, verdict: Verdict) -> Value:
    """The value that a verdict is of."""
    return work.stored.id, f"torque {verdict.torque}" if verdict.torque is not None else f"size {verdict.measure}"


def later_within(works: Sequence[Work]) -> Mapping[Value, str]:
    """For each value whose joint and stage (or size) was said again later and is within by the last one: that last one, in words."""
    of_key: dict[tuple[str, ...], list[tuple[Work, Verdict]]] = defaultdict(list)
    for work in works:
        for verdict in work.stored.judgement.verdicts:
            if work.stored.entry.part and (key := _key(work, verdict)):
                of_key[key].append((work, verdict))
    found = {}
    for said in of_key.values():
        last, verdict = said[-1]
        if verdict.code == "within":
            for work, earlier in said[:-1]:
                if work.stored.id != last.stored.id:
                    found[which(work, earlier)] = f"{verdict.of} was said later and is within [entry {last.stored.id}]"
    return found


def _key(work: Work, verdict: Verdict) -> tuple[str, ...] | None:
    entry = work.stored.entry
    if verdict.torque is not None and verdict.torque < len(entry.torques):
        return "torque", joint_key(entry.part, entry.place, entry.fastener), str(entry.torques[verdict.torque].stage)
    if verdict.measure is not None and verdict.measure < len(entry.measures):
        return "size", saying.joint(entry), entry.measures[verdict.measure].quantity or ""
    return None
