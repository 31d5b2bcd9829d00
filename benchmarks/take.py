"""What `take` costs beside the bare recogniser on the same clips: wall time over audio time, and peak memory.

    python benchmarks/take.py [--rounds 5] [--bare CLIPS]
    python benchmarks/take.py --long MINUTES [--killed-at TENTH] [--keep FOLDER]

One process, rounds in turn: the recogniser alone over the sample session's clips, one after another on two threads and then several at once
on one thread each, then the whole of `take` (decode, keep, gate, hear, read, put together, judge, store) with the latter. Prints medians,
the part of `take` that the gate has (decoding, keeping and gating, which the bare loop does not do) and what is left as our overhead.
``--bare`` only reads so many clips both ways.

``--long`` only takes the sample repeated to that many minutes, in a process of its own, and prints that process's memory at each tenth and at
its peak. With ``--killed-at`` the process is killed at that tenth and another one carries on: what was stored must be there as it was, and no
clip of it may be read again. ``--keep`` leaves the file and the record in that folder.
"""

import argparse
import re
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator
from contextlib import nullcontext
from itertools import pairwise
from pathlib import Path

import av

from gudgeon.audio import decode, speech_clips
from gudgeon.cli import wiring
from gudgeon.record import Record
from gudgeon.session import Origin, SoundTools, Step, Tools, take_recording
from long_file import repeat

SAMPLE = Path(__file__).resolve().parents[1] / "sample_audio" / "orchard_session.flac"


def main() -> None:
    """Measure and print one table."""
    asked = argparse.ArgumentParser(description="The cost of take beside the bare recogniser.")
    asked.add_argument("--rounds", type=int, default=5)
    asked.add_argument("--bare", type=int, metavar="CLIPS")
    asked.add_argument("--long", type=float, metavar="MINUTES")
    asked.add_argument("--killed-at", type=int, choices=range(1, 10), metavar="TENTH")
    asked.add_argument("--keep", type=Path, metavar="FOLDER")
    asked.add_argument("--measure", type=Path, nargs=2, metavar=("FILE", "RECORD"), help=argparse.SUPPRESS)
    given = asked.parse_args()
    if given.measure:
        measured_take(*given.measure)
        return
    if given.long:
        with nullcontext(given.keep) if given.keep else tempfile.TemporaryDirectory() as folder:
            long_take(Path(folder), given.long, given.killed_at)
        return
    if given.bare:
        one_by_one_or_together(given.bare, given.rounds)
        return
    beside_the_bare_loop(given.rounds)


def one_by_one_or_together(count: int, rounds: int) -> None:
    """The first clips of the sample, one after another on two threads, then several at once on one thread each; the words must be the same."""
    ears = {"one clip after another": wiring.recogniser("embedded"), "several at once": wiring.recogniser("embedded", for_recordings=True)}
    clips = list(speech_clips(decode(SAMPLE)))[:count]
    took: dict[str, list[tuple[float, float]]] = {name: [] for name in ears}
    for turn in range(rounds + 1):
        texts = []
        for name, ear in ears.items():
            wall, cpu = time.perf_counter(), time.process_time()
            texts.append([hearing.text for hearing in ear.hear(clips)])
            if turn:
                took[name].append((time.perf_counter() - wall, time.process_time() - cpu))
        assert texts[0] == texts[1], "the words must not depend on how many clips are read at once"
    audio = sum(clip.seconds for clip in clips)
    print(f"{len(clips)} clips, {audio:.0f} s, {rounds} rounds in turn, medians.\n")
    print("| way | wall over audio | processor over audio |\n| --- | ---: | ---: |")
    for name, times in took.items():
        print(f"| {name} | {statistics.median(t[0] for t in times) / audio:.3f} | {statistics.median(t[1] for t in times) / audio:.3f} |")


def beside_the_bare_loop(rounds: int) -> None:
    """Bare recogniser and take in turn, after one round of each that is not counted."""
    ear, ears = wiring.recogniser("embedded"), wiring.recogniser("embedded", for_recordings=True)
    clips = list(speech_clips(decode(SAMPLE)))
    rules, read, sound = wiring.rules(), wiring.reader().read, wiring.sound_tools(ears)
    one_by_one, bare, whole, gate, heard = [], [], [], [], []
    for turn in range(rounds + 1):
        begun = time.perf_counter()
        alone = [hearing.text for hearing in ear.hear(clips)]
        single, begun = time.perf_counter() - begun, time.perf_counter()
        together = [hearing.text for hearing in ears.hear(clips)]
        one = time.perf_counter() - begun
        assert alone == together, "the words must not depend on how many clips are read at once"
        with tempfile.TemporaryDirectory() as folder, Record.open(folder) as record:
            tools = Tools(record=record, read=read, rules=rules, clock=wiring.clock)
            timing = take(record, tools, sound, SAMPLE)
        if turn:
            one_by_one.append(single)
            bare.append(one)
            whole.append(timing.total_s)
            gate.append(timing.gate_s)
            heard.append(timing.decode_s)
    print_table(timing.audio_s, one_by_one, bare, whole, gate, heard)


