"""Drawings as SVG text, each with a text alternative, readable in black and white: stages counted, values against ranges, a job over time; pure."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from html import escape

from gudgeon.checks import StageProgress

MOST_DOTS = 24


@dataclass(frozen=True, slots=True)
class Span:
    """A value against its range for a plot: ``low`` and ``high`` in the same unit as the values, either may be missing; labels say when."""

    name: str
    unit: str
    low: float | None
    high: float | None
    values: tuple[tuple[str, float, str], ...]
    """(label, value, verdict) oldest first."""


def svg(width: int, height: int, label: str, inside: str, kind: str) -> str:
    """An SVG picture with its text alternative."""
    return (
        f'<svg class="{kind}" viewBox="0 0 {width} {height}" width="{width}" height="{height}" role="img" aria-label="{escape(label)}">{inside}</svg>'
    )


def dots(stage: StageProgress) -> str:
    """The fasteners of a stage: filled ones are counted, hollow ones are not, barred ones have a value whose count was not said."""
    expected = stage.expected or 1
    counted = min(stage.counted or 0, expected)
    unknown = stage.counted is None and bool(stage.values)
    words = f"{counted} of {expected} counted" if not unknown else f"a value was said; of {expected}, how many was not"
    if expected > MOST_DOTS:
        filled = 0 if unknown else round(240 * counted / expected)
        inside = f'<rect class="hollow" x="1" y="5" width="240" height="12"/><rect class="filled" x="1" y="5" width="{filled}" height="12"/>'
        return svg(244, 22, words, inside, "dots")
    marks = []
    for at in range(expected):
        x = 11 + at * 22
        marks.append(f'<circle class="{"filled" if at < counted else "hollow"}" cx="{x}" cy="11" r="8"/>')
        if unknown:
            marks.append(f'<path class="bar" d="M{x - 5} 11h10"/>')
    return svg(22 * expected, 22, words, "".join(marks), "dots")


def range_plot(span: Span) -> str:
    """Values of one joint, oldest at the top, on a line with the wanted range as a hatched band."""
    figures = [figure for figure in (span.low, span.high, *(value for _, value, _ in span.values)) if figure is not None]
    least, most = min(figures), max(figures)
    room = (most - least) * 0.15 or max(abs(most), 1.0) * 0.1
    least, most = least - room, most + room

    def place(value: float) -> float:
        return round(120 + 440 * (value - least) / (most - least), 1)

    height = 34 + 26 * len(span.values)
    left, right = place(span.low if span.low is not None else least), place(span.high if span.high is not None else most)
    parts = [f'<rect class="band" x="{left}" y="4" width="{max(right - left, 2):.1f}" height="{height - 26}"/>']
    for edge in (span.low, span.high):
        if edge is not None:
            parts.append(
                f'<path class="edge" d="M{place(edge)} 4V{height - 22}"/><text x="{place(edge)}" y="{height - 6}" class="mid">{edge:.4g}</text>'
            )
    for at, (label, value, verdict) in enumerate(span.values):
        y = 20 + 26 * at
        parts.append(f'<text x="0" y="{y + 5}">{escape(label)}</text><path class="rail" d="M120 {y}H560"/>')
        parts.append(_mark(place(value), y, verdict) + f'<text x="570" y="{y + 5}">{value:.4g}</text>')
    return svg(640, height, f"{span.name}: {range_words(span)}", "".join(parts), "range")


def range_words(span: Span) -> str:
    """The same plot in words."""
    low, high = (f"{edge:.4g}" if edge is not None else "" for edge in (span.low, span.high))
    wanted = f"wanted {low} to {high} {span.unit}" if low and high else f"wanted {'at least ' + low if low else 'at most ' + high} {span.unit}"
    said = "; ".join(f"{label} {value:.4g} {span.unit}, {verdict}" for label, value, verdict in span.values)
    return f"{wanted}. {said}."


def _mark(x: float, y: float, verdict: str) -> str:
    if verdict == "over":
        return f'<path class="filled" d="M{x} {y - 9}l9 16h-18z"/>'
    if verdict == "under":
        return f'<path class="filled" d="M{x} {y + 9}l9 -16h-18z"/>'
    if verdict == "unlikely":
        return f'<path class="bar" d="M{x - 7} {y - 7}l14 14m0 -14l-14 14"/>'
    return f'<circle class="{"filled" if verdict == "within" else "hollow"}" cx="{x}" cy="{y}" r="7"/>'


def progress_plot(points: Sequence[tuple[str, int]], total: int) -> str:
    """Rows of the sheet that were done after each session, as steps, with the whole as a line above."""
    if not points or not total:
        return ""
    step = 560 / len(points)

    def rise(done: int) -> float:
        return round(150 - 130 * done / total, 1)

    path = f"M40 150V{rise(points[0][1])}" + "".join(f"V{rise(done)}H{40 + step * (at + 1):.1f}" for at, (_, done) in enumerate(points)) + "V150z"
    parts = [f'<path class="steps" d="{path}"/><path class="edge" d="M40 20H600"/><text x="4" y="25">{total}</text><text x="4" y="154">0</text>']
    every = max(1, round(len(points) / 6))
    for at, (day, done) in enumerate(points):
        x = 40 + step * (at + 0.5)
        if at % every == 0 or at == len(points) - 1:
            parts.append(
                f'<text class="mid" x="{x:.1f}" y="172">{escape(day)}</text><text class="mid" x="{x:.1f}" y="{rise(done) - 5}">{done}</text>'
            )
    words = "; ".join(f"{day}: {done} of {total}" for day, done in points)
    return svg(640, 180, f"Rows of the sheet done: {words}", "".join(parts), "steps-plot")
