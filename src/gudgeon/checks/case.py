"""What every check is given: one entry with its joint of the sheet, the past, the trade and the owner's wrenches, put side by side."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date

from gudgeon.checks.bears import Bears, bears, first
from gudgeon.checks.stages import Assigned, assign
from gudgeon.domain import Entry, PastValue, SpecRow, SpecSheet
from gudgeon.entries import Match, find_joint
from gudgeon.trade import Trade, Wrench


@dataclass(frozen=True, slots=True, kw_only=True)
class Case:
    """One entry to judge. ``rows`` are the joint's rows in stage order; ``assigned`` says, per torque, which row it is held against."""

    entry: Entry
    sheet: SpecSheet | None
    match: Match
    rows: tuple[SpecRow, ...]
    assigned: tuple[Assigned, ...]
    past: Sequence[PastValue]
    trade: Trade
    can_bear: Bears | None
    wrenches: Sequence[Wrench] = ()
    today: date | None = None

    @property
    def row(self) -> SpecRow | None:
        """The joint's first row, which names what all stages share."""
        return self.rows[0] if self.rows else None

    def thread(self) -> str | None:
        """The thread that was said, else the sheet's."""
        return self.entry.thread or first(self.rows, "thread")

    def grade(self) -> str | None:
        """The grade that was said, else the sheet's."""
        return self.entry.grade or first(self.rows, "grade")

    def shared(self, name: str) -> str | None:
        """A text column of the joint's rows: the first one filled in."""
        return first(self.rows, name)


def build_case(
    entry: Entry,
    *,
    sheet: SpecSheet | None,
    past: Sequence[PastValue],
    trade: Trade,
    wrenches: Sequence[Wrench] = (),
    today: date | None = None,
    learnt: Mapping[str, str] | None = None,
) -> Case:
    """Match the entry to the sheet and each torque to a row."""
    match = find_joint(entry, sheet, learnt=learnt) if sheet else Match(None, 0.0, "there is no spec sheet")
    rows = match.group.rows if match.group else ()
    assigned = assign(entry.torques, rows)
    can_bear = bears(entry, rows, trade) if entry.torques or rows else None
    return Case(
        entry=entry,
        sheet=sheet,
        match=match,
        rows=rows,
        assigned=assigned,
        past=past,
        trade=trade,
        can_bear=can_bear,
        wrenches=wrenches,
        today=today,
    )
