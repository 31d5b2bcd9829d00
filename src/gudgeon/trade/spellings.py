"""Units and grades as people write them in tables and at the command line, read into the house's spellings."""

from __future__ import annotations

import re
from functools import lru_cache

from gudgeon.domain import BadInput

_TORQUE_UNITS = {
    "N*m": "nm newtonmetre newtonmetres newtonmeter newtonmeters",
    "N*cm": "ncm newtoncentimetre newtoncentimetres newtoncentimeter newtoncentimeters",
    "lbf*ft": "lbft lbsft lbfft ftlb ftlbs ftlbf footpound footpounds poundfoot poundfeet poundsfeet",
    "lbf*in": "lbin lbsin lbfin inlb inlbs inlbf inchpound inchpounds poundinch poundinches",
    "kgf*m": "kgm kgfm mkg mkp kpm kilogrammetre kilogrammetres",
    "kgf*cm": "kgcm kgfcm cmkg cmkp kpcm kilogramcentimetre kilogramcentimetres",
}
_SIZE_UNITS = {
    "mm": "mm millimetre millimetres millimeter millimeters",
    "cm": "cm centimetre centimetres",
    "in": 'in inch inches "',
    "thou": "thou thousandths",
    "um": "um µm μm micron microns micrometre micrometres",
    "bar": "bar bars",
    "psi": "psi lbf/in² lb/in²",
    "kPa": "kpa",
    "degC": "degc °c c",
    "degF": "degf °f f",
    "l": "l litre litres liter liters",
    "ml": "ml",
    "cc": "cc cm3 cm³",
    "pt": "pt pint pints",
    "qt": "qt quart quarts",
    "gal": "gal gallon gallons",
    "deg": "deg ° degree degrees",
    "kg": "kg",
    "lb": "lb lbs",
    "turn": "turn turns",
    "rpm": "rpm 1/min",
    "V": "v volt volts",
    "ohm": "ohm ohms ω",
}
TORQUE_UNITS = {form: unit for unit, forms in _TORQUE_UNITS.items() for form in forms.split()}
SIZE_UNITS = {form: unit for unit, forms in _SIZE_UNITS.items() for form in forms.split()}
_CLASSES = frozenset(["4.6", "4.8", "5.6", "5.8", "6.8", "8.8", "9.8", "10.9", "12.9"])
_INCH_GRADES = frozenset({"2", "5", "8"})
_NUT_CLASSES = frozenset({"4", "6", "9", "10", "12", "04", "05"})
_STAINLESS = re.compile(r"^a([1245])(?:-?(50|70|80))?$")


@lru_cache(maxsize=1024)
def torque_unit(text: str) -> str:
    """The house's spelling of a torque unit (``N*m``, ``lbf*ft`` …). Raises BadInput."""
    unit = TORQUE_UNITS.get(re.sub(r"[\s.·⋅•*×/-]+", "", text.lower()))
    if unit is None:
        raise BadInput(f"unit “{text}” is no unit of torque that gudgeon knows")
    return unit


def size_unit(text: str) -> str:
    """The house's spelling of a unit of size (``mm``, ``thou``, ``bar`` …). Raises BadInput."""
    unit = SIZE_UNITS.get(text.strip().lower().rstrip("."))
    if unit is None:
        raise BadInput(f"unit “{text}” is no unit of size that gudgeon knows")
    return unit


def read_unit(text: str) -> str:
    """The house's spelling of a unit of torque or size, as people write it. Raises BadInput."""
    try:
        return torque_unit(text)
    except BadInput:
        pass
    try:
        return size_unit(text)
    except BadInput:
        known = ", ".join([*_TORQUE_UNITS, *_SIZE_UNITS])
        raise BadInput(f"“{text}” is no unit that gudgeon knows.", next_step=f"It knows {known}.") from None


def read_grade(text: str) -> str:
    """As ``grade``, for one grade that a person typed: the error is a sentence."""
    try:
        return grade(text)
    except BadInput:
        raise BadInput(
            f"“{text}” is no grade that gudgeon knows.", next_step="It knows 4.6 to 12.9, A2-70 and the like, and inch grades 2, 5 and 8."
        ) from None


@lru_cache(maxsize=1024)
def grade(text: str) -> str:
    """A property class, stainless class or inch grade in the house's spelling. Raises BadInput when there is no such grade."""
    plain = re.sub(r"^(sae|grade|gr\.?|class|property class)\s*", "", text.strip().lower())
    plain = re.sub(r"^(grade|gr\.?)\s*", "", plain).replace(",", ".").replace(" ", "")
    found = _STAINLESS.match(plain)
    if found:
        return f"A{found[1]}" + (f"-{found[2]}" if found[2] else "")
    if plain in _CLASSES | _INCH_GRADES | _NUT_CLASSES:
        return plain
    raise BadInput(f"grade “{text}” is not one that gudgeon knows (4.6 to 12.9, A2-70 and the like, inch grades 2, 5, 8)")
