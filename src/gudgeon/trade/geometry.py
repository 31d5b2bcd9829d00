"""Diameters and areas of screw threads, from diameter and pitch by their standards' formulas; millimetres throughout."""

from __future__ import annotations

from math import pi, sqrt

from gudgeon.domain import BadInput
from gudgeon.trade.kinds import Thread
from gudgeon.trade.thread_names import INCH_MM

_WHITWORTH = {"BSW", "BSP"}


def pitch_diameter_mm(thread: Thread) -> float:
    """Basic pitch diameter d2: d - 0.649519 P for 60° threads (ISO 724), d - 0.640327 P for Whitworth's 55° (BS 84). No tapered threads."""
    return thread.diameter_mm - (0.640327 if thread.kind in _WHITWORTH else 0.649519) * thread.pitch_mm


def minor_diameter_mm(thread: Thread) -> float:
    """Root diameter d3 of the bolt: d - 1.226869 P for 60° threads (ISO 898-1), d - 1.280654 P for Whitworth's 55° (BS 84)."""
    return thread.diameter_mm - (1.280654 if thread.kind in _WHITWORTH else 1.226869) * thread.pitch_mm


def nut_minor_diameter_mm(thread: Thread) -> float:
    """Basic minor diameter D1 of the nut: d - 1.082532 P for 60° threads (ISO 724), d - 1.280654 P for Whitworth's 55°."""
    return thread.diameter_mm - (1.280654 if thread.kind in _WHITWORTH else 1.082532) * thread.pitch_mm


def stress_area_mm2(thread: Thread) -> float:
    """Tensile stress area in mm².

    Metric and Whitworth: π/4·((d2+d3)/2)², the form of ISO 898-1. Unified: 0.7854·(D - 0.9743/n)² in inches, as ASME B1.1 has it (the ISO
    form would be 0.6 to 1.8 % higher there). Full-size threads only: hot-dip threads (6az) are smaller. Raises BadInput for pipe threads,
    which are no fasteners.
    """
    if thread.series == "pipe":
        raise BadInput(
            f"{thread.name} is a pipe thread: it seals and has no stress area.",
            next_step="Look its torque up in the fitting's or the machine's manual.",
        )
    if thread.kind == "unified":
        inches = (thread.diameter_mm - 0.9743 * thread.pitch_mm) / INCH_MM
        return 0.7854 * inches**2 * INCH_MM**2
    return pi / 4 * ((pitch_diameter_mm(thread) + minor_diameter_mm(thread)) / 2) ** 2


def stress_diameter_mm(thread: Thread) -> float:
    """d0, the diameter of the stress area: √(4·As/π); (d2+d3)/2 for metric threads."""
    return sqrt(4 * stress_area_mm2(thread) / pi)


def strip_area_mm2(thread: Thread, engagement_mm: float) -> float:
    """Area of the tapped thread that shears when it strips, in mm².

    π·d·Le·(0.5 + 0.57735·(d - d2)/P): the shear cylinder at the bolt's major diameter on basic size (form of FED-STD-H28/2B, from memory).
    Limits: no tolerances, no chamfer or half-cut first turn; a worn or loose thread has less.
    """
    if engagement_mm <= 0:
        raise BadInput("The engagement must be more than nothing.")
    return pi * thread.diameter_mm * engagement_mm * (0.5 + 0.57735 * (thread.diameter_mm - pitch_diameter_mm(thread)) / thread.pitch_mm)
