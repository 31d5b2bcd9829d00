"""How much of the spec sheet is done: per joint, stages and counts, what was skipped, values outside, and values never said."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from gudgeon.checks.against_sheet import hold, hold_angle
from gudgeon.checks.case import Case, build_case
from gudgeon.checks.sizes import limits_for, size_verdicts
from gudgeon.checks.stages import EXACT, has_torque, stage_of
from gudgeon.checks.words import newton_metres, said, size_words, turned, unit_words, wanted
from gudgeon.domain import Entry, SpecRow, SpecSheet
from gudgeon.entries import Group, joints_of
from gudgeon.trade import Trade

DONE, PART_DONE, OUTSIDE, NOT_STARTED = "done", "part done", "outside", "not started"


@dataclass(frozen=True, slots=True, kw_only=True)
class StageProgress:
    """One row of the sheet: ``counted`` fasteners of ``expected`` (None where a count is not known), the values said, and the last one's verdict."""

    stage: int
    line: int
    wanted: str
    expected: int | None
    counted: int | None
    values: tuple[str, ...]
    verdict: str | None


@dataclass(frozen=True, slots=True, kw_only=True)
class JointProgress:
    """One joint of the sheet. ``state`` is done, part done, outside or not started; sentences name what was skipped, outside and never said."""

    name: str
    state: str
    stages: tuple[StageProgress, ...]
    skipped: tuple[str, ...]
    outside: tuple[str, ...]
    never_said: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class SizeProgress:
    """One size row of the sheet: the values said of it and the last one's verdict, None when none was said."""

    name: str
    line: int
    wanted: str
    values: tuple[str, ...]
    verdict: str | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Progress:
    """All joints and size rows of a sheet, in the sheet's order, and how many are done: of sizes, those last measured within."""

    joints: tuple[JointProgress, ...]
    sizes: tuple[SizeProgress, ...]
    done: int
    total: int


@dataclass(frozen=True, slots=True, kw_only=True)
class RowValue:
    """A value said for a row of the sheet: in words, its verdict, the fasteners it was for, and whether all were said to be done.

    ``entry`` counts the entries as they were added, from 0; ``torque`` is the index among its torques and ``nm`` the torque in newton metres,
    both None for a turn said by itself.
    """

    words: str
    verdict: str
    count: int | None
    complete: bool
    entry: int
    torque: int | None = None
    nm: float | None = None


class Tally:
    """A sheet, and the entries held against it one after the other; ``progress`` may be asked at any time between."""

    def __init__(self, sheet: SpecSheet, *, trade: Trade, learnt: Mapping[str, str] | None = None) -> None:
        self._sheet = sheet
        self._trade = trade
        self._learnt = learnt
        self._entries = 0
        self._of_row: dict[int, list[RowValue]] = defaultdict(list)
        self._of_size: dict[int, list[tuple[str, str]]] = defaultdict(list)
        self._unsure: dict[int, list[str]] = defaultdict(list)

    def add(self, entry: Entry) -> None:
        """Hold one more entry against the sheet."""
        case = build_case(entry, sheet=self._sheet, past=(), trade=self._trade, learnt=self._learnt)
        self._take_torques(case)
        for measure, verdict in zip(entry.measures, size_verdicts(case), strict=True):
            limits = limits_for(case, measure)
            if len(limits) == 1:
                self._of_size[limits[0].line].append((size_words(measure), verdict.code))
        self._entries += 1

    def progress(self) -> Progress:
        """How much of the sheet is done by the entries so far."""
        joints = tuple(_joint(group, self._of_row, self._unsure) for group in joints_of(self._sheet).groups if any(_asks(row) for row in group.rows))
        sizes = tuple(_size(self._sheet, index, self._of_size) for index in range(len(self._sheet.sizes)))
        done = sum(joint.state == DONE for joint in joints) + sum(size.verdict == "within" for size in sizes)
        return Progress(joints=joints, sizes=sizes, done=done, total=len(joints) + len(sizes))

    def values(self, line: int) -> tuple[RowValue, ...]:
        """The values that were held against the row at a line of the sheet, in the order they were added."""
        return tuple(self._of_row.get(line, ()))

    def _take_torques(self, case: Case) -> None:
        entry = case.entry
        for index, torque in enumerate(entry.torques):
            nm = newton_metres(torque)
            held = hold(case, index, nm) if nm is not None else None
            assigned = case.assigned[index]
            if held and held.row and (assigned.mode == EXACT or held.code != "no reference"):
                self._of_row[held.row.line].append(self._value(entry, said(torque), held.code, torque=index, nm=nm))
            elif case.rows and nm is None:
                self._unsure[case.rows[0].line].append(f"{said(torque)} was said without its unit")
            elif case.rows:
                self._unsure[case.rows[0].line].append(f"{said(torque)} could not be told to a stage")
        for angle in entry.angles:
            turn = hold_angle(case, angle)
            if turn and turn.row:
                self._of_row[turn.row.line].append(self._value(entry, turned(angle), turn.code))

    def _value(self, entry: Entry, words: str, code: str, *, torque: int | None = None, nm: float | None = None) -> RowValue:
        return RowValue(words=words, verdict=code, count=entry.count, complete=entry.complete, entry=self._entries, torque=torque, nm=nm)


