"""What reading several clips in one step of the decoder would save, and how many clips could share one: processor time a step, like lengths, padding.

    python benchmarks/step_rows.py [--padded]

A step is timed on one thread with so many readings (rows), of one clip and of several; the clips are those of the 80 spoken notes in one
voice (flite's slt). ``--padded`` also reads the notes that hold a torque with a little silence at the end and counts the texts that change.
"""

import argparse
import sys
import time
from pathlib import Path
from statistics import median

import numpy as np

sys.path.insert(0, str(Path(__file__).resolve().parent / "hearing"))

from forms import CACHE, recogniser
from jobs import with_torque
from sounds import notes, speak

from gudgeon.audio import speech_clips
from gudgeon.domain import Clip
from gudgeon.speech import installed_model, prepare
from gudgeon.speech.nets import HEAD_SIZE, HEADS, LAYERS, Memory, RebuiltNet

STEPS, FRAMES, ROUNDS = 15, 200, 25
SHAPES = ((1, 1), (4, 1), (8, 2), (16, 4), (32, 8), (10, 1), (20, 2), (40, 4))
"""Readings in all, and of how many clips."""


def main() -> None:
    """Print the tables."""
    options = argparse.ArgumentParser(description=(__doc__ or "").split("\n\n")[0])
    options.add_argument("--padded", action="store_true")
    chosen = options.parse_args()
    print("| readings | clips | ms a step | ms a clip |\n| ---: | ---: | ---: | ---: |")
    for (readings, clips), took in times().items():
        print(f"| {readings} | {clips} | {took:.1f} | {took / clips:.1f} |")
    lengths = [len(clip.samples) for said in notes() for clip in speech_clips([speak(said, "slt")])]
    print("\n| lengths differ by at most | a partner among the next 4 | 8 | 16 |\n| ---: | ---: | ---: | ---: |")
    for most in (0.0, 0.01, 0.02, 0.05):
        print(f"| {most:.0%} | " + " | ".join(f"{paired(lengths, most, ahead) / len(lengths):.0%}" for ahead in (4, 8, 16)) + " |")
    if chosen.padded:
        print(changed_by_padding())


def times() -> dict[tuple[int, int], float]:
    """Milliseconds of processor time a step, the middle of the rounds; the shapes by turns."""
    net = RebuiltNet(prepare(installed_model(), CACHE).folder, threads=1)
    rng = np.random.default_rng(1)

    def arrays(rows: int, steps: int) -> tuple[np.ndarray, ...]:
        return tuple(rng.random((rows, HEADS, steps, HEAD_SIZE), np.float32) for _ in range(2 * LAYERS))

    memories = {(r, c): Memory(arrays(r if c > 1 else 1, FRAMES), arrays(r, STEPS)) for r, c in SHAPES}
    took: dict[tuple[int, int], list[float]] = {shape: [] for shape in SHAPES}
    for _ in range(ROUNDS):
        for shape, memory in memories.items():
            begun = time.process_time()
            net.step(np.full((shape[0], 1), 5, np.int64), memory)
            took[shape].append(time.process_time() - begun)
    return {shape: median(found) * 1000 for shape, found in took.items()}


def paired(lengths: list[int], most: float, ahead: int) -> int:
    """How many clips find a partner of like length among the next ones that have none yet."""
    taken: set[int] = set()
    for at, length in enumerate(lengths):
        fits = (n for n in range(at + 1, min(at + 1 + ahead, len(lengths))) if n not in taken and abs(lengths[n] - length) <= most * length)
        if at not in taken and (partner := next(fits, None)) is not None:
            taken |= {at, partner}
    return len(taken)


def changed_by_padding() -> str:
    """How many texts change with so much silence at the end, read without phrases."""
    by_name, ear = {said.name: said for said in notes()}, recogniser("rebuilt", readers=2)
    clips = [clip for name in with_torque() for clip in speech_clips([speak(by_name[name], "slt")])]

    def texts(share: float) -> list[str]:
        padded = (Clip(np.pad(clip.samples, (0, round(len(clip.samples) * share))), clip.start, clip.end) for clip in clips)
        return [heard.text for heard in ear.hear(padded)]

    as_is = texts(0.0)
    told = (f"{share:.1%}: {sum(a != b for a, b in zip(as_is, texts(share), strict=True))}" for share in (0.005, 0.01, 0.02))
    return f"\nTexts of {len(clips)} that change when padded: {', '.join(told)}."


if __name__ == "__main__":
    main()
