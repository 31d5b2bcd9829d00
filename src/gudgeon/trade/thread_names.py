"""Thread names as people and tables write them, read into one spelling; names that cannot be are refused with a reason."""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import lru_cache

from gudgeon.domain import BadInput

INCH_MM = 25.4

_METRIC = re.compile(r"^m\s*(\d+(?:[.,]\d+)?)(?:\s*[x×*-]\s*(\d+(?:[.,]\d+)?))?$")
_INCH = re.compile(
    r"^((?:\d+\s+)?\d+/\d+|\d+(?:\.\d+)?|#\d+|no\.?\s*\d+)\s*(?:\"|in(?:ch)?)?\s*(?:[-x]\s*(\d+))?\s*(unc|unf|bsw|bsf|bspp?|bspt|g|r|npt)?$"
)
_PIPE = re.compile(r"^(g|r)\s*(\d+/\d+|\d+)$")
_KINDS = {"bspp": "BSP", "bspt": "BSP", "g": "BSP", "r": "BSP"}
LOOK = "Look at the thread again, or measure its pitch with a gauge."


@dataclass(frozen=True, slots=True)
class ThreadName:
    """A thread's name: ``text`` in the house's spelling, ``size`` (``M8``, ``5/16``, ``1/4 BSP``), ``kind``, and millimetres.

    ``kind`` is ``metric``, ``unified``, ``BSW``, ``BSF``, ``BSP`` or ``NPT``; ``diameter_mm`` is None for pipe threads, whose name is no
    diameter; ``pitch_mm`` is None when the name holds no pitch.
    """

    text: str
    size: str
    kind: str
    diameter_mm: float | None
    pitch_mm: float | None


@lru_cache(maxsize=4096)
def read_thread(text: str) -> ThreadName:
    """Read ``M8``, ``m8 x 1.25``, ``5/16-18``, ``7/16 UNF``, ``1/4 BSP``, ``1/8 NPT``; raises BadInput with the reason.

    Impossible names are refused by proportion: no fastener's pitch is more than about a fifth of its diameter (M1.6 has 0.22, M24 0.125).
    """
    plain = " ".join(text.strip().lower().replace("″", '"').split())
    metric = _METRIC.match(plain)
    if metric:
        return _metric(text, metric)
    pipe = _PIPE.match(plain)
    if pipe:
        return ThreadName(f"{pipe[2]} BSP", f"{pipe[2]} BSP", "BSP", None, None)
    inch = _INCH.match(plain)
    if inch:
        return _inch(text, inch)
    raise BadInput(f"“{text}” is no thread that gudgeon knows (it reads M8, M8x1.25, 5/16-18, 1/2 BSW, 1/4 BSP, 1/8 NPT).", next_step=LOOK)


def _metric(text: str, found: re.Match[str]) -> ThreadName:
    diameter = float(found[1].replace(",", "."))
    if not 1 <= diameter <= 150:
        raise BadInput(f"“{text}” cannot be: metric fasteners run from M1 to M150.", next_step=LOOK)
    size = f"M{diameter:g}"
    if found[2] is None:
        return ThreadName(size, size, "metric", diameter, None)
    pitch = float(found[2].replace(",", "."))
    if not 0.2 <= pitch <= 0.2 * diameter + 0.1:
        raise BadInput(f"“{text}” cannot be: a pitch of {pitch:g} mm does not fit on a diameter of {diameter:g} mm.", next_step=LOOK)
    return ThreadName(f"{size}x{pitch:g}", size, "metric", diameter, pitch)


def _inch(text: str, found: re.Match[str]) -> ThreadName:
    size, per_inch, kind = re.sub(r"^no\.?\s*", "#", found[1]), found[2], found[3]
    if kind in {"npt", "bsp", "bspp", "bspt", "g", "r"}:
        name = _KINDS.get(kind, kind.upper())
        return ThreadName(f"{size} {name}", f"{size} {name}", name, None, None)
    diameter = _inches(text, size)
    if per_inch is None and kind is None and "/" not in size and not size.startswith("#"):
        raise BadInput(f"“{text}” is no thread that gudgeon knows: say M{size}, or an inch size with its pitch (1/4-20).", next_step=LOOK)
    family = kind.upper() if kind in {"bsw", "bsf"} else "unified"
    base = f"{size} {family}" if family != "unified" else size
    if per_inch is None:
        tail = f" {kind.upper()}" if kind in {"unc", "unf"} else ""
        return ThreadName(base + tail, base, family, diameter * INCH_MM, None)
    pitch = 1 / int(per_inch) if int(per_inch) else 0.0
    if not 4 <= int(per_inch) <= 80 or pitch > 0.25 * diameter:
        raise BadInput(f"“{text}” cannot be: {per_inch} threads an inch do not fit on {size} in.", next_step=LOOK)
    name = f"{size}-{per_inch}" + (f" {family}" if family != "unified" else "")
    return ThreadName(name, base, family, diameter * INCH_MM, pitch * INCH_MM)


def _inches(text: str, size: str) -> float:
    if size.startswith("#"):
        number = int(size[1:])
        if number > 12:
            raise BadInput(f"“{text}” cannot be: numbered inch screws end at 12.", next_step=LOOK)
        return 0.06 + 0.013 * number
    total = 0.0
    for piece in size.split():
        over, _, under = piece.partition("/")
        if under and int(under) not in {2, 4, 8, 16, 32, 64}:
            raise BadInput(f"“{text}” cannot be: inch sizes are halves, quarters, eighths, sixteenths.", next_step=LOOK)
        total += float(over) / (int(under) if under else 1)
    if not 0 < total <= 6:
        raise BadInput(f"“{text}” cannot be: inch fasteners end at 6 in.", next_step=LOOK)
    return total
