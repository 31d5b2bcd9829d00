"""Measured sizes against the size rows of the sheet, in any unit."""

from __future__ import annotations

from functools import lru_cache

from gudgeon.checks.case import Case
from gudgeon.checks.words import figure, size_words, unit_words
from gudgeon.domain import BadInput, SizeLimit, SizeMeasured, Verdict
from gudgeon.entries import same_part
from gudgeon.units import convert


def size_verdicts(case: Case) -> tuple[Verdict, ...]:
    """One verdict a measured size that a size row speaks of; sizes of which the sheet says nothing get ``no reference``."""
    return tuple(_verdict(case, index, measure) for index, measure in enumerate(case.entry.measures))


def limits_for(case: Case, measure: SizeMeasured) -> list[SizeLimit]:
    """The size rows that speak of a measured size: same quantity, same part, same side. More than one is a doubt."""
    return [limit for limit in case.sheet.sizes if _fits(case, measure, limit)] if case.sheet and case.entry.part else []


def _verdict(case: Case, index: int, measure: SizeMeasured) -> Verdict:
    of = size_words(measure)
    limits = limits_for(case, measure)
    if not limits:
        what = "The sheet has no limits for" if case.sheet else "There is no spec sheet with limits for"
        return Verdict(code="no reference", of=of, measure=index, reason=f"{what} {of}.")
    if len({(limit.low, limit.high, limit.unit) for limit in limits}) > 1:
        lines = ", ".join(str(limit.line) for limit in limits)
        return Verdict(code="no reference", of=of, measure=index, reason=f"More than one size row fits {of} (lines {lines}), so none was taken.")
    limit = limits[0]
    try:
        value = _exact(measure.value, measure.unit, limit.unit)
    except BadInput:
        return Verdict(code="no reference", of=of, measure=index, reason=f"{of} cannot be compared with a limit in {unit_words(limit.unit)}.")
    return _judged(of, index, value, measure, limit)


def _judged(of: str, index: int, value: float, measure: SizeMeasured, limit: SizeLimit) -> Verdict:
    hair = 1e-6 * max(abs(value), 1e-3)
    code = (
        "under"
        if limit.low is not None and value < limit.low - hair
        else "over"
        if limit.high is not None and value > limit.high + hair
        else "within"
    )
    allowed = _allowed(limit)
    word = {"within": "lies within", "under": "is under", "over": "is over"}[code]
    turned = f" ({figure(value)} {unit_words(limit.unit)})" if measure.unit != limit.unit else ""
    place = " ".join(part for part in (limit.place, limit.part) if part)
    source = f" (source: {limit.source})" if limit.source else ""
    return Verdict(
        code=code,
        of=of,
        measure=index,
        reason=f"{of}{turned} {word} the sheet's {allowed}.",
        reference=f"spec sheet line {limit.line}: {place}, {limit.quantity} {allowed}{source}",
        sum=f"{measure.value:g} {unit_words(measure.unit)} = {figure(value)} {unit_words(limit.unit)}" if turned else "",
    )


def _allowed(limit: SizeLimit) -> str:
    unit = unit_words(limit.unit)
    if limit.low is None:
        return f"at most {limit.high:g} {unit}"
    return f"at least {limit.low:g} {unit}" if limit.high is None else f"{limit.low:g} to {limit.high:g} {unit}"


def _fits(case: Case, measure: SizeMeasured, limit: SizeLimit) -> bool:
    if measure.quantity is None or case.trade.quantity(measure.quantity) != case.trade.quantity(limit.quantity):
        return False
    return same_part(case.entry.part, case.entry.place, limit.part, limit.place)


@lru_cache(maxsize=4096)
def _exact(value: float, unit: str, to: str) -> float:
    return convert(value, unit, to)
