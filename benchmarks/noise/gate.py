"""What the gate makes of noise without a word, and what it keeps of speech that noise lies over.

    python benchmarks/noise/gate.py [--seconds 600] [--kinds engine,music] [--speech]

First table: clips (and seconds of them) that the gate lets through for each kind and level; a note in ten minutes is the most that is
allowed; more are marked with "!". With ``--speech``, second table: the share of the clean recordings' speech that is still in a clip, by noise and
signal-to-noise ratio (mean squares over the whole recording).
"""

import argparse
from collections.abc import Iterable, Iterator
from importlib.util import find_spec
from pathlib import Path

import numpy as np
from make_noise import KINDS, make

from gudgeon.audio import decode, speech_clips
from gudgeon.domain import Clip

LEVELS = (-46.0, -36.0, -26.0, -14.0)
RATIOS = (20.0, 10.0, 5.0, 0.0)
MOST_NOTES_IN_TEN_MINUTES = 1


def main() -> None:
    """Prints the tables."""
    asked = argparse.ArgumentParser(description="The gate against noise.")
    asked.add_argument("--seconds", type=float, default=600.0)
    asked.add_argument("--kinds", default=",".join(KINDS))
    asked.add_argument("--speech", action="store_true")
    given = asked.parse_args()
    kinds = given.kinds.split(",")
    print(f"Clips that the gate lets through, and seconds of them, from {given.seconds:.0f} s of each noise at a level in dB below full scale:\n")
    print(row("noise", [f"{level:.0f} dB" for level in LEVELS]))
    print(row("---", ["---"] * len(LEVELS)))
    for kind in kinds:
        print(row(kind, alone(kind, given.seconds)), flush=True)
    if given.speech:
        under_noise([kind for kind in kinds if kind != "silence"])


def alone(kind: str, seconds: float) -> Iterator[str]:
    """One cell a level."""
    for level in LEVELS:
        if kind == "silence" and level != LEVELS[0]:
            yield "–"  # it has no level
            continue
        clips = list(speech_clips(blocks(make(kind, seconds, level))))
        over = "!" if len(clips) > max(1, MOST_NOTES_IN_TEN_MINUTES * seconds / 600) else ""
        yield f"{len(clips)} ({sum(clip.seconds for clip in clips):.1f}){over}"


def under_noise(kinds: list[str]) -> None:
    """Prints the share of speech kept."""
    spec = find_spec("moonshine_voice")
    person = Path(str(spec.origin)).parent / "assets" / "two_cities.wav" if spec else None
    sample = Path(__file__).parents[2] / "sample_audio" / "orchard_session.flac"
    for name, path in (("a person reading", person), ("the sample session", sample)):
        if path is None:
            continue
        clean = np.concatenate(list(decode(path)))
        before = covered(speech_clips(blocks(clean)), len(clean))
        print(f"\nShare of the speech of {name} that is still in a clip, by signal to noise:\n")
        print(row("noise", [f"{ratio:.0f} dB" for ratio in RATIOS]))
        print(row("---", ["---"] * len(RATIOS)))
        for kind in kinds:
            print(row(kind, [f"{kept(clean, before, kind, ratio):.3f}" for ratio in RATIOS]), flush=True)


def row(first: str, cells: Iterable[str]) -> str:
    """A row of a Markdown table."""
    return f"| {first} | {' | '.join(cells)} |"


def kept(clean: np.ndarray, before: np.ndarray, kind: str, ratio: float) -> float:
    """The share of the samples that were in a clip without noise and still are."""
    noise = make(kind, len(clean) / 16_000 + 1, -26.0)[: len(clean)]
    noise *= np.sqrt(np.mean(np.square(clean)) / np.mean(np.square(noise))) * 10 ** (-ratio / 20)
    after = covered(speech_clips(blocks(clean + noise)), len(clean))
    return float((before & after).sum() / before.sum())


def covered(clips: Iterator[Clip], samples: int) -> np.ndarray:
    """True for every sample that lies in a clip."""
    inside = np.zeros(samples, bool)
    for clip in clips:
        inside[round(clip.start * 16_000) : round(clip.end * 16_000)] = True
    return inside


def blocks(sound: np.ndarray) -> Iterator[np.ndarray]:
    """Half a second at a time."""
    return (sound[at : at + 8_000] for at in range(0, len(sound), 8_000))


if __name__ == "__main__":
    main()
