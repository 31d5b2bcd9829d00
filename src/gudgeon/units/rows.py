"""The room's tables, read from lines and validated: a bad row is refused with its number."""

from __future__ import annotations

import csv
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from gudgeon.domain import BadTable

FAMILIES: dict[str, str] = {
    "N*m": "torque force",
    "N*cm": "torque",
    "lbf*ft": "torque",
    "lbf*in": "torque",
    "kgf*m": "torque",
    "kgf*cm": "torque",
    "mm": "length",
    "cm": "length",
    "in": "length",
    "thou": "length",
    "um": "length",
    "bar": "pressure",
    "psi": "pressure",
    "kPa": "pressure",
    "degC": "temperature",
    "degF": "temperature",
    "l": "volume",
    "ml": "volume",
    "cc": "volume",
    "pt": "volume",
    "qt": "volume",
    "gal": "volume",
    "deg": "angle",
    "turn": "turn",
    "kg": "mass",
    "lb": "mass",
    "rpm": "speed",
    "V": "voltage",
    "ohm": "resistance",
}
"""Every unit of the house and the families it may stand in."""
CARES = ("", "alone", "figure", "last", "mil", "open", "size", "way")


@dataclass(frozen=True, slots=True)
class UnitRow:
    """One spelling of a unit; ``care`` says when it may be read (see docs of the table), ``why`` the reason."""

    unit: str
    family: str
    form: str
    care: str
    why: str
    line: int = 0


@dataclass(frozen=True, slots=True)
class SoundRow:
    """One unit as it sounds; ``limit`` is how far, 0..1, a misheard wording may be from it, ``loose`` as in SoundTarget."""

    unit: str
    family: str
    spoken: str
    limit: float
    loose: bool
    line: int = 0


@dataclass(frozen=True, slots=True)
class SoundCode:
    """How one spelling sounds; ``where`` is any, start, end or whole (of the word)."""

    spelling: str
    sound: str
    where: str


def read_unit_rows(lines: Sequence[str]) -> list[UnitRow]:
    """The rows of ``unit_words.csv``; raises BadTable for an unknown unit, family or care, an empty or repeated form."""
    rows: list[UnitRow] = []
    seen: dict[str, int] = {}
    for number, cells in _cells(lines, "unit_words", ("unit", "family", "form", "care", "why")):
        unit, family, form, care, why = cells
        row = UnitRow(unit, family, form, care, why, number)
        _check_unit("unit_words", number, row.unit, row.family)
        if row.care not in CARES:
            raise _bad("unit_words", number, f"care {row.care!r} is not known")
        if not row.form or row.form != row.form.lower() or row.form != " ".join(row.form.split()):
            raise _bad("unit_words", number, f"form {row.form!r} must be lower case words parted by single spaces")
        if row.form in seen:
            raise _bad("unit_words", number, f"form {row.form!r} stands already in row {seen[row.form]}")
        seen[row.form] = number
        rows.append(row)
    return rows


def read_sound_rows(lines: Sequence[str]) -> list[SoundRow]:
    """The rows of ``unit_sounds.csv``; raises BadTable for an unknown unit or a limit outside 0..0.5."""
    rows = []
    for number, (unit, family, spoken, limit, loose, _) in _cells(lines, "unit_sounds", ("unit", "family", "spoken", "limit", "loose", "why")):
        _check_unit("unit_sounds", number, unit, family)
        try:
            far = float(limit)
        except ValueError:
            raise _bad("unit_sounds", number, f"limit {limit!r} is no number") from None
        if not 0 < far <= 0.5 or not spoken:
            raise _bad("unit_sounds", number, "a limit lies between 0 and 0.5, and the spoken form is not empty")
        rows.append(SoundRow(unit, family, spoken, far, loose == "loose", number))
    return rows


def read_sound_codes(lines: Sequence[str]) -> list[SoundCode]:
    """The rows of ``sound_codes.csv``; raises BadTable for an empty or repeated spelling or an unknown place."""
    rows: list[SoundCode] = []
    for number, (spelling, sound, where, _) in _cells(lines, "sound_codes", ("spelling", "sound", "where", "why")):
        if where not in ("any", "start", "end", "whole"):
            raise _bad("sound_codes", number, f"where {where!r} is not known")
        if not spelling or any((r.spelling, r.where) == (spelling, where) for r in rows):
            raise _bad("sound_codes", number, f"spelling {spelling!r} is empty or stands twice")
        rows.append(SoundCode(spelling, sound, where))
    return rows


def read_column(lines: Sequence[str], name: str) -> list[str]:
    """The one column of a plain word list."""
    return [cells[0] for _, cells in _cells(lines, name, (name,))]


def _cells(lines: Sequence[str], table: str, columns: tuple[str, ...]) -> Iterator[tuple[int, list[str]]]:
    """Each data row with its line number; raises BadTable when the header or a row's width is wrong."""
    rows = csv.reader(lines)
    if tuple(next(rows, [])) != columns:
        raise BadTable(f"The header of table {table} is not {','.join(columns)}.")
    for cells in rows:
        if not cells:
            continue
        if len(cells) != len(columns):
            raise _bad(table, rows.line_num, f"has {len(cells)} cells, not {len(columns)}")
        yield rows.line_num, cells


def _check_unit(table: str, number: int, unit: str, family: str) -> None:
    if unit not in FAMILIES:
        raise _bad(table, number, f"unit {unit!r} is not known")
    if family not in FAMILIES[unit].split():
        raise _bad(table, number, f"family {family!r} does not fit unit {unit!r}")


def _bad(table: str, number: int, why: str) -> BadTable:
    return BadTable(f"Table {table}, row {number}: {why}.", next_step="Correct the row.")
