"""The tools: an adapter on the wrench, the owner's wrenches and their range and calibration, and what a wrench's size tells of the thread."""

from __future__ import annotations

from collections.abc import Iterator

from gudgeon.checks.bears import guessed_sizes
from gudgeon.checks.case import Case
from gudgeon.checks.words import figure, newton_metres, said, unit_words
from gudgeon.domain import BadInput, Finding, TorqueDone
from gudgeon.trade import ADAPTER_FORMULA, Wrench, adapter_setting, read_thread
from gudgeon.units import to_nm

_ADAPTERS = {"adapter", "crowfoot"}
_OVERDUE_DAYS = 365
_EXAMPLE_MM = (25.0, 50.0, 100.0)
_INTERVAL = "12 months or 5000 cycles where the owner has no interval of their own (ISO 6789, as two calibration houses give it)"


def adapter(case: Case) -> Iterator[Finding]:
    """An adapter or crowfoot on the wrench: what was set is not what the fastener got. With the owner's wrench the sum is made."""
    tool = case.entry.tool
    if tool is None or tool.tool not in _ADAPTERS | {"extension"} or not case.entry.torques:
        return
    if tool.tool == "extension":
        reason = "A straight extension along the drive's axis does not change the setting; one that makes the wrench longer does."
        yield Finding(code="extension", reason=reason, reference="a tool maker's handbook page")
        return
    for torque in case.entry.torques[-1:]:
        reason = f"With the {tool.tool} on, {said(torque)} at the fastener needs another setting on the wrench, unless it stood square to the handle."
        yield Finding(
            code="adapter",
            reason=reason,
            reference=f"computed by {ADAPTER_FORMULA}, US Army TM 9-254 and adapter leaflets",
            sum=_adapter_sum(case, torque),
        )


def _adapter_sum(case: Case, torque: TorqueDone) -> str:
    reach = next((m.value for m in case.entry.measures if m.unit == "mm" and m.quantity in {"reach", "length", "offset"}), None)
    wrench = next((w for w in _covering(case, torque) if w.length_mm), None)
    unit = unit_words(torque.unit)
    if wrench is None or wrench.length_mm is None:
        return f"T_W = {torque.value:g} {unit}·L/(L + E·cos θ): measure L from the square to the grip's middle, and E to the fastener"
    lengths = (reach,) if reach else _EXAMPLE_MM
    settings = "; ".join(
        f"E {each:g} mm → set {adapter_setting(wanted=torque.value, length=wrench.length_mm, reach=each):.3g} {unit}" for each in lengths
    )
    return f"{wrench.name}, L {wrench.length_mm:g} mm, straight on: {settings}"


def wrench_range(case: Case) -> Iterator[Finding]:
    """No wrench of the owner's reaches the value."""
    for torque in case.entry.torques:
        nm = newton_metres(torque)
        if nm is None or not case.wrenches or _covering(case, torque):
            continue
        nearest = min(case.wrenches, key=lambda wrench: min(abs(nm - to_nm(end, wrench.unit)) for end in (wrench.low, wrench.high)))
        low, high = to_nm(nearest.low, nearest.unit), to_nm(nearest.high, nearest.unit)
        way = "below" if nm < low else "above"
        useful = f"{nearest.low:g} to {nearest.high:g} {unit_words(nearest.unit)}"
        reason = f"{said(torque)} is {way} the useful range of {nearest.name} ({useful}), the nearest."
        sum_ = f"{figure(nm)} N·m against {figure(low)} to {figure(high)} N·m"
        yield Finding(code="wrench-range", reason=reason, reference="the owner's tools file", sum=sum_)


def wrench_overdue(case: Case) -> Iterator[Finding]:
    """Every wrench that reaches the value is overdue for calibration, or was never calibrated."""
    if case.today is None:
        return
    named = set()
    for torque in case.entry.torques:
        covering = _covering(case, torque)
        if covering and all(_overdue(wrench, case) for wrench in covering) and covering[0].name not in named:
            wrench = covering[0]
            named.add(wrench.name)
            when = f"last calibrated on {wrench.calibrated.isoformat()}" if wrench.calibrated else "of which no calibration is known"
            yield Finding(code="calibration-overdue", reason=f"{said(torque)} was set on {wrench.name}, {when}: it is overdue.", reference=_INTERVAL)


def thread_guess(case: Case) -> Iterator[Finding]:
    """No thread was said; the wrench's size suggests one, as a guess."""
    if case.thread() is not None or not case.entry.torques:
        return
    sizes = guessed_sizes(case.entry.tool, case.trade)
    tool = case.entry.tool
    if sizes and tool and tool.size:
        used = f"{tool.size:g} {tool.size_unit} {tool.tool}"
        reason = f"No thread was said; a {used} usually goes with {' or '.join(sizes)}. That is a guess, and overrules nothing."
        yield Finding(code="thread-guess", reason=reason, reference="wrench and key sizes of ISO 272, ISO 4014, ISO 4762, ISO 10664 and flange bolts")


def tool_thread(case: Case) -> Iterator[Finding]:
    """The thread that was said does not go with the wrench that was used."""
    sizes, thread = guessed_sizes(case.entry.tool, case.trade), case.entry.thread
    tool = case.entry.tool
    if not sizes or thread is None or tool is None or not tool.size:
        return
    try:
        size = read_thread(thread).size
    except BadInput:
        return
    known = any(drive.size == size and drive.unit == tool.size_unit for drive in case.trade.drives)
    if known and size not in sizes:
        reason = f"{thread} was said, but a {tool.size:g} {tool.size_unit} {tool.tool} usually goes with {' or '.join(sizes)}: was either misheard?"
        yield Finding(code="tool-thread", reason=reason, reference="wrench and key sizes of ISO 272, ISO 4014, ISO 4762, ISO 10664 and flange bolts")


def _covering(case: Case, torque: TorqueDone) -> list[Wrench]:
    nm = newton_metres(torque)
    if nm is None:
        return []
    return [w for w in case.wrenches if to_nm(w.low, w.unit) * (1 - 1e-9) <= nm <= to_nm(w.high, w.unit) * (1 + 1e-9)]


def _overdue(wrench: Wrench, case: Case) -> bool:
    return wrench.calibrated is None or (case.today is not None and (case.today - wrench.calibrated).days > _OVERDUE_DAYS)
