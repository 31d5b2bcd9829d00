"""How well commands by voice are told from notes, and whether other speech is ever taken for one.

    python benchmarks/voice/measure.py [--hours 1] [--voices slt,rms] [--snr 10] [--out FILE]

Commands: ``commands.csv`` in five synthetic voices (flite's slt, rms, awb and kal16, and espeak-ng), clean, each read with the phrases a live
session expects; right is the right command with the right figure. Other speech: ``talk.csv`` (news with figures, people, and sentences
made to sound like the wake phrase) and the labelled notes of the tests, in all voices by turns, until it has lasted as long as asked.

With ``--snr`` all of it stands in made shop noise (hammering and a ratchet over a compressor in a room that rings) whose mean square lies so many
decibels below the speech's, half a second of it before and a second after, and goes through the gate of a live session first, as at the bench.
"""

from __future__ import annotations

import argparse
import json
import sys
from collections import Counter
from collections.abc import Iterator
from functools import cache
from itertools import count
from pathlib import Path

HERE = Path(__file__).resolve().parent
sys.path[:0] = [str(HERE), str(HERE.parent / "noise")]

import numpy as np  # noqa: E402
from make_noise import make  # noqa: E402
from voices import RADIO, VOICES, rows, speak  # noqa: E402

from gudgeon.audio import Gate, speech_clips  # noqa: E402
from gudgeon.cli import wiring  # noqa: E402
from gudgeon.cli.live_parts import FOR_LIVE_PAUSE_S  # noqa: E402
from gudgeon.domain import SAMPLE_RATE, Clip, Hearing  # noqa: E402
from gudgeon.notes import read_tokens  # noqa: E402
from gudgeon.session import Command, Commands  # noqa: E402
from gudgeon.session.voice_words import CALLED, UNKNOWN  # noqa: E402

PARTS = ("drain plug", "gearbox lid", "cylinder head", "cylinder head nut", "flywheel", "flywheel bolt", "connecting rod", "rocker cover")
"""What the owner's sheet would name; a live session expects it too."""
BEFORE_S, AFTER_S = 0.5, 1.0
"""Noise around a phrase, so that the gate is open or shut as at the bench."""


def other_speech(seconds: float) -> Iterator[tuple[str, str]]:
    """Text and voice, until there is enough of it."""
    texts = [row["said"] for row in rows("talk.csv")]
    for table in sorted((HERE.parents[1] / "tests" / "tables").glob("*.jsonl")):
        found = (json.loads(line).get("text") for line in table.read_text(encoding="utf-8").splitlines())
        texts += [text for text in found if isinstance(text, str) and len(text) < 200]
    voices, lasted = (*VOICES, *RADIO[:2]), 0.0
    for turn in count():
        for n, text in enumerate(texts):
            voice = voices[(n + turn) % len(voices)]
            yield text, voice
            lasted += len(speak(text, voice)) / SAMPLE_RATE
            if lasted >= seconds:
                return


def main() -> None:
    """Measure and print."""
    options = argparse.ArgumentParser(description="Commands by voice.")
    options.add_argument("--hours", type=float, default=1.0)
    options.add_argument("--voices", default=",".join(VOICES), help="the voices that say the commands")
    options.add_argument("--snr", type=float, default=None, metavar="DB", help="in shop noise, so many decibels below the speech")
    options.add_argument("--out", type=Path)
    chosen = options.parse_args()
    said_by = chosen.voices.split(",")
    commands, units = wiring.commands(), wiring.unit_words()
    ear = wiring.recogniser(phrases=[*PARTS, *commands.phrases])
    lines = [f"# Commands by voice\n\n{(__doc__ or '').split('    python')[0].strip()}\n\n{(__doc__ or '').split(chr(10) * 2)[-1].strip()}\n"]
    right: Counter[str] = Counter()
    table = rows("commands.csv")
    for row in table:
        for voice in said_by:
            hearings = list(ear.hear(_clips(row["said"], voice, chosen.snr)))
            command = _command(hearings, commands)
            good = command is not None and command.name == row["command"] and _figure_is(row, command.rest, units)
            right["right"] += good
            right[voice] += good
            right["another"] += command is not None and command.name not in (UNKNOWN, row["command"])
            if not good:
                lines.append(f"- missed, {voice}: “{row['said']}” was heard as “{' / '.join(hearing.text for hearing in hearings)}”")
    tried = len(table) * len(said_by)
    lines.append(f"\n{right['right']} of {tried} commands right ({right['right'] / tried:.1%}), {right['another']} taken for another command.")
    lines.append("By voice: " + ", ".join(f"{voice} {right[voice]} of {len(table)}" for voice in said_by) + ".")
    print("\n".join(lines), flush=True)
    lasted, woken, taken = 0.0, [], 0
    for text, voice in other_speech(chosen.hours * 3600):
        samples = speak(text, voice)
        lasted += len(samples) / SAMPLE_RATE
        clips = speech_clips([samples]) if chosen.snr is None else iter(_clips(text, voice, chosen.snr))
        for hearing in ear.hear(clips):
            command = commands.read(hearing.text)
            if command is not None:
                woken.append(f"- {voice}: “{text}” was heard as “{hearing.text}”: {command.name}")
                taken += command.name != UNKNOWN
    found = [f"\nIn {lasted / 3600:.2f} hours of other speech {taken} commands were taken, and the wake phrase was heard {len(woken)} times.", *woken]
    print("\n".join(found), flush=True)
    if chosen.out:
        chosen.out.write_text("\n".join([*lines, *found]) + "\n", encoding="utf-8")


def _clips(text: str, voice: str, snr: float | None) -> list[Clip]:
    """The whole text as one clip; in noise, what a live session's gate makes of it."""
    samples = speak(text, voice)
    if snr is None:
        return [Clip(samples, 0.0, len(samples) / SAMPLE_RATE)]
    before = np.zeros(round(BEFORE_S * SAMPLE_RATE), dtype=np.float32)
    after = np.zeros(round(AFTER_S * SAMPLE_RATE), dtype=np.float32)
    level = 10 * np.log10(np.mean(np.square(samples))) - snr
    sound = np.concatenate([before, samples, after])
    noise = _shop()
    at = sum(f"{voice} {text}".encode()) * 7_919 % (len(noise) - len(sound))
    mixed = sound + noise[at : at + len(sound)] * np.float32(10 ** ((level - SHOP_LEVEL) / 20))
    mixed = (mixed / max(1.0, float(np.abs(mixed).max()))).astype(np.float32)
    return list(speech_clips([mixed], gate=Gate(pause_s=FOR_LIVE_PAUSE_S)))


SHOP_LEVEL = -26.0


@cache
def _shop() -> np.ndarray:
    return make("shop", 120.0, SHOP_LEVEL)


def _command(hearings: list[Hearing], commands: Commands) -> Command | None:
    """The command in what was heard; the wake phrase may stand in a clip of its own, before the one that has the rest."""
    called = False
    for hearing in hearings:
        command = commands.read(hearing.text, called=called)
        if command is not None and command.name != CALLED:
            return command
        called = command is not None
    return None


def _figure_is(row: dict[str, str], rest: str, units: object) -> bool:
    """Whether the figure of a "make it" is the one that was said; other commands have none."""
    if row["command"] != "make":
        return True
    tokens = read_tokens(rest, units)  # type: ignore[arg-type]
    figure = tokens[0].figure if tokens else None
    return figure is not None and figure.value == float(row["rest"])


if __name__ == "__main__":
    main()
