"""Rows of one spec sheet that contradict or repeat one another are taken out, each naming the other's line."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from functools import lru_cache

from gudgeon.domain import SpecRow

Key = tuple[str, str, str, str, int | None]


def without_contradictions(rows: Sequence[SpecRow]) -> tuple[list[SpecRow], list[tuple[int, str]]]:
    """(rows that stand, refused rows): two rows for one joint and stage with different values are both refused, a repeat once.

    A stage whose count or grade differs from an earlier stage of its joint is refused too.
    """
    first: dict[Key, SpecRow] = {}
    out: dict[int, str] = {}
    for row in rows:
        key = _key(row)
        other = first.setdefault(key, row)
        if other is row:
            continue
        if _value(other) == _value(row):
            out[row.line] = f"repeats line {other.line}"
        else:
            out[row.line] = f"contradicts line {other.line}: the same joint and stage has {_words(other)} there and {_words(row)} here"
            out[other.line] = f"contradicts line {row.line}: the same joint and stage has {_words(row)} there and {_words(other)} here"
    for row, other, name in _other_count_or_grade([row for row in rows if row.line not in out]):
        out.setdefault(
            row.line, f"contradicts line {other.line}: the same joint has {name} {getattr(other, name)} there and {getattr(row, name)} here"
        )
    return [row for row in rows if row.line not in out], sorted(out.items())


def _other_count_or_grade(rows: Sequence[SpecRow]) -> Iterator[tuple[SpecRow, SpecRow, str]]:
    """(row, earlier row, column) where a stage names another count or grade than an earlier stage of its joint."""
    first: dict[tuple[Key, str], SpecRow] = {}
    for row in rows:
        joint: Key = (*_key(row)[:4], None)
        for name in ("count", "grade"):
            value = getattr(row, name)
            other = first.setdefault((joint, name), row) if value is not None else row
            if value is not None and getattr(other, name) != value:
                yield row, other, name


def _key(row: SpecRow) -> Key:
    return _level(row.part), _level(row.place), _level(row.fastener), row.thread or "", row.order if row.stage is None else row.stage


@lru_cache(maxsize=4096)
def _level(text: str | None) -> str:
    return " ".join((text or "").lower().split())


def _value(row: SpecRow) -> tuple[float | None, str | None, float | None, float | None, float | None]:
    return row.torque, row.unit, row.low, row.high, row.angle_deg


def _words(row: SpecRow) -> str:
    figure = f"{row.torque:g}" if row.torque is not None else f"{row.low or 0:g}-{row.high or 0:g}"
    angle = f" + {row.angle_deg:g}°" if row.angle_deg else ""
    return f"{figure} {row.unit or ''}{angle}".strip()
