"""The workshop's small sums: a wrench with an adapter, an insert for a stripped thread, and a figure said in the wrong unit."""

from __future__ import annotations

from dataclasses import dataclass
from math import cos, inf, radians

from gudgeon.domain import BadInput
from gudgeon.trade.kinds import Insert, Thread
from gudgeon.units import to_nm

ADAPTER_FORMULA = "T_W = T·L/(L + E·cos θ)"
INSERT_LENGTHS = (1.0, 1.5, 2.0, 2.5, 3.0)
TORQUE_UNITS = ("N*m", "N*cm", "lbf*ft", "lbf*in", "kgf*m", "kgf*cm")


@dataclass(frozen=True, slots=True)
class InsertPlan:
    """What a wire-thread insert needs: drill and least hole in millimetres, the tap's name, and lengths by diameters."""

    thread: str
    drill_mm: float
    least_mm: float
    tap: str
    lengths_mm: tuple[tuple[float, float], ...]
    source: str


@dataclass(frozen=True, slots=True)
class MixUp:
    """A unit in which the figure would have been right, and what it would have been in newton metres."""

    unit: str
    nm: float


def adapter_setting(*, wanted: float, length: float, reach: float, angle_deg: float = 0.0) -> float:
    """What to set on the wrench, in the unit of ``wanted``: T_W = T·L/(L + E·cos θ).

    ``length`` is from the wrench's square to the middle of the grip, ``reach`` from the square to the fastener's axis, in one unit;
    ``angle_deg`` 0 is straight on, 90 needs no correction, above 90 points back. Published with adapter leaflets and US Army TM 9-254.
    A straight extension along the drive's axis changes nothing. Raises BadInput for lengths that cannot be.
    """
    if not (0 < wanted < inf and 0 < length < inf and 0 <= reach < inf):
        raise BadInput(
            "Torque and wrench length must be more than nothing, and the reach not negative.",
            next_step="Measure both in one unit, for example: --length 500 --reach 150",
        )
    if not 0 <= angle_deg <= 180:
        raise BadInput(
            f"An angle of {angle_deg:g}° cannot be: 0 is straight on, 90 square, 180 folded back.", next_step="Give an angle from 0 to 180."
        )
    arm = length + reach * cos(radians(angle_deg))
    if arm <= 0.2 * length:
        raise BadInput("The adapter reaches back so far that the wrench cannot tell the torque.", next_step="Use it straight on or square.")
    return wanted * length / arm


def insert_plan(thread: Thread, insert: Insert | None) -> InsertPlan:
    """Drill, tap and lengths of a wire-thread insert.

    The least hole is d + 0.2165·P (the tap's minor diameter, computed; the drill must not be smaller). Lengths are 1 to 3 diameters, and a
    nominal length is the least thickness of a through hole (ASME B18.29.8M as quoted). Makers differ by 0.1 mm in the drill: theirs decides.
    """
    if thread.series == "pipe" or thread.kind == "BSW":
        raise BadInput(f"gudgeon has no insert sizes for {thread.name}.", next_step="Ask the insert's maker for its drill and tap.")
    least = thread.diameter_mm + 0.2165 * thread.pitch_mm
    drill = insert.drill_mm if insert else round(least + 0.05, 1)
    source = insert.source if insert else "computed from the least hole, rounded up to a tenth"
    lengths = tuple((by, round(by * thread.diameter_mm, 2)) for by in INSERT_LENGTHS)
    return InsertPlan(thread.name, drill, round(least, 3), f"STI {thread.name}", lengths, source)


def mix_ups(value: float, unit: str, *, low_nm: float, high_nm: float) -> tuple[MixUp, ...]:
    """Other units in which the same figure would lie between low and high (N·m): the figure is off by 1.356, 8.85, 9.81, 12 or so."""
    if low_nm <= to_nm(value, unit) <= high_nm:
        return ()
    return tuple(MixUp(other, to_nm(value, other)) for other in TORQUE_UNITS if other != unit and low_nm <= to_nm(value, other) <= high_nm)
