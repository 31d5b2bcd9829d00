"""Drawings as SVG text, each with a text alternative, readable in black and white: stages counted, values against ranges, a job over time; pure."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from html import escape

from gudgeon.checks import StageProgress

MOST_DOTS = 24
LONGEST_LANE = 26


@dataclass(frozen=True, slots=True)
class Span:
    """Values of one row of a sheet and what it allows, in N·m; ``high`` is None without an upper end. ``how`` says where the range is from."""

    name: str
    low: float
    high: float | None
    how: str
    values: tuple[tuple[str, float, str], ...]
    """(day, value, verdict) oldest first."""


@dataclass(frozen=True, slots=True)
class Mark:
    """Something said at a moment of a session: ``lane`` names its joint, ``at`` is seconds, or the note's place where nothing was timed."""

    lane: str
    at: float
    verdict: str
    words: str


def figure(value: float) -> str:
    """A value in N·m as a plot writes it: four figures, three below ten."""
    return f"{value:.4g}" if abs(value) >= 10 else f"{value:.3g}"


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
    """Values of one row, oldest at the top, on lines with what the sheet allows as a framed band."""
    figures = [figure for figure in (span.low, span.high, *(value for _, value, _ in span.values)) if figure is not None]
    least, most = min(figures), max(figures)
    room = (most - least) * 0.2 or max(abs(most), 1.0) * 0.1
    least, most = least - room, most + room

    def place(value: float) -> float:
        return round(62 + 206 * (value - least) / (most - least), 1)

    height = 30 + 24 * len(span.values)
    left, right = place(span.low), place(span.high) if span.high is not None else 268.0
    near = right - left < 90
    parts = [f'<rect class="band" x="{left}" y="3" width="{max(right - left, 2):.1f}" height="{height - 24}"/>']
    for edge, anchor in ((span.low, "end" if near else "mid"), (span.high, "start" if near else "mid")):
        if edge is not None:
            x = place(edge)
            parts.append(f'<path class="edge" d="M{x} 3V{height - 19}"/><text x="{x}" y="{height - 4}" class="{anchor}">{figure(edge)}</text>')
    for at, (label, value, verdict) in enumerate(span.values):
        y = 17 + 24 * at
        parts.append(f'<text x="0" y="{y + 5}">{escape(label)}</text><path class="rail" d="M62 {y}H268"/>')
        parts.append(_mark(place(value), y, verdict) + f'<text x="278" y="{y + 5}">{figure(value)}</text>')
    return svg(330, height, f"{span.name}: {range_words(span)}", "".join(parts), "range")


def range_words(span: Span) -> str:
    """The same plot in words."""
    allowed = f"{figure(span.low)} to {figure(span.high)} N·m" if span.high is not None else f"at least {figure(span.low)} N·m"
    said = "; ".join(f"{label} {figure(value)} N·m, {verdict}" for label, value, verdict in span.values)
    return f"allowed {allowed} ({span.how}). {said or 'No value was said'}."


def _mark(x: float, y: float, verdict: str) -> str:
    if verdict == "over":
        return f'<path class="filled" d="M{x} {y - 8}l8 14h-16z"/>'
    if verdict == "under":
        return f'<path class="filled" d="M{x} {y + 8}l8 -14h-16z"/>'
    if verdict == "unlikely":
        return f'<path class="bar" d="M{x - 7} {y - 7}l14 14m0 -14l-14 14"/>'
    if verdict == "unit not said":
        return f'<text class="mid sign" x="{x}" y="{y + 6}">?</text>'
    if verdict == "open":
        return f'<path class="hollow" d="M{x} {y - 8}l8 8l-8 8l-8 -8z"/>'
    return f'<circle class="{"filled" if verdict == "within" else "hollow"}" cx="{x}" cy="{y}" r="6.5"/>'


def time_plot(marks: Sequence[Mark], span: float, ends: tuple[str, str]) -> str:
    """What was said along a session, a lane a joint in the order they came; ``ends`` label the first and the last moment. "" without marks."""
    lanes = list(dict.fromkeys(mark.lane for mark in marks))
    if not lanes or span <= 0:
        return ""
    height = 30 + 24 * len(lanes)
    parts = []
    for at, lane in enumerate(lanes):
        y = 14 + 24 * at
        name = lane if len(lane) <= LONGEST_LANE else lane[: LONGEST_LANE - 1] + "…"
        parts.append(f'<text x="0" y="{y + 5}">{escape(name)}</text><path class="rail" d="M220 {y}H710"/>')
        for mark in (mark for mark in marks if mark.lane == lane):
            parts.append(f"<g><title>{escape(mark.words)}</title>{_mark(round(220 + 490 * mark.at / span, 1), y, mark.verdict)}</g>")
    parts.append(f'<text x="220" y="{height - 4}">{escape(ends[0])}</text><text class="end" x="710" y="{height - 4}">{escape(ends[1])}</text>')
    words = "; ".join(f"{lane}: {', '.join(mark.words for mark in marks if mark.lane == lane)}" for lane in lanes)
    return svg(720, height, f"The session along time. {words}", "".join(parts), "time")


def progress_plot(points: Sequence[tuple[float, str, int]], total: int) -> str:
    """Rows of the sheet that were done after each session, as steps along real time, with the whole as a line above.

    ``points`` are (days since the first session, day in words, rows done); sessions of one single day stand side by side.
    """
    if not points or not total:
        return ""
    days = points[-1][0] - points[0][0]

    def along(at: int) -> float:
        share = (points[at][0] - points[0][0]) / days if days else at / max(len(points) - 1, 1)
        return round(56 + 500 * share, 1)

    def rise(done: int) -> float:
        return round(160 - 130 * done / total, 1)

    path = f"M{along(0)} 160" + "".join(f"H{along(at)}V{rise(done)}" for at, (_, _, done) in enumerate(points)) + "H620V160z"
    parts = [f'<path class="steps" d="{path}"/><path class="edge" d="M40 30H620M40 160H620"/><text x="4" y="35">{total}</text>']
    parts.append('<text x="4" y="165">0</text>')
    shown = -100.0
    for at, (_, day, done) in enumerate(points):
        x = along(at)
        parts.append(f'<circle class="filled" cx="{x}" cy="{rise(done)}" r="4"/>')
        if x - shown >= 62:
            parts.append(f'<text class="mid" x="{x}" y="182">{escape(day)}</text><text class="mid" x="{x}" y="{rise(done) - 9}">{done}</text>')
            shown = x
    words = "; ".join(f"{day}: {done} of {total}" for _, day, done in points)
    return svg(640, 190, f"Rows of the sheet done: {words}", "".join(parts), "course")
