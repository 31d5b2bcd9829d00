"""How well commands by voice are told from notes, and whether other speech is ever taken for one.

    python benchmarks/voice/measure.py [--hours 1] [--voices slt,rms] [--out FILE]

Commands: ``commands.csv`` in five synthetic voices (flite's slt, rms, awb and kal16, and espeak-ng), clean, each read with the phrases a live
session expects; right is the right command with the right figure. Other speech: ``talk.csv`` (news with figures, people, and sentences
made to sound like the wake phrase) and the labelled notes of the tests, in all voices by turns, until it has lasted as long as asked.
"""

from __future__ import annotations

import argparse
import json
import sys
from collections import Counter
from collections.abc import Iterator
from itertools import count
from pathlib import Path

HERE = Path(__file__).resolve().parent
sys.path.insert(0, str(HERE))

from voices import RADIO, VOICES, rows, speak  # noqa: E402

from gudgeon.audio import speech_clips  # noqa: E402
from gudgeon.cli import wiring  # noqa: E402
from gudgeon.domain import SAMPLE_RATE, Clip  # noqa: E402
from gudgeon.notes import read_tokens  # noqa: E402
from gudgeon.session.voice_words import UNKNOWN  # noqa: E402

PARTS = ("drain plug", "gearbox lid", "cylinder head", "cylinder head nut", "flywheel", "flywheel bolt", "connecting rod", "rocker cover")
"""What the owner's sheet would name; a live session expects it too."""


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
            (hearing,) = ear.hear([_clip(row["said"], voice)])
            command = commands.read(hearing.text)
            good = command is not None and command.name == row["command"] and _figure_is(row, command.rest, units)
            right["right"] += good
            right[voice] += good
            right["another"] += command is not None and command.name not in (UNKNOWN, row["command"])
            if not good:
                lines.append(f"- missed, {voice}: “{row['said']}” was heard as “{hearing.text}”")
    tried = len(table) * len(said_by)
    lines.append(f"\n{right['right']} of {tried} commands right ({right['right'] / tried:.1%}), {right['another']} taken for another command.")
    lines.append("By voice: " + ", ".join(f"{voice} {right[voice]} of {len(table)}" for voice in said_by) + ".")
    print("\n".join(lines), flush=True)
    lasted, woken, taken = 0.0, [], 0
    for text, voice in other_speech(chosen.hours * 3600):
        samples = speak(text, voice)
        lasted += len(samples) / SAMPLE_RATE
        for hearing in ear.hear(speech_clips([samples])):
            command = commands.read(hearing.text)
            if command is not None:
                woken.append(f"- {voice}: “{text}” was heard as “{hearing.text}”: {command.name}")
                taken += command.name != UNKNOWN
    found = [f"\nIn {lasted / 3600:.2f} hours of other speech {taken} commands were taken, and the wake phrase was heard {len(woken)} times.", *woken]
    print("\n".join(found), flush=True)
    if chosen.out:
        chosen.out.write_text("\n".join([*lines, *found]) + "\n", encoding="utf-8")


def _clip(text: str, voice: str) -> Clip:
    samples = speak(text, voice)
    return Clip(samples, 0.0, len(samples) / SAMPLE_RATE)


def _figure_is(row: dict[str, str], rest: str, units: object) -> bool:
    """Whether the figure of a "make it" is the one that was said; other commands have none."""
    if row["command"] != "make":
        return True
    tokens = read_tokens(rest, units)  # type: ignore[arg-type]
    figure = tokens[0].figure if tokens else None
    return figure is not None and figure.value == float(row["rest"])


if __name__ == "__main__":
    main()
