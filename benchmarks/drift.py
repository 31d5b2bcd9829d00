"""Does the sound keep time with the clock? The microphone is captured for some minutes, and its samples are held against the running clock.

    python benchmarks/drift.py [--minutes 20] [--out FILE]

The microphone is a null sink of a PulseAudio server that this starts (see benchmarks/voice/bench_sink.py). Each block of sound comes a little
late, by how busy the computer is; the least lateness in the first tenth and in the last tenth are compared, and their difference is the drift.
Exit status 1 when it is over 50 ms, or when sound was lost.
"""

from __future__ import annotations

import argparse
import json
import os
import subprocess
import sys
import tempfile
import time
from collections.abc import Sequence
from pathlib import Path
from threading import Event, Timer

sys.path.insert(0, str(Path(__file__).resolve().parent / "voice"))

from bench_sink import bench_sink

MOST_DRIFT_MS = 50.0


def measure(seconds: float) -> dict[str, float]:
    """Captures for so long; drift in milliseconds, overruns, seconds of sound and of the clock."""
    from gudgeon.audio import Capture, choose
    from gudgeon.domain import SAMPLE_RATE

    stop, came, late = Event(), 0, []
    capture = Capture(choose(None))
    begun = time.monotonic()
    Timer(seconds, stop.set).start()
    for block in capture.blocks(stop):
        came += len(block)
        late.append((came / SAMPLE_RATE, time.monotonic() - begun - came / SAMPLE_RATE))
    clock = time.monotonic() - begun
    return {
        "minutes": round(clock / 60, 2),
        "clock_s": round(clock, 3),
        "sound_s": round(came / SAMPLE_RATE, 3),
        "drift_ms": round(drift_ms(late), 1),
        "overruns": capture.overruns,
    }


def drift_ms(late: Sequence[tuple[float, float]]) -> float:
    """The drift of blocks given as (seconds of sound so far, seconds late): positive when the sound runs slower than the clock."""
    whole = late[-1][0]
    first = min(lag for at, lag in late if at <= whole / 10)
    last = min(lag for at, lag in late if at >= whole * 9 / 10)
    return (last - first) * 1000


def main() -> int:
    """Measure, print, keep."""
    options = argparse.ArgumentParser(description="Does the sound keep time with the clock?")
    options.add_argument("--minutes", type=float, default=20.0)
    options.add_argument("--out", type=Path)
    options.add_argument("--inside", action="store_true", help=argparse.SUPPRESS)
    chosen = options.parse_args()
    if chosen.inside:
        print(json.dumps(measure(chosen.minutes * 60)))
        return 0
    with tempfile.TemporaryDirectory() as folder, bench_sink(Path(folder) / "home") as env:
        command = [sys.executable, os.fspath(Path(__file__)), "--inside", "--minutes", str(chosen.minutes)]
        found = json.loads(subprocess.run(command, env=env, capture_output=True, text=True, check=True).stdout.splitlines()[-1])
    print(json.dumps(found))
    if chosen.out:
        rows = "\n".join(f"| {name.replace('_', ' ')} | {value} |" for name, value in found.items())
        text = (__doc__ or "").split("\n\n")
        chosen.out.write_text(f"# Drift\n\n{text[0]}\n\n{text[2]}\n| what | measured |\n| - | -: |\n{rows}\n", encoding="utf-8")
    return 0 if abs(found["drift_ms"]) <= MOST_DRIFT_MS and not found["overruns"] else 1


if __name__ == "__main__":
    sys.exit(main())
