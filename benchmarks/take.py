"""What `take` costs beside the bare recogniser on the same clips: wall time over audio time, and peak memory.

    python benchmarks/take.py [--rounds 5] [--long MINUTES] [--bare CLIPS]

One process, rounds in turn: the recogniser alone over the sample session's clips, one after another on two threads and then several at once
on one thread each, then the whole of `take` (decode, keep, gate, hear, read, put together, judge, store) with the latter. Prints medians,
the part of `take` that the gate has (decoding, keeping and gating, which the bare loop does not do) and what is left as our overhead.
``--bare`` only reads so many clips both ways. ``--long`` takes the sample repeated to that many minutes in a process of its own and prints
its peak memory.
"""

import argparse
import resource
import statistics
import subprocess
import sys
import tempfile
import time
from pathlib import Path

from gudgeon.audio import decode, speech_clips
from gudgeon.cli import wiring
from gudgeon.record import Record
from gudgeon.session import Origin, SoundTools, Tools, take_recording
from long_file import repeat

SAMPLE = Path(__file__).resolve().parents[1] / "sample_audio" / "orchard_session.flac"


def main() -> None:
    """Measure and print one table."""
    asked = argparse.ArgumentParser(description="The cost of take beside the bare recogniser.")
    asked.add_argument("--rounds", type=int, default=5)
    asked.add_argument("--bare", type=int, metavar="CLIPS")
    asked.add_argument("--long", type=float, metavar="MINUTES")
    asked.add_argument("--measure", type=Path, help=argparse.SUPPRESS)
    given = asked.parse_args()
    if given.measure:
        long_take(given.measure)
        return
    if given.bare:
        one_by_one_or_together(given.bare, given.rounds)
        return
    beside_the_bare_loop(given.rounds)
    if given.long:
        with tempfile.TemporaryDirectory() as folder:
            path = Path(folder) / "long.flac"
            repeat(path, given.long * 60)
            subprocess.run([sys.executable, __file__, "--measure", path], check=True)


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


def long_take(path: Path) -> None:
    """Take a long file and print its wall over audio and the peak memory of this process."""
    with tempfile.TemporaryDirectory() as folder, Record.open(folder) as record:
        timing = take(record, wiring.tools(record), wiring.sound_tools(wiring.recogniser("embedded", for_recordings=True)), path)
    peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
    print(f"\nA file of {timing.audio_s / 60:.0f} min: wall over audio {timing.total_s / timing.audio_s:.3f}, peak memory {peak:.0f} MB.")


if __name__ == "__main__":
    main()
