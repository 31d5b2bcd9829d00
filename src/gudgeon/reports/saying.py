"""How values, sizes, tools, counts and times are written in every report."""

from __future__ import annotations

import json
from datetime import datetime, tzinfo
from pathlib import PurePath
from typing import Any

from gudgeon.domain import AngleDone, CompoundUsed, Entry, SizeMeasured, ToolUsed, TorqueDone

UNITS = {
    "N*m": "N·m",
    "N*cm": "N·cm",
    "lbf*ft": "lb·ft",
    "lbf*in": "lb·in",
    "kgf*m": "kgf·m",
    "kgf*cm": "kgf·cm",
    "degC": "°C",
    "degF": "°F",
    "deg": "°",
    "um": "µm",
    "ohm": "Ω",
}


def number(value: float, figures: int = 4) -> str:
    """A figure with no more digits than it was said with, and never as a power of ten below a million."""
    text = f"{value:.{figures}g}" if abs(value) >= 1e6 else f"{round(value, 6):.6f}".rstrip("0").rstrip(".")
    return "0" if text in ("-0", "") else text


def unit(name: str | None) -> str:
    """A unit as people write it."""
    return UNITS.get(name or "", name or "")


def torque(value: TorqueDone, *, beside: bool = True) -> str:
    """A torque as said, with newton metres ``beside`` it when it was said in another unit."""
    said = number(value.value)
    if value.low is not None and value.high is not None:
        said = f"{number(value.low)} to {number(value.high)}"
    if value.unit is None:
        text = f"{said} (no unit said)"
    else:
        text = f"{said} {unit(value.unit)}"
        if beside and value.unit != "N*m" and value.nm is not None:
            text += f" ({newton_metres(value.nm)} N·m)"
    if value.angle_deg is not None:
        text += f" + {number(value.angle_deg)}°"
    if value.stage is not None:
        text = f"stage {value.stage}: {text}"
    return text + (", a guess" if value.hedged else "")


def newton_metres(nm: float) -> str:
    """Newton metres to three figures: a tenth is the most that a hand torque wrench tells."""
    return f"{nm:.3g}" if nm < 100 else f"{nm:.0f}"


def angle(value: AngleDone) -> str:
    """A turn."""
    text = f"{number(value.angle_deg)}° further"
    return f"stage {value.stage}: {text}" if value.stage is not None else text


def size(value: SizeMeasured) -> str:
    """A measured size."""
    space = "" if value.unit in ("deg",) else " "
    return f"{value.quantity or 'size'} {number(value.value)}{space}{unit(value.unit)}"


def tool(value: ToolUsed) -> str:
    """A tool with its size."""
    if value.size is None:
        return value.tool
    if value.size_unit == "T":
        return f"T{number(value.size)} {value.tool}"
    if value.size_unit == "in":
        return f"{inches(value.size)} {value.tool}"
    return f"{number(value.size)} {value.size_unit or ''} {value.tool}".replace("  ", " ")


def inches(value: float) -> str:
    """Inches as a fraction where it is one of a sixty-fourth: 0.4375 is 7/16 in."""
    parts = round(value * 64)
    if parts == 0 or abs(parts / 64 - value) > 1e-6:
        return f"{number(value)} in"
    whole, rest = divmod(parts, 64)
    below = 64
    while rest and rest % 2 == 0:
        rest, below = rest // 2, below // 2
    fraction = f"{rest}/{below}" if rest else ""
    return f"{whole if whole else ''}{' ' if whole and rest else ''}{fraction} in"


def compound(value: CompoundUsed) -> str:
    """A compound with its strength."""
    return f"{value.compound}, {value.strength} strength" if value.strength else value.compound


def joint(entry: Entry) -> str:
    """What an entry is about: part, place and fastener in words."""
    return f"{entry.part}, {entry.place}" if entry.part and entry.place else entry.part or entry.place or "part not named"


def fasteners(entry: Entry) -> str:
    """The fasteners of an entry in words: ``8 bolts M8x1.25, grade 8.8``; empty when none was named."""
    if not (entry.fastener or entry.thread or entry.count):
        return ""
    word = entry.fastener or "fastener"
    words = [str(entry.count)] if entry.count else []
    words.append(plural(word) if (entry.count or 0) > 1 else word)
    if entry.thread:
        words.append(entry.thread + (f" x {number(entry.length_mm)} mm" if entry.length_mm else ""))
    elif entry.length_mm:
        words.append(f"{number(entry.length_mm)} mm long")
    return " ".join(words) + (f", grade {entry.grade}" if entry.grade else "")


def plural(word: str) -> str:
    """More than one of a thing."""
    return word + ("es" if word.endswith(("s", "sh", "ch", "x")) else "s")


def counted(count: int, word: str) -> str:
    """``1 note``, ``3 notes``."""
    return f"{count} {word if count == 1 else plural(word)}"


def clock(seconds: float | None) -> str:
    """A place in a recording: ``1:07``; empty when there is none."""
    if seconds is None:
        return ""
    minutes, rest = divmod(int(seconds), 60)
    hours, minutes = divmod(minutes, 60)
    return f"{hours}:{minutes:02}:{rest:02}" if hours else f"{minutes}:{rest:02}"


def length(seconds: float) -> str:
    """How long something is, in words."""
    minutes, rest = divmod(round(seconds), 60)
    hours, minutes = divmod(minutes, 60)
    if hours:
        return f"{hours} h {minutes} min"
    return f"{minutes} min {rest} s" if minutes else f"{rest} s"


def source(text: str) -> str:
    """Where a session came from: the name of a file without its folders, else the words as they are."""
    return PurePath(text).name if text.startswith(("/", "~", ".")) or "/" in text else text


def day(moment: datetime, zone: tzinfo | None = None) -> str:
    """A day and time in the owner's zone: ``4 May 2026, 09:30``."""
    local = moment.astimezone(zone)
    return f"{local.day} {local:%B %Y, %H:%M}"


def date(moment: datetime, zone: tzinfo | None = None) -> str:
    """A day in the owner's zone: ``4 May 2026``."""
    local = moment.astimezone(zone)
    return f"{local.day} {local:%B %Y}"


_TYPES: dict[str, Any] = {
    "torques": (TorqueDone, torque),
    "angles": (AngleDone, angle),
    "measures": (SizeMeasured, size),
    "tool": (ToolUsed, tool),
    "compound": (CompoundUsed, compound),
}


def changed(field: str | None, text: str | None) -> str:
    """One side of a change in the history, stored as JSON, as people write it; ``nothing`` for an empty one."""
    try:
        value = json.loads(text) if text else None
    except json.JSONDecodeError:
        return text or "nothing"
    values = value if isinstance(value, list) else [] if value is None else [value]
    return "; ".join(_said(field, each) for each in values) or "nothing"


def _said(field: str | None, value: Any) -> str:
    made, words = _TYPES.get(field or "", (None, None))
    return words(made(**value)) if made and isinstance(value, dict) else str(value)
