"""The owner's torque wrenches: lines of CSV go in, wrenches come out; a bad row is refused by its line, the rest loads."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from gudgeon.checks import sheet_cells as cells
from gudgeon.checks.csv_lines import column, records
from gudgeon.domain import BadInput, BadTable
from gudgeon.trade import Wrench, size_unit, torque_unit
from gudgeon.units import convert, to_nm

WRENCH_COLUMNS = ["name", "low", "high", "unit", "length", "last_calibration", "class"]
_SHORT = {
    "min": "low",
    "max": "high",
    "length_mm": "length",
    "calibrated": "last_calibration",
    "calibration": "last_calibration",
    "tool_class": "class",
}
_LENGTH = re.compile(r'^([\d.,]+)\s*(mm|cm|in|inch|")?$')
_DATE = re.compile(r"^(?:(\d{4})-(\d{1,2})-(\d{1,2})|(\d{1,2})\.(\d{1,2})\.(\d{4}))$")


@dataclass(frozen=True, slots=True)
class WrenchSheet:
    """The owner's wrenches; ``refused`` holds (line number, reason) of rows that could not be used."""

    wrenches: tuple[Wrench, ...] = ()
    refused: tuple[tuple[int, str], ...] = ()


def read_wrenches(lines: Sequence[str]) -> WrenchSheet:
    """Read the owner's tools file: a header row, then one wrench a row (name, low, high, unit, length, last calibration, class).

    A length without a unit is in millimetres; a date is 2026-03-14 or 14.3.2026. Raises BadTable when there is no header with ``name``.
    """
    header: list[str] | None = None
    wrenches: dict[str, Wrench] = {}
    refused: list[tuple[int, str]] = []
    for line, record, trouble in records(lines):
        if trouble:
            refused.append((line, trouble))
        elif header is None and any(cell.strip() for cell in record):
            header = [column(cell, _SHORT) for cell in record]
        elif header and any(cell.strip() for cell in record):
            row = {name: cell.strip() for name, cell in zip(header, record, strict=False)}
            try:
                wrench = _wrench(row)
                if wrench.name in wrenches:
                    raise BadInput(f"names {wrench.name} a second time")
                wrenches[wrench.name] = wrench
            except BadInput as bad:
                refused.append((line, bad.happened))
    if header is None or not {"name", "low", "high", "unit"} <= set(header):
        raise BadTable(
            "The tools file has no header row.", kept="Nothing was loaded.", next_step=f"Its first line must be: {','.join(WRENCH_COLUMNS)}"
        )
    return WrenchSheet(tuple(wrenches.values()), tuple(refused))


def _wrench(row: dict[str, str]) -> Wrench:
    if not row.get("name"):
        raise BadInput("names no wrench")
    for name in ("low", "high", "unit"):
        if not row.get(name):
            raise BadInput(f"has no {name}")
    low, high = (cells.number(row[name], name, low=0.0, high=1e6) for name in ("low", "high"))
    if low >= high:
        raise BadInput(f"the range is upside down: low {low:g}, high {high:g}")
    unit = torque_unit(row["unit"])
    if to_nm(high, unit) > 20_000:
        raise BadInput(f"high {high:g} {unit} is absurdly large")
    return Wrench(
        name=row["name"],
        low=low,
        high=high,
        unit=unit,
        length_mm=_length(row.get("length", "")),
        calibrated=_date(row.get("last_calibration", "")),
        tool_class=row.get("class") or None,
    )


def _length(text: str) -> float | None:
    if not text:
        return None
    found = _LENGTH.match(text.lower())
    if not found:
        raise BadInput(f"length “{text}” is no length")
    value = cells.number(found[1], "length", low=0.1, high=1e5)
    millimetres = convert(value, size_unit(found[2] or "mm"), "mm")
    if not 30 <= millimetres <= 5000:
        raise BadInput(f"length {text} is no wrench's")
    return millimetres


def _date(text: str) -> date | None:
    if not text:
        return None
    found = _DATE.match(text)
    if not found:
        raise BadInput(f"last calibration “{text}” is no date (write 2026-03-14)")
    year, month, day = (found[1], found[2], found[3]) if found[1] else (found[6], found[5], found[4])
    try:
        return date(int(year), int(month), int(day))
    except ValueError:
        raise BadInput(f"last calibration “{text}” is no date") from None
