"""The ways to read: the model as it comes, rebuilt, rebuilt with phrases and doubt; and another transcriber of the same model beside them."""

from __future__ import annotations

import time
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from sounds import HERE, Floats

from gudgeon.audio import Gate, speech_clips
from gudgeon.cli.wiring import tables
from gudgeon.domain import Clip, Reading
from gudgeon.speech import Embedded, installed_model, read_instructions, read_phrases, sheet_phrases

CACHE = HERE.parent / "work" / "hearing" / "cache"
OURS = ("phrases", "rebuilt", "plain")
PEER = "peer"


@dataclass(frozen=True)
class Piece:
    """One stretch of speech as it was read."""

    text: str
    others: tuple[Reading, ...] = ()


@dataclass(frozen=True)
class Heard:
    """What a form read in one sound, and the seconds of wall clock and of processor it took, the search for speech included."""

    pieces: tuple[Piece, ...]
    took: float
    cpu: float


Read = Callable[[Floats], Heard]


def form(name: str, *, timed: bool = True) -> Read:
    """The way to read that has this name; where no time is compared, on one thread, which costs less and leaves the words alone."""
    return _peer() if name == PEER else _ours(name, readers=1 if timed else 2)


def recogniser(name: str, *, readers: int = 1) -> Embedded:
    """The embedded recogniser in this form; with two readers each has one thread, as in ``gudgeon take``."""
    opened = tables("speech")
    instructions = read_instructions(opened["instructions"])
    if name != "phrases":
        return Embedded(cache=None if name == "plain" else CACHE, instructions=instructions, readers=readers)
    table = opened["phrases"]
    units, lead_ins = read_phrases(table, kind="torque unit"), read_phrases(table, kind="leads to a figure")
    return Embedded(cache=CACHE, phrases=phrases(), units=units, lead_ins=lead_ins, instructions=instructions, readers=readers)


def _ours(name: str, *, readers: int) -> Read:
    ear = recogniser(name, readers=readers)

    def read(samples: Floats) -> Heard:
        wall, cpu = time.perf_counter(), time.process_time()
        clips: list[Clip] = list(speech_clips([samples], gate=Gate()))
        pieces = tuple(Piece(heard.text, heard.others) for heard in ear.hear(clips))
        return Heard(pieces, time.perf_counter() - wall, time.process_time() - cpu)

    return read


def phrases() -> list[str]:
    """The built-in phrases and those of the sample session's spec sheet, which was not made from the notes."""
    from gudgeon.checks import read_spec

    sheet = read_spec((HERE.parents[1] / "sample_audio" / "orchard_spec.csv").read_text(encoding="utf-8").splitlines())
    return [*read_phrases(tables("speech")["phrases"]), *sheet_phrases(sheet)]


def _peer() -> Read:
    """moonshine-voice's own transcriber (its own search for speech, its own loop) on the very same model files."""
    from moonshine_voice.transcriber import ModelArch, Transcriber

    folder: Path = installed_model().folder
    ear = Transcriber(str(folder), ModelArch.BASE)

    def read(samples: Floats) -> Heard:
        wall, cpu = time.perf_counter(), time.process_time()
        lines = ear.transcribe_without_streaming(samples.tolist()).lines
        return Heard((Piece(" ".join(line.text.strip() for line in lines)),), time.perf_counter() - wall, time.process_time() - cpu)

    return read
