"""Which row of its joint each torque is held against; where the talk does not say, nothing is guessed that could judge it wrongly."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from gudgeon.domain import SpecRow, TorqueDone

EXACT, EARLIER_PASS, UNSAID, NONE = "exact", "earlier pass", "stage not said", "none"


@dataclass(frozen=True, slots=True)
class Assigned:
    """``mode`` is exact (compare with ``row``), earlier pass (``row`` is the final value), stage not said (several rows may be meant), or none."""

    mode: str
    row: SpecRow | None = None
    why: str = ""


def stage_of(row: SpecRow, rows: Sequence[SpecRow]) -> int:
    """A row's stage: as the sheet says, else its place in the joint's order."""
    return row.stage if row.stage is not None else rows.index(row) + 1


def has_torque(row: SpecRow) -> bool:
    """Whether a row asks for a torque, or a range of it."""
    return row.torque is not None or row.low is not None or row.high is not None


def assign(torques: Sequence[TorqueDone], rows: Sequence[SpecRow]) -> tuple[Assigned, ...]:
    """One Assigned a torque, in the torques' order."""
    asked = [row for row in rows if has_torque(row)]
    if not asked:
        return tuple(Assigned(NONE, why="the sheet asks for no torque here") for _ in torques)
    if len(asked) == 1:
        return tuple(_single(torque, asked[0], rows) for torque in torques)
    in_order = len(torques) == len(asked) and all(torque.stage is None for torque in torques)
    if in_order:
        return tuple(Assigned(EXACT, row, "taken in the order they were said") for row in asked)
    return tuple(_of_several(torque, asked, rows) for torque in torques)


def _single(torque: TorqueDone, row: SpecRow, rows: Sequence[SpecRow]) -> Assigned:
    if torque.stage is None or torque.stage == row.stage:
        return Assigned(EXACT, row)
    if row.stage is None and len(rows) == 1:
        return Assigned(EARLIER_PASS, row, "the sheet gives only the final value")
    if row.stage is None:
        return (
            Assigned(EXACT, row) if stage_of(row, rows) == torque.stage else Assigned(NONE, why=f"the sheet has no torque for stage {torque.stage}")
        )
    return Assigned(NONE, why=f"the sheet has no torque for stage {torque.stage}")


def _of_several(torque: TorqueDone, asked: Sequence[SpecRow], rows: Sequence[SpecRow]) -> Assigned:
    if torque.stage is None:
        return Assigned(UNSAID, why="the sheet has several stages, and which one was not said")
    for row in asked:
        if stage_of(row, rows) == torque.stage:
            return Assigned(EXACT, row)
    return Assigned(NONE, why=f"the sheet has no stage {torque.stage}")
