"""What the fastener can bear: a value beyond it is unlikely, whatever else is known."""

from __future__ import annotations

from dataclasses import dataclass

from gudgeon.checks.case import Case
from gudgeon.domain import ToolUsed
from gudgeon.trade import Limit, limit_of

ABSURD_NM = 10_000.0
"""Beyond this no fastener of a machine that one person tightens is left: an M48 of class 12.9 takes about that."""
_KEYS = {"hex key": "key", "hexalobular": "key", "socket": "wrench", "wrench": "wrench", "crowfoot": "wrench"}
_HOLLOW_GRADE = "5.8"


@dataclass(frozen=True, slots=True)
class Bears:
    """The limit and how it was come by: ``by`` is thread (said or in the sheet) or tool (a guess from the wrench's size)."""

    limit: Limit
    by: str
    guess: str = ""


def bears(case: Case) -> Bears | None:
    """The limit of the case's fastener: from its thread, else from the wrench that was used; None when neither tells."""
    if thread := case.thread():
        limit = _limit(case, thread, case.grade())
        return Bears(limit, "thread") if limit else None
    sizes = guessed_sizes(case)
    limits = [limit for size in sizes if (limit := _limit(case, size, case.grade() or _hollow_grade(case)))]
    if not limits:
        return None
    widest = max(limits, key=lambda limit: limit.nm)
    tool = case.entry.tool
    width = f"{tool.size:g} {tool.size_unit}" if tool and tool.size else ""
    return Bears(widest, "tool", f"a {width} {tool.tool if tool else 'tool'} suggests {' or '.join(sizes)}, no more than a guess")


def guessed_sizes(case: Case) -> tuple[str, ...]:
    """Threads that usually go with the wrench or key that was used, weakest evidence of all; empty when none was said."""
    return sizes_for(case, case.entry.tool)


def sizes_for(case: Case, tool: ToolUsed | None) -> tuple[str, ...]:
    """Threads whose usual heads a tool fits, in the table's order; nut and set-screw sizes count only for their fasteners."""
    if tool is None or tool.size is None or tool.size_unit is None or tool.tool not in _KEYS:
        return ()
    fits = case.trade.fits(width=tool.size, unit=tool.size_unit, drive=_KEYS[tool.tool])
    return tuple(dict.fromkeys(drive.size for drive in fits if drive.shape != "set screw"))


def _hollow_grade(case: Case) -> str | None:
    """Senders, sensors, plugs and unions are hollow or soft bodies: taken like grade 5.8 when their own hexagon was turned."""
    if case.entry.fastener not in {None, "plug", "union"}:
        return None
    name = " ".join(word for word in (case.entry.part, case.entry.fastener) if word)
    return _HOLLOW_GRADE if case.trade.words_in(name, "hollow body") else None


def _limit(case: Case, thread: str, grade: str | None) -> Limit | None:
    row = case.row
    compound = case.entry.compound.compound if case.entry.compound else case.shared("compound")
    condition = _condition(compound) or case.shared("condition")
    return limit_of(
        case.trade,
        thread=thread,
        grade=grade,
        condition=condition,
        material=case.shared("material"),
        engagement_mm=row.engagement_mm if row else None,
    )


def _condition(compound: str | None) -> str | None:
    return {"oil": "oiled", "assembly lube": "oiled", "anti-seize": "anti-seize", "grease": "grease", "thread locker": "thread locker"}.get(
        compound or ""
    )
