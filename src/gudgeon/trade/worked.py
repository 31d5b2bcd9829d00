"""The trade's sums, worked out in full: result, formula, steps, sources and cautions, for a person who asks."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from math import inf, pi

from gudgeon.domain import BadInput
from gudgeon.trade.geometry import pitch_diameter_mm, stress_area_mm2
from gudgeon.trade.kinds import Bearing, Friction, Strength, Thread
from gudgeon.trade.limits import bearing_or_guess
from gudgeon.trade.thread_names import read_thread
from gudgeon.trade.tightening import (
    EDITION,
    FORMULA,
    THREAD_FACTOR,
    USUAL_SHARE,
    bearing_diameter_mm,
    preload_from_torque_n,
    share_of_yield,
    short_torque_nm,
    tightening,
)
from gudgeon.trade.trade import Trade
from gudgeon.trade.workshop import ADAPTER_FORMULA, adapter_setting, insert_plan
from gudgeon.units import convert, to_nm

COMPUTED = "This is computed from usual strengths and friction. It is no specification: the maker's manual decides."
FRICTION = "Friction scatters: where it is lower than assumed, the same torque pulls the bolt harder."
SAFETY = "Never use a computed value on brakes, steering, suspension, wheels, fuel, lifting or pressure parts."
ADAPTER = "This setting is computed: the leaflets of the wrench and the adapter, and the maker's manual, decide."
CONVERTED = "The conversion is computed: which value holds is for the maker's manual to say."
INSERT = "The least hole and lengths are computed: the insert's maker and the machine's manual decide."
ABSURD_SHARE = 10
_LOW, _HIGH = 5 / 6, 4 / 3
_SCATTER = "scatter of 5/6 to 4/3 of the friction given, as 0.12 has 0.10 to 0.16; common practice, no source"
_TORQUES = ("N*m", "N*cm", "lbf*ft", "lbf*in", "kgf*m", "kgf*cm")


@dataclass(frozen=True, slots=True)
class Worked:
    """One sum worked out: ``answer`` in one sentence, ``values`` by name, the formula, the steps, sources and cautions."""

    answer: str
    values: Mapping[str, object]
    formula: str
    steps: tuple[str, ...]
    sources: tuple[str, ...]
    cautions: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Bolt:
    """A thread with what it is made of and what it rubs on."""

    thread: Thread
    strength: Strength
    friction: Friction
    bearing: Bearing


def bolt_of(
    trade: Trade, *, thread: str, grade: str, mu: float | None = None, condition: str | None = None, head: str = "hex", hole_mm: float | None = None
) -> Bolt:
    """Look a bolt up; a thread without its pitch is the coarse one. Raises BadInput in plain words for what is not known."""
    chosen = _thread(trade, thread)
    strength = trade.strength(grade, chosen)
    if strength is None:
        names = ", ".join(dict.fromkeys(s.grade for s in trade.strengths))
        raise BadInput(f"gudgeon has no grade “{grade}” for {chosen.name}.", next_step=f"It has {names}; inch grades go with inch threads.")
    bearing = bearing_or_guess(trade, chosen, head)
    if hole_mm is not None:
        if not 0 < hole_mm < bearing.face_mm:
            raise BadInput(
                f"A hole of {hole_mm:g} mm does not fit under a head whose face is {bearing.face_mm:g} mm wide.",
                next_step="Leave --hole out for the usual clearance hole.",
            )
        bearing = replace(bearing, hole_mm=hole_mm, source=f"{bearing.source}; hole as given")
    return Bolt(chosen, strength, _friction(trade, strength, mu, condition), bearing)


def _thread(trade: Trade, name: str) -> Thread:
    read_thread(name)
    threads = trade.threads_of(name)
    if not threads:
        raise BadInput(f"gudgeon has no size for the thread “{name}”.", next_step="Say its pitch too, such as M27x3, or a size from M3 to M24.")
    return threads[0]


def _friction(trade: Trade, strength: Strength, mu: float | None, condition: str | None) -> Friction:
    if mu is not None:
        if not 0.01 <= mu <= 1:
            raise BadInput(
                f"A friction of {mu:g} cannot be: dry steel is about 0.15, lubricated about 0.1.", next_step="Give a value from 0.01 to 1."
            )
        return Friction("as given", max(mu * _LOW, 0.01), mu, min(mu * _HIGH, 1.0), 0.0, _SCATTER)
    name = condition or ("stainless dry" if strength.family == "stainless" else "as received")
    friction = trade.friction(name)
    if friction is None:
        raise BadInput(f"gudgeon has no friction for “{condition}”.", next_step=f"It has {', '.join(trade.frictions)}.")
    return friction


def work_torque(bolt: Bolt, *, share: float = USUAL_SHARE, of: str = "yield") -> Worked:
    """The torque that a share of yield or proof allows, its preload, and the range that friction's scatter gives."""
    done = tightening(bolt.thread, bolt.strength, friction=bolt.friction, bearing=bolt.bearing, share=share, of=of)
    values = {
        "thread": bolt.thread.name,
        "grade": bolt.strength.grade,
        "mu": bolt.friction.usual,
        "share": share,
        "of": of,
        "torque_nm": round(done.torque_nm, 3),
        "preload_kn": round(done.preload_n / 1000, 4),
        "stress_area_mm2": round(stress_area_mm2(bolt.thread), 4),
        "low_nm": round(done.low_nm, 3),
        "high_nm": round(done.high_nm, 3),
        "edition": EDITION if of == "yield" else "plain share of the proof load, torsion not counted",
    }
    answer = (
        f"{bolt.thread.name} of grade {bolt.strength.grade} at {share:g} of {of}: {done.torque_nm:.3g} N·m, pulling {done.preload_n / 1000:.3g} kN; "
        f"{done.low_nm:.3g} to {done.high_nm:.3g} N·m as friction goes from {bolt.friction.low:.2g} to {bolt.friction.high:.2g}."
    )
    stress = bolt.strength.yield_mpa if of == "yield" else bolt.strength.proof_mpa or 0.0
    steps = (
        *_bolt_steps(bolt),
        f"F = {done.preload_n / 1000:.4g} kN: {share:g} of {stress:g} MPa ({of}) on A_s" + (", lowered for torsion" if of == "yield" else ""),
        _long_form(bolt, done.preload_n, done.torque_nm),
        f"short form for comparison: K = T/(F·d) = {done.torque_nm * 1000 / done.preload_n / bolt.thread.diameter_mm:.3g}; "
        f"with K 0.20 it would be {short_torque_nm(preload_n=done.preload_n, k=0.2, diameter_mm=bolt.thread.diameter_mm):.3g} N·m",
    )
    return Worked(answer, values, FORMULA, steps, _sources(bolt), (COMPUTED, FRICTION, SAFETY))


