"""The sentences of care that stand beside every judged value; stronger ones where a failure hurts people."""

from __future__ import annotations

from gudgeon.checks.case import Case
from gudgeon.domain import Caution

MANUAL = Caution("manual-decides", "The maker's manual decides; this is a comparison, and no specification.")
COMPUTED = Caution(
    "computed", "A figure here was computed from usual strengths and friction; it is no specification, and the maker's manual decides."
)


def cautions(case: Case, *, computed: bool) -> tuple[Caution, ...]:
    """Safety first, by the words of the part, then that a value was computed, then that the manual decides."""
    entry = case.entry
    name = " ".join(word for word in (entry.place, entry.part, entry.fastener, case.row.part if case.row else None) if word)
    safety = {word.topic: Caution(f"safety-{word.topic}", word.text) for word in case.trade.words_in(name, "safety")}
    return (*safety.values(), *((COMPUTED,) if computed else ()), MANUAL)
