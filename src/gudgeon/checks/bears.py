"""What the fastener can bear: a value beyond it is unlikely, whatever else is known."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

from gudgeon.domain import Entry, SpecRow, ToolUsed
from gudgeon.trade import Limit, Trade, limit_of

ABSURD_NM = 10_000.0
"""Beyond this no fastener of a machine that one person tightens is left: an M48 of class 12.9 takes about that."""
_KEYS = {"hex key": "key", "hexalobular": "key", "socket": "wrench", "wrench": "wrench", "crowfoot": "wrench"}
_HOLLOW_GRADE = "5.8"
_CONDITIONS = {"oil": "oiled", "assembly lube": "oiled", "anti-seize": "anti-seize", "grease": "grease", "thread locker": "thread locker"}


@dataclass(frozen=True, slots=True)
class Bears:
    """The limit and how it was come by: ``by`` is thread (said or in the sheet) or tool (a guess from the wrench's size)."""

    limit: Limit
    by: str
    guess: str = ""


def bears(entry: Entry, rows: Sequence[SpecRow], trade: Trade) -> Bears | None:
    """The limit of an entry's fastener: from its thread, said or in the sheet, else from the wrench that was used; None when neither tells."""
    thread = _thread(entry.thread, first(rows, "thread"))
    grade = entry.grade or first(rows, "grade")
    if thread:
        limit = _limit(entry, rows, trade, thread, grade)
        return Bears(limit, "thread") if limit else None
    sizes = guessed_sizes(entry.tool, trade)
    limits = [limit for size in sizes if (limit := _limit(entry, rows, trade, size, grade or _hollow_grade(entry, trade)))]
    if not limits:
        return None
    tool = entry.tool
    width = f"{tool.size:g} {tool.size_unit}" if tool and tool.size else ""
    guess = f"a {width} {tool.tool if tool else 'tool'} suggests {' or '.join(sizes)}, no more than a guess"
    return Bears(max(limits, key=lambda limit: limit.nm), "tool", guess)


def _thread(said: str | None, sheet: str | None) -> str | None:
    """The thread that was said; the sheet's where it names the same size with its pitch."""
    if said and sheet and sheet.startswith((f"{said}x", f"{said}-")):
        return sheet
    return said or sheet


def first(rows: Sequence[SpecRow], name: str) -> str | None:
    """A text column of a joint's rows: the first one filled in."""
    return next((str(value) for row in rows if (value := getattr(row, name))), None)


@lru_cache(maxsize=4096)
def guessed_sizes(tool: ToolUsed | None, trade: Trade) -> tuple[str, ...]:
    """Threads that usually go with a wrench or key, weakest evidence of all; empty when no size was said. Set screws do not count."""
    if tool is None or tool.size is None or tool.size_unit is None or tool.tool not in _KEYS:
        return ()
    fits = trade.fits(width=tool.size, unit=tool.size_unit, drive=_KEYS[tool.tool])
    return tuple(dict.fromkeys(drive.size for drive in fits if drive.shape != "set screw"))


def _hollow_grade(entry: Entry, trade: Trade) -> str | None:
    """Senders, sensors, plugs and unions are hollow or soft bodies: taken like grade 5.8 when their own hexagon was turned."""
    if entry.fastener not in {None, "plug", "union"}:
        return None
    name = " ".join(word for word in (entry.part, entry.fastener) if word)
    return _HOLLOW_GRADE if trade.words_in(name, "hollow body") else None


def _limit(entry: Entry, rows: Sequence[SpecRow], trade: Trade, thread: str, grade: str | None) -> Limit | None:
    compound = entry.compound.compound if entry.compound else first(rows, "compound")
    return limit_of(
        trade,
        thread=thread,
        grade=grade,
        condition=_CONDITIONS.get(compound or "") or first(rows, "condition"),
        material=first(rows, "material"),
        engagement_mm=next((row.engagement_mm for row in rows if row.engagement_mm), None),
    )
