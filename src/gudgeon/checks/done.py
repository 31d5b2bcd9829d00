"""What was done against what the sheet asks for beside the torque: stages, counts, single-use fasteners, compounds, grades, tools."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise

from gudgeon.checks.case import Case
from gudgeon.checks.earlier import counted_before, stages_before
from gudgeon.checks.stages import EXACT, has_torque, stage_of
from gudgeon.checks.words import row_words, torque_words, unit_words, wanted
from gudgeon.domain import Finding
from gudgeon.entries import tool_size
from gudgeon.trade import read_thread
from gudgeon.units import to_nm

_SLIPPERY = {"oil", "assembly lube", "anti-seize", "grease"}
_SMALL_MM = 6.0


def stage_skipped(case: Case) -> Iterator[Finding]:
    """A later stage was said and an earlier one was not, in this session or before: a later stage alone may be done anew."""
    stages = stages_done(case)
    if not stages:
        return
    before = stages_before(case)
    for row in case.rows:
        stage = stage_of(row, case.rows)
        if stage < max(stages) and stage not in stages and stage not in before:
            yield Finding(
                code="stage-skipped", reason=f"Stage {max(stages)} was said, but stage {stage} ({wanted(row)}) was not.", reference=row_words(row)
            )


def stages_done(case: Case) -> set[int]:
    """The sheet's stages that the entry's torques and turns reached, as far as it is certain which stage they were."""
    done = {stage_of(a.row, case.rows) for a in case.assigned if a.mode == EXACT and a.row}
    alone = [row for row in case.rows if row.angle_deg and not has_torque(row)]
    for angle in case.entry.angles:
        if angle.stage is not None:
            done.add(angle.stage)
        elif len(alone) == 1:
            done.add(stage_of(alone[0], case.rows))
    return done


def stage_order(case: Case) -> Iterator[Finding]:
    """An earlier stage was said after a later one."""
    said = [stage_of(a.row, case.rows) for a in case.assigned if a.mode == EXACT and a.row]
    for before, after in pairwise(said):
        if after < before:
            reason = f"Stage {after} was said after stage {before}: was it done anew, or was a number misheard?"
            yield Finding(code="stage-order", reason=reason, reference=row_words(case.rows[0]))
            return


def stage_not_said(case: Case) -> Iterator[Finding]:
    """The sheet has stages and a torque named none."""
    for torque, assigned in zip(case.entry.torques, case.assigned, strict=True):
        if assigned.mode == "stage not said":
            asked = "; ".join(f"stage {stage_of(row, case.rows)}: {wanted(row)}" for row in case.rows)
            value = torque_words(torque.value, torque.unit)
            yield Finding(
                code="stage-not-said", reason=f"Which stage {value} was is not said; the sheet has {asked}.", reference=row_words(case.rows[0])
            )


def angle_missing(case: Case) -> Iterator[Finding]:
    """The sheet asks for a turn after a torque, and none was said."""
    said_alone = list(case.entry.angles)
    for torque, assigned in zip(case.entry.torques, case.assigned, strict=True):
        row = assigned.row
        if assigned.mode == EXACT and row and row.angle_deg and torque.angle_deg is None and not said_alone:
            yield Finding(
                code="angle-missing", reason=f"The sheet asks for a further {row.angle_deg:g}°, and none was said.", reference=row_words(row)
            )


def count_differs(case: Case) -> Iterator[Finding]:
    """Fewer or more fasteners than the sheet has; those that got the same value in an earlier session are not still to do."""
    asked = next((row.count for row in case.rows if row.count), None)
    said = case.entry.count
    if asked is None or said is None or said == asked:
        return
    before = counted_before(case) if said < asked else 0
    left = asked - said - before
    if said < asked and left <= 0:
        return
    code = "count-short" if said < asked else "count-over"
    more = f"{left} still to do, or not said" if said < asked else "look which joint was meant"
    also = f", and {before} in an earlier session" if before else ""
    yield Finding(code=code, reason=f"{said} of {asked} were said to be done{also}: {more}.", reference=row_words(case.rows[0]))


def one_time(case: Case) -> Iterator[Finding]:
    """A fastener that is to be used once only: reused, or not said to be new."""
    row = next((row for row in case.rows if row.one_time), None)
    if row is None or case.entry.state == "new" or not (case.entry.torques or case.entry.angles):
        return
    if case.entry.state == "reused":
        yield Finding(
            code="one-time-reused", reason="The sheet says to use this fastener once only, and a used one was fitted.", reference=row_words(row)
        )
    else:
        yield Finding(
            code="one-time-not-said", reason="The sheet says to use this fastener once only: make sure that it was new.", reference=row_words(row)
        )


def compound_differs(case: Case) -> Iterator[Finding]:
    """Another compound, or locker strength, than the sheet names; or none said where it names one."""
    row = next((row for row in case.rows if row.compound), None)
    used = case.entry.compound
    if row is None or row.compound in {"none", "no", "dry"}:
        return
    if used is None and not (case.entry.torques or case.entry.angles):
        return
    if used is None:
        yield Finding(code="compound-not-said", reason=f"The sheet asks for {row.compound}, and no compound was said.", reference=row_words(row))
        return
    asked = row.compound or ""
    strength = case.trade.locker(asked)
    locker = strength is not None or "lock" in asked
    wrong = used.compound != "thread locker" if locker else not _same_compound(used.compound, asked)
    weaker = locker and strength and used.strength and used.strength != strength
    if wrong or weaker:
        said = f"{used.strength} {used.compound}" if used.strength else used.compound
        yield Finding(code="compound-differs", reason=f"{said.capitalize()} was used where the sheet asks for {asked}.", reference=row_words(row))


def _same_compound(used: str, asked: str) -> bool:
    return used.replace("-", " ") in asked.replace("-", " ")


def lubricated_dry(case: Case) -> Iterator[Finding]:
    """Oil, grease or anti-seize on a joint whose value is for dry threads: the same torque pulls harder."""
    used = case.entry.compound.compound if case.entry.compound else ""
    row = next((row for row in case.rows if (row.condition or "").startswith("dry") or row.compound in {"none", "no", "dry"}), None)
    if row is None or used not in _SLIPPERY or _same_compound(used, row.compound or ""):
        return
    dry, wet = case.trade.frictions["dry"], case.trade.friction({"oil": "oiled", "assembly lube": "oiled"}.get(used, used))
    if wet is None:
        return
    sum_ = ""
    if row.torque is not None and row.unit:
        less = to_nm(row.torque, row.unit) * wet.k / dry.k
        sum_ = f"T·K({used})/K(dry) = {row.torque:g} {unit_words(row.unit)} · {wet.k:g}/{dry.k:g} = {less:.3g} N·m for the same pull"
    reason = f"The sheet's value is for dry threads and {used} was used: the same torque pulls the bolt harder, by {dry.k / wet.k:.2g} times or so."
    yield Finding(code="lubricated-dry", reason=reason, reference=f"{row_words(row)}; computed; {wet.source}", sum=sum_)


def locker_too_strong(case: Case) -> Iterator[Finding]:
    """High-strength locker on a small screw, or on what is often opened."""
    used = case.entry.compound
    asked = case.trade.locker(case.shared("compound"))
    if used is None or used.compound != "thread locker" or used.strength != "high" or asked == "high":
        return
    threads = case.trade.threads_of(case.thread() or "")
    name = " ".join(word for word in (case.entry.part, case.entry.fastener) if word)
    opened = case.trade.words_in(name, "often opened")
    if threads and threads[0].diameter_mm <= _SMALL_MM + 0.4:
        why = f"{threads[0].size} is small, and may shear before high-strength locker lets go"
    elif opened:
        why = f"a {opened[0].words} is often opened, and high-strength locker needs heat to undo"
    else:
        return
    reference = "common practice, no source; colours and strengths differ by maker"
    yield Finding(code="locker-too-strong", reason=f"High-strength locker was used; {why}.", reference=reference)


def thread_or_grade_differs(case: Case) -> Iterator[Finding]:
    """Another grade than the sheet's, or a thread of the same size whose pitch was not said."""
    row = next((row for row in case.rows if row.grade), None)
    if row and case.entry.grade and case.entry.grade != row.grade:
        reason = f"Grade {case.entry.grade} was said where the sheet has {row.grade}."
        yield Finding(code="grade-differs", reason=reason, reference=row_words(row))