def work_preload(bolt: Bolt, *, torque: float, unit: str) -> Worked:
    """The preload that a torque gives, and the share of yield that it uses."""
    nm = to_nm(torque, unit)
    if not 0 < nm < inf:
        raise BadInput("A torque must be more than nothing.", next_step="Give it with its unit, for example: --torque 48 --unit N*m")
    preload = preload_from_torque_n(bolt.thread, torque_nm=nm, mu=bolt.friction.usual, bearing=bolt.bearing)
    share = share_of_yield(bolt.thread, bolt.strength, preload=preload, mu=bolt.friction.usual)
    if share > ABSURD_SHARE:
        raise BadInput(
            f"{torque:g} {unit.replace('*', '·')} cannot be right for {bolt.thread.name}: it is more than {ABSURD_SHARE} times what yields it.",
            next_step="Look at the figure, its unit and the thread.",
        )
    low, high = (preload_from_torque_n(bolt.thread, torque_nm=nm, mu=mu, bearing=bolt.bearing) for mu in (bolt.friction.high, bolt.friction.low))
    values = {
        "thread": bolt.thread.name,
        "grade": bolt.strength.grade,
        "mu": bolt.friction.usual,
        "torque_nm": round(nm, 4),
        "preload_kn": round(preload / 1000, 4),
        "share_of_yield": round(share, 4),
        "low_kn": round(low / 1000, 4),
        "high_kn": round(high / 1000, 4),
    }
    beyond = " That is beyond yield: the bolt stretches for good or breaks before it pulls so hard." if share > 1 else ""
    answer = (
        f"{torque:g} {unit.replace('*', '·')} on {bolt.thread.name} of grade {bolt.strength.grade} pulls about {preload / 1000:.3g} kN, "
        f"{share:.0%} of yield; {low / 1000:.3g} to {high / 1000:.3g} kN with friction's scatter.{beyond}"
    )
    steps = (*_bolt_steps(bolt), f"T = {torque:g} {unit} = {nm:.4g} N·m", _long_form(bolt, preload, nm))
    return Worked(answer, values, FORMULA, steps, _sources(bolt), (COMPUTED, FRICTION, SAFETY))


