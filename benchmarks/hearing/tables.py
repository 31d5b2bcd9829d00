"""The tables that are printed: by voice and noise, forms side by side, teens and -ties, chatter and the person."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace
from functools import cache
from statistics import median

from forms import OURS, PEER
from jobs import ALL, MAIN, NOISES, SHORTEST, Row, with_torque
from scoring import Score, score, word_errors
from sounds import DICKENS, VOICES

from gudgeon.cli import wiring


@cache
def _read():
    return wiring.reader().read


@cache
def _score(row: Row) -> Score:
    said = row.job.said()
    return score(said.text, said.facts, row.heard.pieces, _read())


def total(rows: Iterable[Row]) -> Score:
    """The counts of all these."""
    return sum((_score(row) for row in rows), Score())


def all_tables(rows: Sequence[Row], memory: Mapping[str, float]) -> list[str]:
    """Every table there is something for, as Markdown."""
    of: dict[str, list[Row]] = {}
    for row in rows:
        of.setdefault(row.job.of, []).append(row)
    notes, sounds = of.get("notes", []), SHORTEST * len(VOICES) * len(NOISES)
    aloud = [row for row in notes if row.job.name in with_torque()]
    parts = [
        ("What was read: sounds of each kind, by form, noise and voice", what_was_read(rows)),
        ("All 80 notes; slt, rms and awb together", floors(notes, ALL)),
        ("All 80 notes, by voice", by_voice(notes, ALL)),
        (f"The {len(with_torque())} notes that hold a torque, by voice", by_voice(aloud, with_torque())),
        (
            f"Side by side: the {SHORTEST} shortest notes that hold a torque, {sounds} sounds when all are read",
            beside(of.get("beside", []), memory),
        ),
        ("What the phrases cost: processor time by that of the greedy form, median over sounds", cost(rows)),
        ("Teens and -ties: “The drain plug is torqued to … newton metres.”, fourteen figures a voice", teens(of.get("teens", []))),
        ("Speech that is not about the trade", chatter(of.get("chatter", []))),
        ("A person reading Dickens, 44 s", person(of.get("person", []))),
    ]
    return [line for title, lines in parts if len(lines) > 2 for line in (f"## {title}", "", *lines, "")]


def what_was_read(rows: Sequence[Row]) -> list[str]:
    """How many sounds of each kind, a form and a noise a line; of the notes, in brackets, how many of those hold a torque."""
    counts: dict[tuple[str, str, float | None], dict[str, list[Row]]] = {}
    for row in rows:
        counts.setdefault((row.job.of, row.job.form, row.job.noise_db), {}).setdefault(row.job.voice, []).append(row)
    order = {name: at for at, name in enumerate((*OURS, PEER))}
    lines = []
    for (of, form, noise), by in sorted(counts.items(), key=lambda c: (c[0][0], order[c[0][1]], -(c[0][2] or 99))):
        lines.append((f"{of}, {form}, {_noise(noise)}", *(_how_many(by.get(voice, []), of) for voice in (*VOICES, "a person"))))
    return table(("what", *VOICES, "a person"), lines)


def _how_many(rows: Sequence[Row], of: str) -> str:
    if not rows:
        return "–"
    return f"{len(rows)} ({sum(row.job.name in with_torque() for row in rows)})" if of == "notes" else f"{len(rows)}"


def table(heads: Sequence[str], rows: Iterable[Sequence[str]]) -> list[str]:
    """Markdown."""
    rule = ("-" if n == 0 else "-:" for n, _ in enumerate(heads))
    return [f"| {' | '.join(line)} |" for line in (heads, rule, *rows)]


HEADS = (
    "sounds",
    "word error rate",
    "torque right at first",
    "of them doubted",
    "right at first or in `heard`",
    "wrong, marked",
    "wrong, unmarked",
    "tools right",
)


def cells(rows: Sequence[Row]) -> tuple[str, ...]:
    """The columns of HEADS."""
    s = total(rows)
    return (
        f"{len(rows)}",
        f"{s.errors / s.words:.3f}",
        f"{s.right} of {s.torques}",
        f"{s.doubted}",
        f"{s.right + s.in_heard} ({_share(s.right + s.in_heard, s.torques)})",
        f"{s.marked}",
        f"{s.wrong} ({_share(s.wrong, s.torques)})",
        f"{s.tools_right} of {s.tools}",
    )


def by_voice(notes: Sequence[Row], names: Sequence[str]) -> list[str]:
    """One line for each form, noise and voice whose notes are all there."""
    lines = []
    for form in OURS:
        for noise in NOISES:
            for voice in VOICES:
                here = [r for r in notes if (r.job.form, r.job.voice, r.job.noise_db) == (form, voice, noise)]
                if len(here) == len(names):
                    lines.append((f"{form}, {_noise(noise)}, {voice}", *cells(here)))
    return table(("form, noise, voice", *HEADS), lines)


def floors(notes: Sequence[Row], names: Sequence[str]) -> list[str]:
    """The three voices together, by form and noise."""
    lines = []
    for form in OURS:
        for noise in NOISES:
            here = [r for r in notes if r.job.form == form and r.job.voice in MAIN and r.job.noise_db == noise]
            if len(here) == len(names) * len(MAIN):
                lines.append((f"{form}, {_noise(noise)}", *cells(here)))
    return table(("form, noise", *HEADS), lines)


def beside(notes: Sequence[Row], memory: Mapping[str, float]) -> list[str]:
    """All forms on the sounds that every one of them has read: words, torques, speed as medians, ratios of processor time as medians over sounds."""
    by_sound: dict[tuple[str, str, float | None], dict[str, Row]] = {}
    for row in notes:
        by_sound.setdefault((row.job.name, row.job.voice, row.job.noise_db), {})[row.job.form] = row
    whole = [forms for forms in by_sound.values() if all(f in forms for f in (*OURS, PEER))]
    if not whole:
        return []
    lines = []
    for form in (*OURS, PEER):
        here = [forms[form] for forms in whole]
        wall = median(r.heard.took / r.seconds for r in here)
        cpu = sum(r.heard.cpu for r in here) / sum(r.seconds for r in here)
        ratios = (median(forms[form].heard.cpu / forms[other].heard.cpu for forms in whole) for other in ("plain", "rebuilt", PEER))
        peak = f"{memory[form]:.0f} MB" if form in memory else "–"
        lines.append((form, *cells(here), f"{wall:.2f}", f"{cpu:.2f}", *(f"{ratio:.2f}" for ratio in ratios), peak))
    heads = ("form", *HEADS, "wall / audio", "processor / audio", "of plain's", "of rebuilt's", "of peer's", "peak memory")
    return table(heads, lines)


def cost(rows: Sequence[Row]) -> list[str]:
    """By noise: what reading with phrases takes of the processor, as a multiple of what the rebuilt graphs take without."""
    cpu = {row.job.key: row.heard.cpu for row in rows}
    lines = []
    for of, what in (("notes", "all 80 notes, all voices"), ("beside", f"the {SHORTEST} shortest with a torque")):
        pairs = [(row.job, row.heard.cpu / cpu[key]) for row in rows if (key := _greedy_key(row)) in cpu and row.job.of == of]
        ratios = [[ratio for job, ratio in pairs if job.noise_db == noise] for noise in NOISES]
        if all(ratios):
            lines.append((what, *(f"{median(some):.2f}" for some in (*ratios, [ratio for _, ratio in pairs]))))
    return table(("sounds", "clean", *(f"{noise:.0f} dB" for noise in NOISES if noise is not None), "all"), lines)


def _greedy_key(row: Row) -> str:
    return replace(row.job, form="rebuilt").key if row.job.form == "phrases" else ""


def teens(rows: Sequence[Row]) -> list[str]:
    """By voice and form."""
    heads = ("voice, form", "right", "right, but doubted", "right one in `heard`", "wrong, marked", "wrong, unmarked", "no torque")
    lines = []
    for voice in VOICES:
        for form in ("phrases", "rebuilt"):
            here = [r for r in rows if (r.job.voice, r.job.form) == (voice, form)]
            if here:
                scores = [_score(r) for r in here]
                right = [bool(s.right) for s in scores]
                doubted = sum(ok and any(p.others for p in r.heard.pieces) for ok, r in zip(right, here, strict=True))
                s = total(here)
                none = sum(not (x.right or x.wrong or x.marked) for x in scores)
                lines.append(
                    (
                        f"{voice}, {form}",
                        f"{sum(right)} of {len(here)}",
                        *(str(n) for n in (doubted, s.in_heard, s.marked - s.in_heard, s.wrong, none)),
                    )
                )
    return table(heads, lines)


def chatter(rows: Sequence[Row]) -> list[str]:
    """By voice: word errors with and without phrases, and the torques read in it."""
    lines = []
    for voice in VOICES:
        counts = [total(r for r in rows if (r.job.voice, r.job.form) == (voice, form)) for form in ("phrases", "rebuilt")]
        if counts[0].words:
            lines.append((voice, *(f"{s.errors} of {s.words}" for s in counts), *(str(s.wrong + s.marked) for s in counts)))
    return table(("voice", "word errors with phrases", "without", "torques read with phrases", "without"), lines)


def person(rows: Sequence[Row]) -> list[str]:
    """The recording of a person, by form."""
    lines = []
    for row in rows:
        errors, words = word_errors(DICKENS, " ".join(p.text for p in row.heard.pieces))
        lines.append((row.job.form, f"{errors} of {words} ({errors / words:.3f})", f"{row.heard.took / row.seconds:.2f}"))
    return table(("form", "word errors", "wall / audio"), lines)


def _noise(noise: float | None) -> str:
    return "clean" if noise is None else f"{noise:.0f} dB"


def _share(part: int, whole: int) -> str:
    return f"{part / whole:.1%}" if whole else "–"
