"""Hours at the bench: mixed speech, shop noise and silence through the live way, faster than it would be spoken, and what that costs.

    python benchmarks/soak.py [--hours 8] [--pace 10] [--out FILE]

Speech is synthetic (flite and espeak-ng): labelled notes and sentences that are not about the work, one every half minute or so, over
silence and made noise by turns. All of it goes through keeping, gate, recogniser, reader, record and verdicts; ``--pace`` is the most it
runs ahead of real time (0: as fast as it reads). Ctrl-C ends it early, and the result says how long it was.

Measured: memory at each hundredth, whether every sample that was fed can be read back from what was kept, speech that is in no note,
notes where nothing was said, and how long one phrase takes from its turn to its verdict, at the start and at the end. Exit status 1
when memory grew by 5 % or more from the second tenth to the last (the middle values of each), or a sample was lost.
"""

from __future__ import annotations

import argparse
import hashlib
import json
import signal
import sys
import tempfile
import time
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path
from statistics import median
from typing import Any

import numpy as np

HERE = Path(__file__).resolve().parent
sys.path[:0] = [str(HERE / "voice"), str(HERE / "noise")]

from make_noise import make  # noqa: E402
from voices import VOICES, rows, speak  # noqa: E402

from gudgeon.audio import decode, kept_seconds  # noqa: E402
from gudgeon.cli import wiring  # noqa: E402
from gudgeon.cli.listen import CLIPS_AHEAD  # noqa: E402
from gudgeon.cli.live_parts import live_tools, warm_up  # noqa: E402
from gudgeon.cli.live_screen import phrase_lines  # noqa: E402
from gudgeon.domain import SAMPLE_RATE  # noqa: E402
from gudgeon.session import Reins, Voice, begin_live, listen  # noqa: E402

BLOCK = SAMPLE_RATE // 10
GAP_S = 25.0
"""The mean silence between two phrases."""
LOOP_S = 60.0
KINDS = ("silence", "shop", "silence", "compressor", "ratchet", "silence", "engine", "broadband")
"""What is heard behind the speech, a minute each, by turns."""
LEVEL = -45.0
MOST_GROWTH = 0.05


@dataclass
class Fed:
    """What went in: the samples as 16-bit, hashed, and where speech lay (first and last second)."""

    samples: int = 0
    hashed: Any = field(default_factory=hashlib.sha256)
    speech: list[tuple[float, float]] = field(default_factory=list)