def work_adapter(*, wanted: float, unit: str, length: float, reach: float, angle_deg: float = 0.0) -> Worked:
    """What to set on a wrench with an adapter; length and reach in one unit."""
    setting = adapter_setting(wanted=wanted, length=length, reach=reach, angle_deg=angle_deg)
    name = unit.replace("*", "·")
    values = {"setting": round(setting, 3), "unit": unit, "wanted": wanted, "length": length, "reach": reach, "angle_deg": angle_deg}
    return Worked(
        f"Set {setting:.4g} {name} to get {wanted:g} {name} at the fastener.",
        values,
        ADAPTER_FORMULA,
        (f"T_W = {wanted:g}·{length:g}/({length:g} + {reach:g}·cos {angle_deg:g}°) = {setting:.4g} {name}",),
        ("US Army TM 9-254 and adapter leaflets",),
        (
            "Measure the length from the square to the middle of the grip, and pull there.",
            "A straight extension along the drive's axis changes nothing.",
            ADAPTER,
        ),
    )


def work_insert(trade: Trade, *, thread: str) -> Worked:
    """Drill, tap and lengths of a wire-thread insert."""
    chosen = _thread(trade, thread)
    plan = insert_plan(chosen, trade.inserts.get(chosen.name))
    lengths = {f"{by:g}": mm for by, mm in plan.lengths_mm}
    listed = ", ".join(f"{mm:g} ({by} d)" for by, mm in lengths.items())
    values = {"thread": plan.thread, "drill_mm": plan.drill_mm, "least_hole_mm": plan.least_mm, "tap": plan.tap, "lengths_mm": lengths}
    return Worked(
        f"For {plan.thread}: drill {plan.drill_mm:g} mm, tap {plan.tap}, insert {listed} mm long.",
        values,
        "least hole = d + 0.2165·P; length = 1 to 3 diameters",
        (f"least hole = {chosen.diameter_mm:g} + 0.2165·{chosen.pitch_mm:.4g} = {plan.least_mm:g} mm",),
        (plan.source, "lengths: ASME B18.29.8M as quoted on a public page"),
        ("Makers differ by 0.1 mm in the drill: use the drill and tap of the insert's maker.", INSERT),
    )


def work_convert(*, value: float, unit_from: str, unit_to: str) -> Worked:
    """A value in another unit, by exact factors."""
    both = unit_from in _TORQUES and unit_to in _TORQUES
    result = to_nm(value, unit_from) / to_nm(1.0, unit_to) if both else convert(value, unit_from, unit_to)
    return Worked(
        f"{value:g} {unit_from.replace('*', '·')} is {result:.6g} {unit_to.replace('*', '·')}.",
        {"value": result, "unit": unit_to},
        "exact factors of the international yard and pound and of standard gravity",
        (f"{value:g} {unit_from} = {result:.10g} {unit_to}",),
        ("1 ft = 0.3048 m, 1 lb = 0.45359237 kg, 1 kgf = 9.80665 N, all exact",),
        ("Look twice which unit the manual means: a torque in the wrong unit breaks bolts, or leaves them loose.", CONVERTED),
    )


def _bolt_steps(bolt: Bolt) -> tuple[str, ...]:
    thread, friction = bolt.thread, bolt.friction
    proof = f"proof {bolt.strength.proof_mpa:g} MPa" if bolt.strength.proof_mpa else "no proof load"
    return (
        f"{thread.name}: d = {thread.diameter_mm:g} mm, P = {thread.pitch_mm:.4g} mm, d2 = {pitch_diameter_mm(thread):.4f} mm",
        f"A_s = {stress_area_mm2(thread):.4g} mm²",
        f"grade {bolt.strength.grade}: yield {bolt.strength.yield_mpa:g} MPa, {proof}",
        f"friction µ = {friction.usual:g} ({friction.condition}; {friction.low:.3g} to {friction.high:.3g})",
        f"D_Km = ({bolt.bearing.face_mm:g} + {bolt.bearing.hole_mm:g})/2 = {bearing_diameter_mm(bolt.bearing):.4g} mm",
    )


def _long_form(bolt: Bolt, preload: float, nm: float) -> str:
    thread, mu = bolt.thread, bolt.friction.usual
    pitch, flank = thread.pitch_mm / (2 * pi), THREAD_FACTOR * mu * pitch_diameter_mm(thread)
    face = mu * bearing_diameter_mm(bolt.bearing) / 2
    return f"T = F·(P/2π + 0.577·µ·d2 + µ·D_Km/2) = {preload / 1000:.4g} kN · ({pitch:.4f} + {flank:.4f} + {face:.4f}) mm = {nm:.4g} N·m"


def _sources(bolt: Bolt) -> tuple[str, ...]:
    return (
        "long form and share of yield: VDI 2230 (2001), as published tables give it",
        f"thread: {bolt.thread.source}",
        f"grade: {bolt.strength.source}",
        f"friction: {bolt.friction.source}",
        f"bearing face and hole: {bolt.bearing.source}",
    )
