"""What is read, in order of worth, and by which forms; a result is kept for each, so that the work can be broken off and carried on."""

from __future__ import annotations

import json
from collections.abc import Iterator, Sequence
from dataclasses import asdict, dataclass
from pathlib import Path
from typing import Any

from forms import OURS, PEER, Heard, Piece
from sounds import VOICES, Floats, Said, chatter, notes, person, speak, teens

from gudgeon.domain import Reading

WORK = Path(__file__).resolve().parents[1] / "work" / "hearing"
NOISES: tuple[float | None, ...] = (None, 20.0, 10.0, 5.0)
MAIN = ("slt", "rms", "awb")
TIMED = ("beside", "person")
"""Where forms are compared in time too, so that ours read as in a live session, a clip at a time on two threads."""
SHORTEST = 8
"""So many of the notes that hold a torque, the shortest ones, are read by all forms and the peer: 8 notes, 5 voices, 4 noises, 160 sounds."""


@dataclass(frozen=True)
class Job:
    """One sound and one form: ``of`` is notes, beside, teens, chatter or person."""

    of: str
    name: str
    voice: str
    noise_db: float | None
    form: str

    @property
    def key(self) -> str:
        return f"{self.of}/{self.name}/{self.voice}/{'clean' if self.noise_db is None else f'{self.noise_db:.0f}'}/{self.form}"

    def said(self) -> Said:
        """The text that is spoken."""
        return next(s for s in {"notes": notes, "beside": notes, "teens": teens, "chatter": chatter}[self.of]() if s.name == self.name)

    def sound(self) -> Floats:
        """The sound."""
        return person() if self.of == "person" else speak(self.said(), self.voice, noise_db=self.noise_db)


@dataclass(frozen=True)
class Row:
    """What came of a job."""

    job: Job
    seconds: float
    heard: Heard


def with_torque() -> tuple[str, ...]:
    """The names of the notes that hold a torque, the shortest text first."""
    found = [said for said in notes() if any(fact["kind"] == "torque" for fact in said.facts)]
    return tuple(said.name for said in sorted(found, key=lambda said: len(said.text)))


def jobs(parts: Sequence[str]) -> Iterator[Job]:
    """The parts asked for, one after the other; forms of one sound stand side by side, so that a busy computer slows them alike."""
    for part in parts:
        yield from PARTS[part]()


def _main() -> Iterator[Job]:
    """The floors: all notes in three voices, clean, and those with a torque at 10 dB."""
    yield from _notes(MAIN, (None,), ALL)
    yield from _notes(MAIN, (10.0,), with_torque())


def _beside() -> Iterator[Job]:
    """All forms and the peer on the fixed subset."""
    for noise in NOISES:
        for voice in VOICES:
            for name in with_torque()[:SHORTEST]:
                for form in (*OURS, PEER):
                    yield Job("beside", name, voice, noise, form)


def _torques() -> Iterator[Job]:
    """The notes that hold a torque in every voice and noise, with phrases."""
    yield from _notes(VOICES, (None, 10.0, 20.0, 5.0), with_torque())


def _bare() -> Iterator[Job]:
    """The same without phrases, clean and at 10 dB."""
    yield from _notes(VOICES, (None, 10.0), with_torque(), "rebuilt")


def _without() -> Iterator[Job]:
    """All notes, clean, without phrases: in the rebuilt form and by the plain loop."""
    yield from _notes(VOICES, (None,), ALL, "rebuilt")
    yield from _notes(VOICES, (None,), ALL, "plain")


def _whole() -> Iterator[Job]:
    """Every note, voice and noise, with phrases."""
    yield from _notes(VOICES, (None, 10.0, 20.0, 5.0), ALL)


def _rest() -> Iterator[Job]:
    """All that is left: every note, voice and noise, without phrases."""
    yield from _notes(VOICES, NOISES, ALL, "rebuilt")


def _teens() -> Iterator[Job]:
    for voice in VOICES:
        for said in teens():
            for form in ("phrases", "rebuilt"):
                yield Job("teens", said.name, voice, None, form)


def _chatter() -> Iterator[Job]:
    for voice in VOICES:
        for said in chatter():
            for form in ("phrases", "rebuilt"):
                yield Job("chatter", said.name, voice, None, form)


def _person() -> Iterator[Job]:
    for form in (*OURS, PEER):
        yield Job("person", "two_cities", "a person", None, form)


ALL = tuple(said.name for said in notes())
PARTS = {
    "torques": _torques,
    "main": _main,
    "beside": _beside,
    "person": _person,
    "teens": _teens,
    "chatter": _chatter,
    "whole": _whole,
    "without": _without,
    "bare": _bare,
    "rest": _rest,
}


def _notes(voices: Sequence[str], noises: Sequence[float | None], names: Sequence[str], form: str = "phrases") -> Iterator[Job]:
    for noise in noises:
        for voice in voices:
            for name in names:
                yield Job("notes", name, voice, noise, form)


def kept(path: Path) -> dict[str, Row]:
    """The results of earlier runs by key; a line that a kill cut off is left out."""
    rows: dict[str, Row] = {}
    for line in path.read_text(encoding="utf-8").splitlines() if path.exists() else ():
        try:
            raw = json.loads(line)
        except ValueError:
            continue
        row = _row(raw)
        rows[row.job.key] = row
    return rows


def as_line(row: Row) -> str:
    """The result as one line of JSON."""
    return json.dumps({"job": asdict(row.job), "seconds": row.seconds, "heard": asdict(row.heard)}, ensure_ascii=False)


def _row(raw: dict[str, Any]) -> Row:
    heard = raw["heard"]
    pieces = tuple(Piece(p["text"], tuple(Reading(o["text"], o["odds"]) for o in p["others"])) for p in heard["pieces"])
    return Row(Job(**raw["job"]), raw["seconds"], Heard(pieces, heard["took"], heard["cpu"]))
