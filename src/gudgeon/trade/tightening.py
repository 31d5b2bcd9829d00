"""Torque, preload and what friction does to them: the long form, the short form, and the share of yield that is used; pure sums."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from math import pi, sqrt

from gudgeon.domain import BadInput
from gudgeon.trade.geometry import pitch_diameter_mm, stress_area_mm2, stress_diameter_mm, strip_area_mm2
from gudgeon.trade.kinds import Bearing, Friction, Strength, Thread

EDITION = "VDI 2230, 2001 edition and later (torsion counted); tables before 2001 at µ 0.14 give about 0.91 of it"
FORMULA = "T = F·(P/2π + 0.577·µ_thread·d2 + µ_head·D_Km/2), D_Km = (d_w + d_h)/2; F = A_s·share·R/√(1 + 3·[1.5·(d2/d0)·(P/(π·d2) + 1.155·µ)]²)"
THREAD_FACTOR = 0.577
"""1/(2·cos 30°): friction on a flank of a 60° thread, in the torque."""
TORSION_FACTOR = 1.155
"""1/cos 30°: friction on a flank of a 60° thread, in the torsion of the shank."""
USUAL_SHARE = 0.9


@dataclass(frozen=True, slots=True)
class Tightening:
    """A computed tightening: newton metres and newtons at the usual friction, and the torques that low and high friction would need."""

    torque_nm: float
    preload_n: float
    low_nm: float
    high_nm: float
    share: float
    of: str
    friction: Friction


def proof_load_n(thread: Thread, strength: Strength) -> float:
    """Proof load in newtons: As·Sp (ISO 898-1, SAE J429). Raises BadInput for stainless classes, which have no proof load."""
    if strength.proof_mpa is None:
        raise BadInput(
            f"Grade {strength.grade} is stainless and has no proof load; use a share of its yield (0.2 % proof stress).", next_step="Say --of yield."
        )
    return stress_area_mm2(thread) * strength.proof_mpa


@lru_cache(maxsize=4096)
def preload_n(thread: Thread, *, stress_mpa: float, share: float, mu: float, torsion: bool = True) -> float:
    """Preload in newtons at which tension and torsion together reach ``share`` of ``stress_mpa``.

    F = As·share·R/√(1 + 3·[1.5·(d2/d0)·(P/(π·d2) + 1.155·µ)]²), VDI 2230:2001. Without ``torsion`` it is As·share·R, as tables of a share of
    the proof load have it. Limits: a full shank is assumed weaker than nowhere; no bending, no heat.
    """
    _check(share=share, mu=mu)
    plain = stress_area_mm2(thread) * share * stress_mpa
    if not torsion:
        return plain
    d2 = pitch_diameter_mm(thread)
    twist = 1.5 * (d2 / stress_diameter_mm(thread)) * (thread.pitch_mm / (pi * d2) + TORSION_FACTOR * mu)
    return plain / sqrt(1 + 3 * twist**2)


def bearing_diameter_mm(bearing: Bearing) -> float:
    """D_Km, the mean diameter of the rubbing face: (d_w + d_h)/2 of bearing face and clearance hole, not the width across flats."""
    return (bearing.face_mm + bearing.hole_mm) / 2


def torque_nm(thread: Thread, *, preload_n: float, mu: float, bearing: Bearing, mu_head: float | None = None) -> float:
    """Torque in N·m that gives a preload (newtons), by the long form of VDI 2230 with friction µ in the thread and under the head."""
    _check(mu=mu)
    return preload_n * _millimetres(thread, mu, mu if mu_head is None else mu_head, bearing) / 1000


def preload_from_torque_n(thread: Thread, *, torque_nm: float, mu: float, bearing: Bearing, mu_head: float | None = None) -> float:
    """Preload in newtons that a torque (N·m) gives: the long form turned round. Friction scatters, so that a real preload does by as much."""
    _check(mu=mu)
    if torque_nm < 0:
        raise BadInput("A torque cannot be negative.")
    return torque_nm * 1000 / _millimetres(thread, mu, mu if mu_head is None else mu_head, bearing)


def short_torque_nm(*, preload_n: float, k: float, diameter_mm: float) -> float:
    """Torque in N·m by the short form T = K·F·d (SAE handbooks). K holds all friction; it scatters by a quarter and more."""
    if k <= 0 or diameter_mm <= 0:
        raise BadInput("K and the diameter must be more than nothing.")
    return k * preload_n * diameter_mm / 1000


def tightening(
    thread: Thread, strength: Strength, *, friction: Friction, bearing: Bearing, share: float = USUAL_SHARE, of: str = "yield"
) -> Tightening:
    """Torque and preload at a share of yield (torsion counted) or of proof (``of="proof"``, plain As·Sp·share), with friction's scatter.

    The scatter answers: which torque reaches the same share of strength if friction is low, or high. Setting more than the low one risks the
    bolt where friction happens to be low.
    """
    if of not in {"yield", "proof"}:
        raise BadInput(f"A share is of yield or of proof, not of “{of}”.", next_step="Say --of yield or --of proof.")
    if of == "proof":
        proof_load_n(thread, strength)
    stress = strength.yield_mpa if of == "yield" else strength.proof_mpa or 0.0

    def load(mu: float) -> float:
        return preload_n(thread, stress_mpa=stress, share=share, mu=mu, torsion=of == "yield")

    low, usual, high = (torque_nm(thread, preload_n=load(mu), mu=mu, bearing=bearing) for mu in (friction.low, friction.usual, friction.high))
    return Tightening(usual, load(friction.usual), low, high, share, of, friction)


@lru_cache(maxsize=4096)
def torque_to_yield_nm(thread: Thread, strength: Strength, *, mu: float, bearing: Bearing) -> float:
    """Torque in N·m at which the bolt begins to yield (share 1.0 of the minimum yield, torsion counted) with friction µ."""
    return torque_nm(thread, preload_n=preload_n(thread, stress_mpa=strength.yield_mpa, share=1.0, mu=mu), mu=mu, bearing=bearing)


def share_of_yield(thread: Thread, strength: Strength, *, preload: float, mu: float) -> float:
    """The share of yield (torsion counted) that a preload in newtons uses."""
    return preload / preload_n(thread, stress_mpa=strength.yield_mpa, share=1.0, mu=mu)


def torque_to_strip_nm(thread: Thread, *, engagement_mm: float, shear_mpa: float, mu: float, bearing: Bearing) -> float:
    """Torque in N·m at which a tapped thread strips: the preload As_shear·τ put into the long form.

    Limits: as ``strip_area_mm2``; τ of a casting scatters, the table's is the low end, from memory.
    """
    load = strip_area_mm2(thread, engagement_mm) * shear_mpa
    return torque_nm(thread, preload_n=load, mu=mu, bearing=bearing)


def engagement_needed_mm(thread: Thread, *, preload: float, shear_mpa: float) -> float:
    """Length of engagement in millimetres at which a preload (newtons) would just strip the thread; use more."""
    return preload / (strip_area_mm2(thread, 1.0) * shear_mpa)


def _millimetres(thread: Thread, mu: float, mu_head: float, bearing: Bearing) -> float:
    """The arm of the preload in the long form, in millimetres."""
    return thread.pitch_mm / (2 * pi) + THREAD_FACTOR * mu * pitch_diameter_mm(thread) + mu_head * bearing_diameter_mm(bearing) / 2


def _check(*, mu: float, share: float = 0.5) -> None:
    if not 0.01 <= mu <= 1.0:
        raise BadInput(
            f"A friction of {mu:g} cannot be: dry steel is about 0.15, lubricated about 0.1.", next_step="Give a value between 0.01 and 1."
        )
    if not 0 < share <= 1.0:
        raise BadInput(f"A share of {share:g} cannot be: it lies between 0 and 1.", next_step="Give a share such as 0.9.")