def take(record: Record, tools: Tools, sound: SoundTools, path: Path):
    """One whole take; its timing."""
    return take_recording(Origin(path, wiring.clock()), tools, sound, progress=lambda step: None).timing


def print_table(audio: float, one_by_one: list[float], bare: list[float], whole: list[float], gate: list[float], heard: list[float]) -> None:
    """Markdown: seconds and wall over audio, medians over the rounds."""
    print(f"{audio:.1f} s of sound, {len(bare)} rounds in turn, medians.\n")
    print("| what | s | wall over audio |\n| --- | ---: | ---: |")
    rows = (
        ("bare recogniser, one clip after another", one_by_one),
        ("bare recogniser, several at once", bare),
        ("take, whole", whole),
        ("of it: hearing", heard),
        ("of it: decode, keep, gate", gate),
    )
    for name, seconds in rows:
        print(f"| {name} | {statistics.median(seconds):.2f} | {statistics.median(seconds) / audio:.3f} |")
    over = statistics.median((w - g) / b - 1 for w, g, b in zip(whole, gate, bare, strict=True))
    print(f"\nOverhead beyond the bare recogniser and the gate's share: {over:+.1%} (median of ratios by round).")


def long_take(folder: Path, minutes: float, killed_at: int | None) -> None:
    """Take a long file, killed on the way or not, and say what was there before and after."""
    path, kept = folder / "long.flac", folder / "record"
    if not path.exists():
        repeat(path, minutes * 60)
    print("| process | of the file | wall s | processor s | memory MB |\n| --- | ---: | ---: | ---: | ---: |", flush=True)
    if killed_at is None:
        for line in _lines_of("take", path, kept):
            print(line, flush=True)
        return
    for line in _lines_of("killed", path, kept, until=killed_at):
        print(line, flush=True)
    before = _notes(kept)
    for line in _lines_of("carried on", path, kept):
        print(line, flush=True)
    after = _notes(kept)
    assert after[: len(before)] == before, "what was stored before the kill must stay as it was"
    assert all(a[0] < b[0] for a, b in pairwise(after)), "no clip may be stored twice"
    print(f"\nKilled with {len(before)} notes stored; {len(after)} at the end, the first {len(before)} as they were.")


def _lines_of(name: str, path: Path, kept: Path, *, until: int | None = None) -> Iterator[str]:
    """Start a take and pass its lines on; killed outright when it has reached that tenth."""
    with subprocess.Popen([sys.executable, __file__, "--measure", path, kept], stdout=subprocess.PIPE, text=True) as run:
        for line in run.stdout or ():
            yield f"| {name} | {line.strip()} |" if line[0].isdigit() else f"\n{line.strip()}"
            if until is not None and line.startswith(f"{until}/10"):
                run.kill()
    if until is None and run.returncode:
        raise SystemExit(run.returncode)


def _notes(kept: Path) -> list[tuple[float, float, str]]:
    with Record.open(kept) as record:
        return [(n.note.start, n.note.end, n.note.text) for s in record.sessions() for n in record.notes(s.id)]


def memory_mb(what: str = "VmRSS") -> float:
    """Memory of this process, or with ``VmHWM`` its peak. Not getrusage: there a child's peak begins with its parent's."""
    return int(re.search(rf"{what}:\s+(\d+)", Path("/proc/self/status").read_text())[1]) / 1024


def measured_take(path: Path, kept: Path) -> None:
    """Take a file and print this process's memory at each tenth of it, then the whole."""
    with av.open(str(path)) as file:
        length = file.duration / av.time_base
    begun, heard, tenths = time.perf_counter(), 0, 1

    def progress(step: Step) -> None:
        nonlocal heard, tenths
        heard += step.text is not None
        while tenths <= 10 and step.done >= length * tenths / 10 - 1:
            print(f"{tenths}/10 | {time.perf_counter() - begun:.0f} | {time.process_time():.0f} | {memory_mb():.0f}", flush=True)
            tenths += 1

    with Record.open(kept) as record:
        ear = wiring.recogniser("embedded", for_recordings=True)
        taken = take_recording(Origin(path, wiring.clock()), wiring.tools(record), wiring.sound_tools(ear), progress=progress)
    of = f"{taken.timing.audio_s / 60:.0f} min" + (f", carried on from {taken.carried_on_from / 60:.1f} min" if taken.carried_on_from else "")
    took = time.perf_counter() - begun
    print(
        f"A file of {of}: {heard} clips read, {took:.0f} s ({took / length:.3f} of its length), peak memory {memory_mb('VmHWM'):.0f} MB.", flush=True
    )


if __name__ == "__main__":
    main()
