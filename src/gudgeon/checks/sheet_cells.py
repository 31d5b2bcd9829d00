"""One cell of a spec sheet or tools file: numbers, yes and no, a torque with its unit."""

from __future__ import annotations

import re

from gudgeon.domain import BadInput

_NUMBER = re.compile(r"^[+-]?(\d+(\.\d*)?|\.\d+)(e[+-]?\d{1,2})?$", re.IGNORECASE)
_TORQUE = re.compile(r"^([+-]?[\d.,]+(?:e[+-]?\d{1,2})?)(?:\s*(-|–|to|\.\.|±|\+/-|\+-)\s*([\d.,]+))?\s*([a-z].*)?$", re.IGNORECASE)

YES = frozenset({"yes", "y", "true", "1", "x", "once", "single use", "one time"})
NO = frozenset({"no", "n", "false", "0", "-"})


def number(text: str, name: str, *, low: float, high: float) -> float:
    """A finite number between low and high; a decimal comma is read as a point. Raises BadInput."""
    plain = text.strip().replace(" ", "").replace("−", "-")
    if "," in plain and "." not in plain and plain.count(",") == 1:
        plain = plain.replace(",", ".")
    if not _NUMBER.match(plain):
        raise BadInput(f"{name} “{text}” is no number")
    value = float(plain)
    if value < low:
        raise BadInput(f"{name} {text} is {'negative' if value < 0 else 'too small to be true'}")
    if value > high:
        raise BadInput(f"{name} {text} is absurdly large")
    return value


def whole(text: str, name: str, *, low: int, high: int) -> int:
    """A whole number between low and high. Raises BadInput."""
    value = number(text, name, low=low, high=high)
    if value != int(value):
        raise BadInput(f"{name} “{text}” is no whole number")
    return int(value)


def yes_or_no(text: str, name: str) -> bool:
    """True or False from yes, no, true, false, 1, 0, x and the like. Raises BadInput."""
    plain = text.strip().lower()
    if plain in YES:
        return True
    if plain in NO or not plain:
        return False
    raise BadInput(f"{name} “{text}” is neither yes nor no")


def torque_cell(text: str) -> tuple[float | None, float | None, float | None, str]:
    """(value, low, high, unit) of a torque cell: ``18``, ``18 Nm``, ``8-10``, ``8 to 10 Nm``, ``18 ±2``. Raises BadInput."""
    found = _TORQUE.match(text.strip())
    if not found:
        raise BadInput(f"torque “{text}” is no number")
    first = number(found[1], "torque", low=0.01, high=1e6)
    if found[3] is None:
        return first, None, None, found[4] or ""
    second = number(found[3], "torque", low=0.0, high=1e6)
    if found[2] in {"±", "+/-", "+-"}:
        return first, first - second, first + second, found[4] or ""
    return None, first, second, found[4] or ""
