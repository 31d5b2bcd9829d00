"""What a fastener can bear: the torque that yields it, or strips its thread, from whatever was said of it; never lower than is sure."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

from gudgeon.trade.kinds import Bearing, Friction, Strength, Thread
from gudgeon.trade.tightening import EDITION, tightening, torque_to_strip_nm, torque_to_yield_nm
from gudgeon.trade.trade import Trade

_UNKNOWN_FRICTION = "zinc"
_STAINLESS_FRICTION = "stainless dry"


@dataclass(frozen=True, slots=True, kw_only=True)
class Limit:
    """The torque in N·m above which the bolt yields or the thread strips, and the usual one; ``sure`` False when a thing was assumed.

    ``usual_nm`` is the torque at 0.9 of yield and usual friction, None when the grade was assumed.
    """

    nm: float
    usual_nm: float | None
    sure: bool
    what: str
    how: str
    reference: str


@lru_cache(maxsize=4096)
def limit_of(
    trade: Trade,
    *,
    thread: str,
    grade: str | None = None,
    condition: str | None = None,
    head: str = "hex",
    material: str | None = None,
    engagement_mm: float | None = None,
) -> Limit | None:
    """The highest torque this fastener could bear, over every reading of what was said; None when the thread is not known or no fastener.

    A thread without pitch is taken as its strongest series, a grade that was not said as the strongest usual one (12.9; grade 8 on inch
    threads; class 80 of a stainless steel), friction that was not said as the high end of dry zinc: so the limit errs to the high side, and
    what is beyond it is surely wrong.
    """
    best: Limit | None = None
    for each in trade.threads_of(thread):
        limit = _one(trade, each, grade=grade, condition=condition, head=head, material=material, engagement_mm=engagement_mm)
        if limit and (best is None or limit.nm > best.nm):
            best = limit
    return best


def _one(
    trade: Trade, thread: Thread, *, grade: str | None, condition: str | None, head: str, material: str | None, engagement_mm: float | None
) -> Limit | None:
    if thread.series == "pipe":
        return None
    known = trade.strength(grade, thread)
    strength = known or trade.strength(f"{grade}-80", thread) or trade.strongest(thread)
    if strength is None:
        return None
    friction = trade.friction(condition) or trade.frictions[_STAINLESS_FRICTION if strength.family == "stainless" else _UNKNOWN_FRICTION]
    bearing = bearing_or_guess(trade, thread, head)
    yields = torque_to_yield_nm(thread, strength, mu=friction.high, bearing=bearing)
    limit = _yield_limit(thread, strength, friction, bearing, known=known is not None, yields=yields)
    soft = trade.material(material)
    if soft and engagement_mm:
        strips = torque_to_strip_nm(thread, engagement_mm=engagement_mm, shear_mpa=soft.shear_mpa, mu=friction.high, bearing=bearing)
        if strips < yields:
            return Limit(
                nm=strips,
                usual_nm=limit.usual_nm,
                sure=False,
                what=f"{engagement_mm:g} mm of {thread.name} in {soft.name} strips at about {strips:.3g} N·m",
                how=f"shear strength {soft.shear_mpa:g} MPa, friction {friction.high:g} ({friction.condition})",
                reference=f"computed; {soft.source}",
            )
    return limit


def _yield_limit(thread: Thread, strength: Strength, friction: Friction, bearing: Bearing, *, known: bool, yields: float) -> Limit:
    usual = tightening(thread, strength, friction=friction, bearing=bearing).torque_nm if known else None
    grade = f"of grade {strength.grade}" if known else f"even of grade {strength.grade}, the strongest that may be meant,"
    return Limit(
        nm=yields,
        usual_nm=usual,
        sure=known,
        what=f"{thread.name} {grade} begins to yield at about {yields:.3g} N·m",
        how=f"share 1.0 of {strength.yield_mpa:g} MPa, friction {friction.high:g} (the high end of {friction.condition})",
        reference=f"computed by the long form, {EDITION}",
    )


def bearing_or_guess(trade: Trade, thread: Thread, head: str = "hex") -> Bearing:
    """Bearing face and hole of a head; by proportion (1.45 d and 1.1 d) where the table has no row for the size."""
    found = trade.bearing(thread, head) or trade.bearing(thread)
    if found:
        return found
    return Bearing(thread.size, head, 1.45 * thread.diameter_mm, 1.1 * thread.diameter_mm, "by proportion to the diameter, no table row")
