"""Figures written in digits → values: whole numbers, decimals, fractions, ordinals."""

from __future__ import annotations

from gudgeon.notes.tokens import Figure

VULGAR = {"½": 0.5, "¼": 0.25, "¾": 0.75, "⅓": 1 / 3, "⅔": 2 / 3, "⅛": 0.125, "⅜": 0.375, "⅝": 0.625, "⅞": 0.875}
FRACTION_PARTS = frozenset([2, 3, 4, 5, 6, 7, 8, 9, 10, 12, 16, 20, 32, 64, 100])
LONGEST_NUMBER = 9
"""Digits before the point beyond which a number is a code (a part number, a telephone number)."""
LONGEST_DECIMALS = 3
"""Decimals beyond which figures have probably run together ("1.2520 Newton")."""
RUN_TOGETHER = "figures may have run together"


def written_number(norm: str) -> Figure | None:
    """18, 1,400, 0.045, .5; None for what is a code and no figure: 0142, 00, thirty digits in a row."""
    whole, _, decimals = norm.replace(",", "").partition(".")
    if len(whole) > LONGEST_NUMBER or (len(whole) > 1 and whole[0] == "0") or len(decimals) > 2 * LONGEST_NUMBER:
        return None
    value = float(f"{whole or 0}.{decimals or 0}")
    unsure = RUN_TOGETHER if len(decimals) > LONGEST_DECIMALS else ""
    return Figure(value, "decimal" if decimals else "cardinal", unsure=unsure)


def written_fraction(norm: str) -> tuple[int, float, str] | None:
    """7/16, 7/16ths, 1 1/2, 1-1/8, ½, 2½: whole number, value of the fraction, and the sign between them; None for 80/90."""
    if norm[-1] in VULGAR:
        whole = norm[:-1].strip()
        return int(whole or 0), VULGAR[norm[-1]], " " if norm[:-1] != whole else ""
    top, _, bottom = norm.rstrip("thndrs").rpartition("/")
    between = " " if " " in top else "-" if "-" in top else ""
    whole, _, numerator = top.rpartition(between) if between else ("0", "", top)
    parts = int(bottom)
    if parts not in FRACTION_PARTS or not 0 < int(numerator) < parts:
        return None
    return int(whole), int(numerator) / parts, between


def written_ordinal(norm: str) -> Figure:
    """1st, 22nd: the number, as an ordinal."""
    return Figure(float(norm[:-2]), "ordinal")