def phrases(count: int = 160) -> list[np.ndarray]:
    """Labelled notes, and every fourth a sentence about other things, in all voices by turns."""
    notes = [json.loads(line)["text"] for line in (HERE.parent / "tests/tables/tractor.jsonl").read_text(encoding="utf-8").splitlines()]
    notes = [text for text in notes if len(text) < 110]
    other = [row["said"] for row in rows("talk.csv")]
    said = [other[n // 4 % len(other)] if n % 4 == 3 else notes[n % len(notes)] for n in range(count)]
    return [speak(text, VOICES[n % len(VOICES)]) for n, text in enumerate(said)]


def bench(hours: float, fed: Fed) -> Iterator[np.ndarray]:
    """Blocks of a tenth of a second, the same every time."""
    rng = np.random.default_rng(8)
    spoken, noises = phrases(), {kind: make(kind, LOOP_S, LEVEL) for kind in dict.fromkeys(KINDS)}
    whole, n, next_at = round(hours * 3600 * SAMPLE_RATE), 0, 5 * SAMPLE_RATE
    current, begun = spoken[0], next_at
    for at in range(0, whole, BLOCK):
        minute = at // (60 * SAMPLE_RATE)
        noise = noises[KINDS[minute % len(KINDS)]]
        inside = at % len(noise)
        block = noise[inside : inside + BLOCK].copy()
        if at + BLOCK > begun:
            low = max(at, begun)
            part = current[low - begun : at + BLOCK - begun]
            block[low - at : low - at + len(part)] += 0.5 * part
            if at + BLOCK >= begun + len(current):
                fed.speech.append((begun / SAMPLE_RATE, (begun + len(current)) / SAMPLE_RATE))
                n += 1
                current = spoken[n % len(spoken)]
                begun = at + BLOCK + round((2.0 + rng.exponential(GAP_S - 2.0)) * SAMPLE_RATE)
                begun = begun if begun + len(current) < whole else whole  # none is cut off by the end
        block = np.clip(block, -1.0, 1.0).astype(np.float32)
        fed.samples += BLOCK
        fed.hashed.update(_as_kept(block))
        yield block


def _as_kept(block: np.ndarray) -> bytes:
    return np.rint(np.clip(block, -1.0, 1.0) * 32767).astype("<i2").tobytes()


def paced(blocks: Iterator[np.ndarray], pace: float, reins: Reins) -> Iterator[np.ndarray]:
    """No faster than ``pace`` times real time."""
    begun, came = time.monotonic(), 0
    for block in blocks:
        yield block
        came += len(block)
        if pace:
            reins.stop.wait(max(0.0, begun + came / SAMPLE_RATE / pace - time.monotonic()))


def memory_mb() -> float:
    """What this process holds in memory now."""
    return next(int(line.split()[1]) for line in Path("/proc/self/status").read_text().splitlines() if line.startswith("VmRSS")) / 1000


def soak(hours: float, pace: float, folder: Path, recogniser: str | None = None) -> dict[str, Any]:
    """Run it; what was measured."""
    fed, rows, waits, began = Fed(), [], [], time.monotonic()
    shown_at = 0.0
    whole = hours * 3600

    def watched(blocks: Iterator[np.ndarray]) -> Iterator[np.ndarray]:
        step = 0
        for block in blocks:
            if fed.samples / SAMPLE_RATE >= step * whole / 100:
                rows.append((round(fed.samples / SAMPLE_RATE), round(memory_mb(), 1), round(time.monotonic() - began)))
                print(f"{rows[-1][0] / 3600:6.2f} h of sound, {rows[-1][1]:7.1f} MB, {rows[-1][2]} s gone", file=sys.stderr, flush=True)
                step += 1
            yield block

    with wiring.open_record(folder) as record:
        tools, reins = wiring.tools(record), Reins()
        sound, _ = live_tools(record, None, recogniser, notice=print)
        tools.read("ready")
        warm_up(sound)
        for number in (signal.SIGINT, signal.SIGTERM):
            signal.signal(number, lambda *_: reins.stop.set())
        with begin_live(tools, job=None, by=None, recogniser=sound.recogniser.name, source="soak", carry_on=None) as start:
            voice = Voice(tools, start.session.id, reins, wiring.unit_words(), wiring.trade(), wiring.commands())

            def show(phrase: Any) -> None:
                nonlocal shown_at
                phrase_lines(phrase, record.notes(start.session.id), sheet=False, width=80)
                begun, shown_at = max(phrase.closed, shown_at), time.perf_counter()
                waits.append((phrase.end, shown_at - begun))

            blocks = watched(paced(bench(hours, fed), pace, reins))
            taken = listen(start, blocks, tools, sound, show=show, reins=reins, obey=voice.obey, ask=voice.ask_about, ahead=CLIPS_AHEAD, endless=True)
        rows.append((round(fed.samples / SAMPLE_RATE), round(memory_mb(), 1), round(time.monotonic() - began)))
        notes = [(note.note.start or 0.0, note.note.end or 0.0) for note in record.notes(taken.session.id)]
        return report(fed, rows, waits, notes, folder / f"sound/{taken.session.id}", taken.session.state)


def report(fed: Fed, rows: list[tuple[int, float, int]], waits: list[tuple[float, float]], notes: Any, kept: Path, state: str) -> dict[str, Any]:
    """The figures of one run."""
    seconds = fed.samples / SAMPLE_RATE
    second, last = ([mb for at, mb, _ in rows if low <= at / seconds * 10 <= low + 1] for low in (1, 9))
    most = max(mb for at, mb, _ in rows if at >= seconds / 10)
    kept_hash = hashlib.sha256()
    for segment in sorted(kept.glob("*.flac")):
        for block in decode(segment):
            kept_hash.update(np.rint(block * 32768).clip(-32768, 32767).astype("<i2").tobytes())
    tenth = max(1, len(waits) // 10)
    return {
        "hours": round(seconds / 3600, 3),
        "times_real_time": round(seconds / rows[-1][2], 2),
        "state": state,
        "phrases_said": len(fed.speech),
        "phrases_in_no_note": sum(not any(a < end and b > start for a, b in notes) for start, end in fed.speech),
        "notes": len(notes),
        "notes_where_nothing_was_said": sum(not any(a < end + 1 and b > start - 1 for start, end in fed.speech) for a, b in notes),
        "samples_fed": fed.samples,
        "samples_kept": round(kept_seconds(kept) * SAMPLE_RATE),
        "kept_as_fed": kept_hash.hexdigest() == fed.hashed.hexdigest(),
        "memory_in_the_second_tenth_mb": round(median(second), 1),
        "memory_in_the_last_tenth_mb": round(median(last), 1),
        "memory_most_after_a_tenth_mb": most,
        "memory_growth": round(median(last) / median(second) - 1, 4),
        "phrase_to_verdict_first_tenth_s": round(median(w for _, w in waits[:tenth]), 3) if waits else None,
        "phrase_to_verdict_last_tenth_s": round(median(w for _, w in waits[-tenth:]), 3) if waits else None,
        "memory_mb": [(at, mb) for at, mb, _ in rows],
    }


def passed(found: dict[str, Any]) -> bool:
    """Whether memory stayed and nothing was lost."""
    return bool(found["kept_as_fed"] and found["samples_kept"] == found["samples_fed"] and found["memory_growth"] < MOST_GROWTH)


def as_text(found: dict[str, Any]) -> str:
    """The result for people."""
    lines = ["# Endurance", "", (__doc__ or "").split("\n\n", 2)[2].strip(), ""]
    lines += ["| what | measured |", "| - | -: |"]
    lines += [f"| {name.replace('_', ' ')} | {value} |" for name, value in found.items() if name != "memory_mb"]
    lines += ["", "Memory (MB) at each twentieth: " + ", ".join(f"{mb:.0f}" for _, mb in found["memory_mb"][::5]), ""]
    return "\n".join(lines)


def main() -> int:
    """Run, print and keep the result."""
    options = argparse.ArgumentParser(description="Hours at the bench through the live way.")
    options.add_argument("--hours", type=float, default=8.0)
    options.add_argument("--pace", type=float, default=10.0, help="at most so many times real time; 0: as fast as it reads")
    options.add_argument("--recogniser", default=None)
    options.add_argument("--out", type=Path, default=None)
    chosen = options.parse_args()
    with tempfile.TemporaryDirectory() as folder:
        found = soak(chosen.hours, chosen.pace, Path(folder), chosen.recogniser)
    text = as_text(found)
    print(text)
    if chosen.out:
        chosen.out.write_text(text, encoding="utf-8")
    return 0 if passed(found) else 1


if __name__ == "__main__":
    sys.exit(main())
