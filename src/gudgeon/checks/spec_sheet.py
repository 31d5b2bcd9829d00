"""The owner's spec sheet: lines of CSV go in, torque rows and size rows come out; a bad row is refused by its line, the rest loads."""

from __future__ import annotations

from collections.abc import Sequence

from gudgeon.checks import sheet_cells as cells
from gudgeon.checks.contradictions import without_contradictions
from gudgeon.checks.csv_lines import column, records
from gudgeon.domain import BadInput, BadTable, SizeLimit, SpecRow, SpecSheet
from gudgeon.trade import grade, read_thread, size_unit, torque_unit
from gudgeon.units import to_nm

TORQUE_COLUMNS = [
    "part",
    "place",
    "fastener",
    "count",
    "thread",
    "grade",
    "torque",
    "unit",
    "angle_deg",
    "stage",
    "low",
    "high",
    "tolerance_percent",
    "order",
    "condition",
    "material",
    "engagement_mm",
    "compound",
    "one_time",
    "tool",
    "note",
    "source",
]
SIZE_COLUMNS = ["part", "place", "quantity", "min", "max", "unit", "note", "source"]
_KNOWN = frozenset(TORQUE_COLUMNS) | frozenset(SIZE_COLUMNS)
_MOST_NM = 20_000.0
_SHORT = {"angle": "angle_deg", "tolerance": "tolerance_percent", "engagement": "engagement_mm", "minimum": "min", "maximum": "max"}


def read_spec(lines: Sequence[str]) -> SpecSheet:
    """Read a spec sheet: a header row, then torque rows (one a joint and stage) and size rows (those with a ``quantity``).

    The columns may be parted by commas, semicolons or tabs; a second header row may start a second table. Unknown columns are kept in
    ``extra``. Rows that cannot be used are in ``refused`` as (line number, reason). Raises BadTable when there is no header with ``part``.
    """
    header: list[str] | None = None
    unit = ""
    rows: list[SpecRow] = []
    sizes: list[SizeLimit] = []
    refused: list[tuple[int, str]] = []
    for line, record, trouble in records(lines):
        if trouble:
            refused.append((line, trouble))
        elif _is_header(record):
            header = [column(cell, _SHORT) for cell in record]
            header, unit = _unit_in_header(header)
        elif header is None:
            raise BadTable(
                "The spec sheet has no header row.",
                kept="Nothing was loaded.",
                next_step=f"Its first line must name the columns: {', '.join(TORQUE_COLUMNS[:8])} …",
            )
        elif any(cell.strip() for cell in record):
            _take_row(line, header, record, unit, rows, sizes, refused)
    if header is None:
        raise BadTable(
            "The spec sheet is empty.", kept="Nothing was loaded.", next_step="Give a CSV file with a header row and a row for each joint."
        )
    kept, clashes = without_contradictions(rows)
    return SpecSheet(tuple(kept), tuple(sizes), tuple(sorted([*refused, *clashes])))


def _unit_in_header(header: list[str]) -> tuple[list[str], str]:
    """A header such as ``torque_(nm)`` is the torque with its unit for every row that names none."""
    unit = ""
    for at, name in enumerate(header):
        tail = name.removeprefix("torque").replace("_", " ").strip("()[] ")
        if name.startswith("torque") and tail and "torque" not in header:
            try:
                unit = torque_unit(tail)
            except BadInput:
                continue
            header = [*header[:at], "torque", *header[at + 1 :]]
    return header, unit


def _take_row(
    line: int, header: list[str], record: list[str], unit: str, rows: list[SpecRow], sizes: list[SizeLimit], refused: list[tuple[int, str]]
) -> None:
    if len(record) > len(header) and any(cell.strip() for cell in record[len(header) :]):
        refused.append((line, f"has {len(record)} cells where the header has {len(header)}"))
        return
    row = {name: cell.strip() for name, cell in zip(header, record, strict=False)}
    if unit and not row.get("unit"):
        row["unit"] = unit
    try:
        if row.get("quantity"):
            sizes.append(_size_row(line, row))
        else:
            rows.append(_torque_row(line, row))
    except BadInput as bad:
        refused.append((line, bad.happened))


def _is_header(record: list[str]) -> bool:
    if not any(cell.strip().lower() == "part" for cell in record):
        return False
    names = {column(cell, _SHORT) for cell in record}
    return sum(name in _KNOWN or name.startswith("torque") for name in names) >= 2


