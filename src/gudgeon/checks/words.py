"""Values and joints in plain words, the same in every reason."""

from __future__ import annotations

from gudgeon.domain import AngleDone, Entry, SizeMeasured, SpecRow, TorqueDone
from gudgeon.units import to_nm

_UNITS = {
    "N*m": "N·m",
    "N*cm": "N·cm",
    "lbf*ft": "lb·ft",
    "lbf*in": "lb·in",
    "kgf*m": "kgf·m",
    "kgf*cm": "kgf·cm",
    "um": "µm",
    "degC": "°C",
    "degF": "°F",
}


def figure(value: float) -> str:
    """A number with at most four figures that matter: 18, 17.28, 0.1250, 1205."""
    return f"{value:.4g}" if abs(value) < 1e4 else f"{value:.0f}"


def unit_words(unit: str | None) -> str:
    """The unit as printed: N·m for ``N*m``."""
    return _UNITS.get(unit or "", unit or "")


def torque_words(value: float, unit: str | None, angle_deg: float | None = None) -> str:
    """``18 N·m``, ``40 N·m + 90°``, ``40 (no unit)``."""
    base = f"{value:g} {unit_words(unit)}" if unit else f"{value:g} (no unit)"
    return f"{base} + {angle_deg:g}°" if angle_deg else base


def said(torque: TorqueDone) -> str:
    """A torque of an entry in words."""
    return torque_words(torque.value, torque.unit, torque.angle_deg)


def turned(angle: AngleDone) -> str:
    """An angle of an entry in words."""
    return f"{angle.angle_deg:g}°"


def size_words(measure: SizeMeasured) -> str:
    """A measured size in words: ``end float 0.12 mm``."""
    return f"{measure.quantity or 'size'} {measure.value:g} {unit_words(measure.unit)}"


def wanted(row: SpecRow) -> str:
    """What a row of the sheet asks for, in words."""
    if row.torque is not None:
        text = torque_words(row.torque, row.unit)
    elif row.low is not None and row.high is not None:
        text = f"{row.low:g} to {row.high:g} {unit_words(row.unit)}"
    elif row.low is not None:
        text = f"at least {row.low:g} {unit_words(row.unit)}"
    elif row.high is not None:
        text = f"at most {row.high:g} {unit_words(row.unit)}"
    else:
        return f"{row.angle_deg:g}°" if row.angle_deg else "no value"
    return f"{text} + {row.angle_deg:g}°" if row.angle_deg else text


def row_words(row: SpecRow) -> str:
    """Where a row stands and what it names: ``spec sheet line 4: gearbox lid bolt, stage 2, 18 N·m (source: …)``."""
    name = " ".join(word for word in (row.place, row.part, row.fastener) if word)
    stage = f", stage {row.stage}" if row.stage else ""
    source = f" (source: {row.source})" if row.source else ""
    return f"spec sheet line {row.line}: {name}{stage}, {wanted(row)}{source}"


def joint_name(entry: Entry) -> str:
    """The joint an entry names, in words."""
    return " ".join(word for word in (entry.place, entry.part, entry.fastener) if word) or "a joint that was not named"


def newton_metres(torque: TorqueDone) -> float | None:
    """A torque in newton metres; None when its unit was not said."""
    if torque.nm is not None:
        return torque.nm
    return to_nm(torque.value, torque.unit) if torque.unit else None
