"""Figures with their units, ranges, and grades, found in tokens."""

from __future__ import annotations

from collections.abc import Sequence

from gudgeon.notes.tokens import Figure, Quantity, Token

GRADES = frozenset(["3.6", "4.6", "4.8", "5.6", "5.8", "6.8", "8.8", "9.8", "10.9", "12.9", "14.9"])
"""Property classes, ISO 898-1 (14.9: from memory)."""
SINGLE_GRADES = frozenset([2, 4, 5, 6, 8, 9, 10, 12])
"""Grades of SAE J429 and nut classes of ISO 898-2."""
STAINLESS = frozenset(["A1", "A2", "A3", "A4", "A5"])
STAINLESS_CLASS = frozenset([50, 70, 80])
BETWEEN = frozenset(["to", "-", "–", "—", "through"])
GLUE = frozenset(["of", "a", "an", "uh", "um", "er", "erm", "ah", "ish", "odd"])
NO_RANGE_FORMS = frozenset(["ordinal", "plural"])


def quantity_at(tokens: Sequence[Token], at: int) -> Quantity | None:
    """The figure or range that starts at ``tokens[at]`` with the unit after it, or None when no figure starts there.

    Reads "eight to ten newton metres", "8-10 Nm", "30 Nm to 35 Nm", "between eight and ten", "18 Nm", "half a turn", "three quarters of an inch".
    A range's ``high`` is always above its ``low``: "twelve to one" is the twelve alone.
    """
    if at >= len(tokens):
        return None
    if tokens[at].norm == "between":
        return _range(tokens, at, at + 1, frozenset(["and"]))
    if tokens[at].kind != "figure":
        return None
    return _range(tokens, at, at, BETWEEN) or _single(tokens, at)


def _single(tokens: Sequence[Token], at: int) -> Quantity | None:
    figure = tokens[at].figure
    if figure is None:
        return None
    end, unit = _unit(tokens, at)
    return _quantity(tokens, at, end, figure.value, unit, figure.unsure)


def _range(tokens: Sequence[Token], at: int, first: int, between: frozenset[str]) -> Quantity | None:
    """A range whose first figure stands at ``first``."""
    low = _plain(tokens, first)
    if low is None:
        return None
    middle, unit = _unit(tokens, first)
    if middle >= len(tokens) or tokens[middle].norm not in between:
        return None
    high = _plain(tokens, middle + 1)
    if high is None or not low.value < high.value:
        return None
    end, last = _unit(tokens, middle + 1)
    if unit and last and unit.unit and last.unit and unit.unit.unit != last.unit.unit:
        return None
    found = _quantity(tokens, at, end, (low.value + high.value) / 2, last or unit, low.unsure or high.unsure)
    return _as_range(found, low.value, high.value)


def _as_range(q: Quantity, low: float, high: float) -> Quantity:
    return Quantity(
        q.value, q.at, q.end, q.start_char, q.end_char, unit=q.unit, family=q.family, hit=q.hit, low=low, high=high, mended=q.mended, unsure=q.unsure
    )


def _plain(tokens: Sequence[Token], at: int) -> Figure | None:
    if at < len(tokens) and tokens[at].kind == "figure" and (figure := tokens[at].figure) and figure.form not in NO_RANGE_FORMS:
        return figure
    return None


def _unit(tokens: Sequence[Token], at: int) -> tuple[int, Token | None]:
    """The unit token after the figure at ``at``, past "of a" and hesitations, and where the reading goes on."""
    here = at + 1
    while here < min(len(tokens), at + 5):
        if tokens[here].kind == "unit":
            return here + 1, tokens[here]
        if tokens[here].norm not in GLUE and not _in_torque(tokens, here):
            break
        here += 1
    return at + 1, None


def _in_torque(tokens: Sequence[Token], at: int) -> bool:
    """ "eight in newton metres"."""
    after = tokens[at + 1].unit if at + 1 < len(tokens) else None
    return tokens[at].norm == "in" and after is not None and after.family == "torque"


def _quantity(tokens: Sequence[Token], at: int, end: int, value: float, unit: Token | None, unsure: str) -> Quantity:
    figure = tokens[end - 1].figure
    hit = unit.unit if unit else (figure.unit if figure else None)
    return Quantity(
        value,
        at,
        end,
        tokens[at].start,
        tokens[end - 1].end,
        unit=hit.unit if hit else None,
        family=hit.family if hit else None,
        hit=hit,
        mended=hit.mended if hit else None,
        unsure=unsure,
    )


def grade_at(tokens: Sequence[Token], at: int) -> tuple[str, int] | None:
    """A property class or grade at ``tokens[at]`` and the index after it: ("10.9", at + 1) for 10.9 or "ten nine", ("A2-70", …), ("5", …).

    To be asked only where a grade fits: after "grade", "class", "marked", beside a fastener.
    """
    if at >= len(tokens):
        return None
    token = tokens[at]
    if token.kind == "grade":
        return token.norm, at + 1
    if token.kind == "code" and token.norm.upper() in STAINLESS:
        return token.norm.upper(), at + 1
    if token.norm == "a" and at + 1 < len(tokens):
        return _stainless(tokens[at + 1], at + 2)
    figure = token.figure if token.kind == "figure" else None
    if figure is None:
        return None
    return _property_class(tokens, at, figure)


def _property_class(tokens: Sequence[Token], at: int, figure: Figure) -> tuple[str, int] | None:
    if figure.form == "decimal":
        return (f"{figure.value:g}", at + 1) if f"{figure.value:g}" in GRADES else None
    for split in figure.splits:
        name = ".".join(f"{piece.value:g}" for piece in split)
        if name in GRADES:
            return name, at + 1
    if figure.form != "cardinal":
        return None
    after = tokens[at + 1] if at + 1 < len(tokens) else None
    if after is not None and after.figure and after.kind == "figure" and f"{figure.value:g}.{after.figure.value:g}" in GRADES:
        return f"{figure.value:g}.{after.figure.value:g}", at + 2
    return (f"{figure.value:g}", at + 1) if figure.value in SINGLE_GRADES else None


def _stainless(token: Token, end: int) -> tuple[str, int] | None:
    """ "a two seventy": A2-70."""
    for split in token.figure.splits if token.figure else ():
        if len(split) == 2 and f"A{split[0].value:g}" in STAINLESS and split[1].value in STAINLESS_CLASS:
            return f"A{split[0].value:g}-{split[1].value:g}", end
    return None