def _extra(row: dict[str, str]) -> tuple[tuple[str, str], ...]:
    return tuple((name, value) for name, value in row.items() if name not in _KNOWN and name and value)


def _size_row(line: int, row: dict[str, str]) -> SizeLimit:
    low = _maybe(row.get("min") or row.get("low", ""), "min", -1e6, 1e6)
    high = _maybe(row.get("max") or row.get("high", ""), "max", -1e6, 1e6)
    if not row.get("part"):
        raise BadInput("names no part")
    if low is None and high is None:
        raise BadInput("has neither min nor max")
    if low is not None and high is not None and low > high:
        raise BadInput(f"the range is upside down: min {low:g}, max {high:g}")
    if not row.get("unit"):
        raise BadInput("has a size without its unit")
    return SizeLimit(
        part=row["part"],
        place=row.get("place") or None,
        quantity=row["quantity"].lower(),
        low=low,
        high=high,
        unit=size_unit(row["unit"]),
        line=line,
        note=row.get("note") or None,
        source=row.get("source") or None,
        extra=_extra(row),
    )


def _torque_row(line: int, row: dict[str, str]) -> SpecRow:
    if not row.get("part"):
        raise BadInput("names no part")
    value, low, high, unit = _torque(row)
    angle = _maybe(row.get("angle_deg", "").rstrip("° "), "angle", 0.5, 1080)
    if value is None and low is None and high is None and angle is None and not any(row.get(c) for c in ("count", "thread", "compound", "one_time")):
        raise BadInput("has no torque, range, angle, count, thread or compound: nothing to check")
    return SpecRow(
        part=row["part"],
        line=line,
        place=row.get("place") or None,
        fastener=row.get("fastener") or None,
        count=_maybe_whole(row.get("count", ""), "count", 1, 1000),
        thread=read_thread(row["thread"]).text if row.get("thread") else None,
        grade=grade(row["grade"]) if row.get("grade") else None,
        torque=value,
        unit=unit,
        angle_deg=angle,
        stage=_maybe_whole(row.get("stage", ""), "stage", 1, 20),
        low=low,
        high=high,
        tolerance_percent=_maybe(row.get("tolerance_percent", "").strip("±% "), "tolerance", 0.01, 50),
        order=_maybe_whole(row.get("order", ""), "order", 0, 100_000),
        condition=(row.get("condition") or "").lower() or None,
        material=(row.get("material") or "").lower() or None,
        engagement_mm=_maybe(row.get("engagement_mm", ""), "engagement", 0.1, 1000),
        compound=(row.get("compound") or "").lower() or None,
        one_time=cells.yes_or_no(row.get("one_time", ""), "one_time"),
        tool=row.get("tool") or None,
        note=row.get("note") or None,
        source=row.get("source") or None,
        extra=_extra(row),
    )


def _torque(row: dict[str, str]) -> tuple[float | None, float | None, float | None, str | None]:
    value, low, high, said = cells.torque_cell(row["torque"]) if row.get("torque") else (None, None, None, "")
    low = _maybe(row.get("low", ""), "low", 0.0, 1e6) if row.get("low") else low
    high = _maybe(row.get("high", ""), "high", 0.01, 1e6) if row.get("high") else high
    units = {torque_unit(text) for text in (said, row.get("unit", "")) if text}
    if len(units) > 1:
        raise BadInput(f"says two units at once: {' and '.join(sorted(units))}")
    values = [v for v in (value, low, high) if v is not None]
    if not values:
        return None, None, None, next(iter(units), None)
    if not units:
        raise BadInput("has a torque without its unit")
    unit = next(iter(units))
    if low is not None and high is not None and low > high:
        raise BadInput(f"the range is upside down: low {low:g}, high {high:g}")
    if value is not None and ((low is not None and value < low) or (high is not None and value > high)):
        raise BadInput(f"contradicts itself: torque {value:g} lies outside its own range")
    if to_nm(max(values), unit) > _MOST_NM:
        raise BadInput(f"torque {max(values):g} {unit} is absurdly large")
    return value, low, high, unit


def _maybe(text: str, name: str, low: float, high: float) -> float | None:
    return cells.number(text, name, low=low, high=high) if text else None


def _maybe_whole(text: str, name: str, low: int, high: int) -> int | None:
    return cells.whole(text, name, low=low, high=high) if text else None
