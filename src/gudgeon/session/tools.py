"""What a session works with, handed in from the edge: the record, the reader, the judge, the recogniser, the clocks, the sound."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from pathlib import Path
from typing import Protocol

import numpy as np
from numpy.typing import NDArray

from gudgeon.domain import Clip, Entry, Fact, Hearing, Judgement, OpenItem, PastValue, ReadNote, Session, SpecSheet
from gudgeon.record import Record
from gudgeon.trade import Wrench

Samples = NDArray[np.float32]


class Judge(Protocol):
    """What says how an entry stands against the sheet and the past."""

    def __call__(
        self,
        entry: Entry,
        *,
        sheet: SpecSheet | None,
        past: Sequence[PastValue],
        wrenches: Sequence[Wrench],
        today: date,
        learnt: Mapping[str, str],
    ) -> Judgement: ...


@dataclass(frozen=True, slots=True, kw_only=True)
class Rules:
    """What makes entries and open items of a session's notes, and what judges an entry."""

    assemble: Callable[[Sequence[ReadNote]], Sequence[Entry]]
    open_items: Callable[[Sequence[ReadNote]], Sequence[OpenItem]]
    judge: Judge
    redone: Callable[[Entry, Sequence[ReadNote]], bool] = lambda entry, notes: False
    """Whether an entry was said to be done anew."""


class Ear(Protocol):
    """A recogniser, as the speech room offers it."""

    @property
    def name(self) -> str: ...

    def hear(self, clips: Iterable[Clip]) -> Iterator[Hearing]: ...


class SoundKeeper(Protocol):
    """What writes sound into a folder and carries on at its end."""

    @property
    def seconds(self) -> float: ...

    def add(self, block: Samples) -> None: ...

    def close(self) -> None: ...


@dataclass(frozen=True, slots=True, kw_only=True)
class Tools:
    """The parts of a session that need no sound; ``clock`` gives moments in UTC."""

    record: Record
    read: Callable[[str], tuple[Fact, ...]]
    rules: Rules
    clock: Callable[[], datetime]


@dataclass(frozen=True, slots=True, kw_only=True)
class SoundTools:
    """The parts that a recording needs; ``seconds_now`` is a running clock for measuring."""

    recogniser: Ear
    decode: Callable[[Path, Callable[[str], None]], Iterator[Samples]]
    gate: Callable[[Iterable[Samples]], Iterator[Clip]]
    keeper: Callable[[Path], SoundKeeper]
    seconds_now: Callable[[], float]


@dataclass(frozen=True, slots=True)
class Step:
    """Progress: the seconds of sound (or the notes of a text) that are done, and the note just stored."""

    done: float
    text: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Timing:
    """Seconds: of sound read, spent decoding and gating it, spent in the recogniser, and in all."""

    audio_s: float = 0.0
    gate_s: float = 0.0
    decode_s: float = 0.0
    total_s: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Taken:
    """What came of taking a source: the session, whether it was broken off, was carried on, or had been taken before, and plain notices."""

    session: Session
    timing: Timing
    stopped: bool = False
    carried_on_from: float | None = None
    already: bool = False
    notices: tuple[str, ...] = ()
