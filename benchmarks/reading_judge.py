"""Which of a reader's values are right and which are wrong; a peer's names of units are taken as kindly as possible."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from typing import Any

import score

Labelled = dict[str, Any]
Reading = tuple[float, str | None]

UNITS = {
    # quantulum3
    "newton metre": "N*m",
    "newton centimetre": "N*cm",
    "foot pound": "lbf*ft",
    "foot pound-mass": "lbf*ft",
    "foot pound sterling": "lbf*ft",
    "pound-mass foot": "lbf*ft",
    "pound foot": "lbf*ft",
    "inch pound": "lbf*in",
    "inch pound-mass": "lbf*in",
    "inch pound sterling": "lbf*in",
    "kilogram-force metre": "kgf*m",
    "kilogram-force centimetre": "kgf*cm",
    "millimetre": "mm",
    "centimetre": "cm",
    "micrometre": "um",
    "inch": "in",
    "bar": "bar",
    "kilopascal": "kPa",
    "pound-force per square inch": "psi",
    "degree Celsius": "degC",
    "degree fahrenheit": "degF",
    "degree angle": "deg",
    "litre": "l",
    "millilitre": "ml",
    "cubic centimetre": "ml",
    "turn": "turn",
    "kilogram": "kg",
    "pound-mass": "lb",
    # Recognizers-Text
    "Millimeter": "mm",
    "Centimeter": "cm",
    "Micrometer": "um",
    "Inch": "in",
    "Liter": "l",
    "Milliliter": "ml",
    "Pound": "lb",
    "Kilogram": "kg",
    "C": "degC",
    "F": "degF",
    "Degree": "deg",
}

# no sizes of the work, and no claim that they are: plain numbers, money, times, amounts of data, distances by road
NOT_JUDGED = {
    "dimensionless",
    "mill",
    "pound sterling",
    "bit",
    "Bit",
    "year",
    "hour",
    "mile",
    "Mile",
    "Mile per hour",
}


def wanted_values(note: Labelled) -> list[Reading]:
    """Torques and measures of a note that were said with their unit."""
    return [
        (fact["value"], fact["unit"])
        for fact in note["facts"]
        if fact["kind"] in ("torque", "measure") and fact.get("unit") and not fact.get("optional")
    ]


def also_true(note: Labelled) -> list[Reading]:
    """Other quantities of a note that a reader may rightly report: tool sizes, lengths, turns, the ends of a range."""
    found: list[Reading] = []
    for fact in note["facts"]:
        found += [(fact["value"], fact.get("unit"))] if "value" in fact else []
        found += [(fact[end], fact["unit"]) for end in ("low", "high") if end in fact]
        found += [(fact["angle_deg"], "deg"), (fact["angle_deg"] / 360, "turn")] if "angle_deg" in fact else []
        found += [(fact["size"], fact["size_unit"])] if "size" in fact else []
        found += [(float(Fraction(fact["thread"].split()[0].split("-")[0])), "in")] if "/" in fact.get("thread", "") else []
        found += [(fact["length_mm"], "mm"), (fact["length_mm"] / 25.4, "in")] if "length_mm" in fact else []
    return found


def judged(notes: Sequence[Labelled], rows: Sequence[Sequence[Reading]], *, with_unit: bool = True) -> tuple[int, int]:
    """Right and wrong values. Without units only the figure has to agree, and nothing can be called wrong."""
    right = wrong = 0
    for note, readings in zip(notes, rows, strict=True):
        left = wanted_values(note)
        for value, unit in readings:
            hit = next((w for w in left if score.same("value", w[0], value) and (not with_unit or w[1] == unit)), None)
            if hit:
                left.remove(hit)
                right += 1
            else:
                wrong += with_unit and not any(score.same("value", true, value) and unit == of for true, of in also_true(note))
    return right, wrong


def in_our_units(rows: Sequence[Sequence[Reading]]) -> list[list[Reading]]:
    """A peer's readings with its unit names turned into ours, as kindly as possible; what is no size at all is left out."""
    return [[(value, UNITS.get(unit, f"{unit}?")) for value, unit in row if unit not in NOT_JUDGED] for row in rows]
