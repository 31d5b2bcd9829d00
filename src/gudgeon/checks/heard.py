"""How sure a value is: guessed, heard unsurely, mended, matched loosely, or tied to no joint."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from gudgeon.checks.against_sheet import compare
from gudgeon.checks.case import Case
from gudgeon.checks.words import figure, joint_name, row_words, said, size_words, torque_words, unit_words
from gudgeon.domain import Entry, Finding, OtherName, OtherReading
from gudgeon.units import to_nm

Other = OtherReading | OtherName
_LOOSE = 0.9
LIKELY = 0.2
"""From such odds on a tool's size or a fastener's count, thread, grade or length that may be another is worth a look: half of all sockets are a
teen that sounds like a -ty."""


def guessed(case: Case) -> Iterator[Finding]:
    """The speaker guessed the value."""
    for torque in case.entry.torques:
        if torque.hedged:
            yield Finding(code="guessed", reason=f"{said(torque)} was said as a guess: verify it in the maker's manual.")


def heard_unsurely(case: Case) -> Iterator[Finding]:
    """The sound may hold another value."""
    for torque, assigned in zip(case.entry.torques, case.assigned, strict=True):
        if torque.heard:
            fits = [o for o in torque.heard if o.unit and assigned.row and compare(to_nm(o.value, o.unit), assigned.row) == "within"]
            right = f"; {torque_words(fits[0].value, fits[0].unit)} would be what the sheet asks for" if fits else ""
            others = ", ".join(f"{torque_words(other.value, other.unit)} ({other.odds:.0%})" for other in torque.heard)
            yield Finding(code="heard-unsurely", reason=f"{said(torque)} may have been {others}{right}: play the sound.")
    for what, readings in _other_figures(case.entry):
        others = ", ".join(f"{_words(other)} ({other.odds:.0%})" for other in readings)
        yield Finding(code="heard-unsurely", reason=f"{what} may have been {others}: play the sound.")


def _other_figures(entry: Entry) -> Iterator[tuple[str, tuple[Other, ...]]]:
    """Turns and sizes that may be others, and a tool's size or what a fastener is where that is likely, each with what it may be."""
    for torque in entry.torques:
        if torque.angle_heard:
            yield f"The turn of {torque.angle_deg:g} degrees", torque.angle_heard
    for angle in entry.angles:
        if angle.heard:
            yield f"The turn of {angle.angle_deg:g} degrees", angle.heard
    for size in entry.measures:
        if size.heard:
            yield f"{size_words(size)[:1].upper()}{size_words(size)[1:]}", size.heard
    if entry.tool and entry.tool.size and (likely := _likely(entry.tool.heard)):
        yield f"The {figure(entry.tool.size)} {unit_words(entry.tool.size_unit)} {entry.tool.tool}", likely
    if entry.count and (likely := _likely(entry.count_heard)):
        yield f"The count of {entry.count}", likely
    if likely := _likely(entry.thread_heard):
        yield f"The thread {entry.thread}", likely
    if likely := _likely(entry.grade_heard):
        yield f"The grade {entry.grade}", likely
    if entry.length_mm and (likely := _likely(entry.length_heard)):
        yield f"The length of {figure(entry.length_mm)} mm", likely


def _words(other: Other) -> str:
    if isinstance(other, OtherName):
        return other.name
    return f"{figure(other.value)} {'degrees' if other.unit == 'deg' else unit_words(other.unit)}".strip()


def _likely(readings: Sequence[Other]) -> tuple[Other, ...]:
    return tuple(reading for reading in readings if reading.odds >= LIKELY)


def unit_mended(case: Case) -> Iterator[Finding]:
    """The unit was mended by its sound."""
    for torque in case.entry.torques:
        if torque.mended:
            yield Finding(code="unit-mended", reason=f"“{torque.mended}” was heard and taken as the unit of {said(torque)}.")


def joint_unclear(case: Case) -> Iterator[Finding]:
    """No part was named, so that nothing can be compared."""
    if case.entry.part is None and (case.entry.torques or case.entry.angles):
        values = ", ".join(said(torque) for torque in case.entry.torques) or "the turn"
        yield Finding(code="joint-unclear", reason=f"Which joint {values} went to is not clear: {case.entry.unclear or 'no part was named'}.")


def match_loose(case: Case) -> Iterator[Finding]:
    """The joint was matched, but not word for word."""
    if case.match.group and case.match.score < _LOOSE:
        row = case.rows[0]
        reason = f"“{joint_name(case.entry)}” was taken as line {row.line} of the sheet, since {case.match.why}. Overrule it if that is wrong."
        yield Finding(code="match-loose", reason=reason, reference=row_words(row))


def match_ambiguous(case: Case) -> Iterator[Finding]:
    """More than one joint of the sheet fits, so that none was taken."""
    if case.match.group is None and "more than one joint" in case.match.why:
        yield Finding(code="match-ambiguous", reason=f"“{joint_name(case.entry)}”: {case.match.why}.")
