"""How sure a value is: guessed, heard unsurely, mended, matched loosely, or tied to no joint."""

from __future__ import annotations

from collections.abc import Iterator

from gudgeon.checks.against_sheet import compare
from gudgeon.checks.case import Case
from gudgeon.checks.words import joint_name, row_words, said, torque_words
from gudgeon.domain import Finding
from gudgeon.units import to_nm

_LOOSE = 0.9


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