def tool_differs(case: Case) -> Iterator[Finding]:
    """Another tool size than the sheet names. A "fifty mil crowfoot" may have its reach said, so a crowfoot's size is held against nothing."""
    row = next((row for row in case.rows if row.tool), None)
    used = case.entry.tool if case.entry.tool and case.entry.tool.tool != "crowfoot" else None
    asked = tool_size(row.tool) if row else None
    if row is None or asked is None or used is None or used.size is None or used.size_unit is None:
        return
    if asked[1] == used.size_unit and abs(asked[0] - used.size) > 0.005:
        said = f"{used.size:g} {used.size_unit} {used.tool}"
        yield Finding(
            code="tool-differs", reason=f"A {said} was used where the sheet names {row.tool}: look which fastener it was.", reference=row_words(row)
        )


def sheet_row_odd(case: Case) -> Iterator[Finding]:
    """The sheet's own thread is not a usual one, so the value may stand in the wrong row."""
    row = next((row for row in case.rows if row.thread), None)
    thread = next(iter(case.trade.threads_of(row.thread or "")), None) if row else None
    if row and thread and thread.series == "special" and read_thread(thread.name).kind == "metric":
        yield Finding(
            code="thread-unusual", reason=f"{thread.name} is no usual thread: look whether the sheet has it right.", reference=row_words(row)
        )