def progress(entries: Sequence[Entry], sheet: SpecSheet, *, trade: Trade, learnt: Mapping[str, str] | None = None) -> Progress:
    """Hold all entries of a job, oldest first, against its sheet. Counts of several entries add up, to no more than the sheet's."""
    tally = Tally(sheet, trade=trade, learnt=learnt)
    for entry in entries:
        tally.add(entry)
    return tally.progress()


def _joint(group: Group, of_row: Mapping[int, Sequence[RowValue]], unsure: Mapping[int, Sequence[str]]) -> JointProgress:
    stages = tuple(_stage(row, group.rows, of_row.get(row.line, ())) for row in group.rows if _asks(row))
    reached = max((stage.stage for stage in stages if stage.values), default=0)
    missing = [stage for stage in stages if not stage.values]
    first = group.rows[0]
    return JointProgress(
        name=" ".join(word for word in (first.place, first.part, first.fastener) if word),
        state=_state(stages),
        stages=stages,
        skipped=tuple(f"stage {stage.stage}: {stage.wanted}" for stage in missing if stage.stage < reached),
        outside=tuple(f"{stage.values[-1]} is {stage.verdict} {stage.wanted}" for stage in stages if stage.verdict in {"over", "under"})
        + tuple(text for row in group.rows for text in unsure.get(row.line, ())),
        never_said=tuple(stage.wanted for stage in missing),
    )


def _asks(row: SpecRow) -> bool:
    return has_torque(row) or row.angle_deg is not None


def _state(stages: Sequence[StageProgress]) -> str:
    if not any(stage.values for stage in stages):
        return NOT_STARTED
    if any(stage.verdict in {"over", "under"} for stage in stages):
        return OUTSIDE
    full = all(stage.values and (stage.expected is None or stage.counted == stage.expected) for stage in stages)
    return DONE if full else PART_DONE


def _stage(row: SpecRow, rows: tuple[SpecRow, ...], values: Sequence[RowValue]) -> StageProgress:
    expected = row.count or next((other.count for other in rows if other.count), None)
    counts = [value.count for value in values]
    counted: int | None = None
    if expected is not None and any(value.complete and value.count is None for value in values):
        counted = expected
    elif any(count is not None for count in counts):
        counted = sum(count or 0 for count in counts)
    if expected is not None and counted is not None:
        counted = min(counted, expected)
    if expected == 1 and values and counted is None:
        counted = 1
    return StageProgress(
        stage=stage_of(row, rows),
        line=row.line,
        wanted=wanted(row),
        expected=expected,
        counted=counted,
        values=tuple(value.words for value in values),
        verdict=values[-1].verdict if values else None,
    )


def _size(sheet: SpecSheet, index: int, of_size: Mapping[int, Sequence[tuple[str, str]]]) -> SizeProgress:
    limit = sheet.sizes[index]
    values = of_size.get(limit.line, ())
    low, high = (f"{end:g}" if end is not None else "…" for end in (limit.low, limit.high))
    return SizeProgress(
        name=" ".join(word for word in (limit.place, limit.part, limit.quantity) if word),
        line=limit.line,
        wanted=f"{low} to {high} {unit_words(limit.unit)}",
        values=tuple(words for words, _ in values),
        verdict=values[-1][1] if values else None,
    )
