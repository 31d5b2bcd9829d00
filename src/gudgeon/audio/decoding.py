"""A recording or video goes in, blocks of 16 kHz mono sound come out, one after another, so that length costs no memory."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from datetime import datetime
from itertools import chain
from pathlib import Path

import av
import numpy as np
from av.audio.frame import AudioFrame
from av.audio.stream import AudioStream
from av.container import InputContainer
from av.stream import Disposition
from numpy.typing import NDArray

from gudgeon.audio.opening import is_cut_wav, nothing_decoded, open_sound
from gudgeon.domain import SAMPLE_RATE

Samples = NDArray[np.float32]

_CANCELLED = 0.02  # two channels whose average has less than this of the first one's power: one is wired the wrong way round
_LEAST_GAP_S, _MOST_GAP_S = 0.2, 3600.0
_SHORT_BY_S = 1.0
_SHORT_BY_SHARE = 0.02


@dataclass(frozen=True, slots=True, kw_only=True)
class Recording:
    """What a file says of itself: seconds (None when it does not say), when it was made (None; without a zone when it states none), its kind."""

    seconds: float | None
    created: datetime | None
    container: str
    rate: int
    channels: int
    video: bool


def probe(path: str | Path) -> Recording:
    """What the file says of itself, without decoding it. Raises MissingThing or SoundUnreadable as ``decode`` does."""
    container, stream = open_sound(Path(path))
    with container:
        return Recording(
            seconds=_stated_seconds(container, stream),
            created=_created(container, stream),
            container=container.format.name.split(",")[0],
            rate=stream.codec_context.sample_rate,
            channels=stream.codec_context.channels,
            video=any(not picture.disposition & Disposition.attached_pic for picture in container.streams.video),
        )


def decode(path: str | Path, *, block_s: float = 0.5, notice: Callable[[str], None] | None = None) -> Iterator[Samples]:
    """The file's sound as float32 blocks of shape (n,), -1..1, 16 kHz, one channel; all but the last hold ``block_s`` seconds.

    A file that breaks off, or has damaged stretches, gives what could be read and then one plain sentence to ``notice``.
    Raises, at once, MissingThing when there is no such file and SoundUnreadable when it is empty, no recording or without a
    sound track; and, while it runs, SoundUnreadable when nothing at all could be read.
    """
    where = Path(path)
    container, stream = open_sound(where)
    return _blocks(where, container, stream, round(block_s * SAMPLE_RATE), notice or (lambda sentence: None))


def _blocks(path: Path, container: InputContainer, stream: AudioStream, size: int, notice: Callable[[str], None]) -> Iterator[Samples]:
    waiting: list[Samples] = []
    held = given = 0
    damage = _Damage(broke_off=is_cut_wav(path))
    with container:
        stated = _stated_seconds(container, stream)
        for piece in _pieces(container, stream, damage):
            waiting.append(piece)
            held += len(piece)
            if held >= size:
                joined = np.concatenate(waiting)
                whole = held - held % size
                yield from joined[:whole].reshape(-1, size)
                given += whole
                waiting, held = [joined[whole:]], held - whole
    if held:
        yield np.concatenate(waiting)
    if given + held == 0:
        raise nothing_decoded(path)
    if trouble := _trouble(path.name, (given + held) / SAMPLE_RATE, stated, damage):
        notice(trouble)


@dataclass(slots=True)
class _Damage:
    """Packets that could not be decoded, seconds of silence put in where the file's own times leap, and whether the file breaks off."""

    broke_off: bool
    packets: int = 0
    gaps_s: float = 0.0


def _pieces(container: InputContainer, stream: AudioStream, damage: _Damage) -> Iterator[Samples]:
    """Resampled pieces as they are decoded. Damaged packets are counted and passed over; where time leaps, silence keeps later sound in its place."""
    resampler = _Resampler()
    origin: float | None = None
    made = 0
    for frame in chain.from_iterable(_frames(container, stream, damage)):
        at = frame.time
        origin = at if origin is None else origin
        gap = at - origin - made / SAMPLE_RATE if at is not None and origin is not None else 0.0
        if _LEAST_GAP_S < gap < _MOST_GAP_S:
            damage.gaps_s += gap
            made += round(gap * SAMPLE_RATE)
            yield from _silence(round(gap * SAMPLE_RATE))
        for piece in resampler.pieces(frame):
            made += len(piece)
            yield piece
    yield from resampler.pieces(None)


def _silence(samples: int) -> Iterator[Samples]:
    for at in range(0, samples, SAMPLE_RATE):
        yield np.zeros(min(SAMPLE_RATE, samples - at), dtype=np.float32)


def _frames(container: InputContainer, stream: AudioStream, damage: _Damage) -> Iterator[list[AudioFrame]]:
    packets = container.demux(stream)
    while True:
        try:
            packet = next(packets, None)
        except (av.error.FFmpegError, OSError):
            damage.broke_off = True
            return
        if packet is None:
            return
        try:
            yield packet.decode()
        except av.error.FFmpegError:
            damage.packets += 1


class _Resampler:
    """To 16 kHz, channels averaged to one; starts anew when rate, layout or sample format change in mid-file."""

    def __init__(self) -> None:
        self._shape: tuple[int, str, str] | None = None
        self._inner: av.AudioResampler | None = None

    def pieces(self, frame: AudioFrame | None) -> Iterator[Samples]:
        shape = (frame.sample_rate, frame.layout.name, frame.format.name) if frame else None
        if shape != self._shape:
            if self._inner is not None:
                yield from map(_samples, self._inner.resample(None))
            self._shape = shape
            self._inner = av.AudioResampler(format="fltp", layout=frame.layout, rate=SAMPLE_RATE) if frame else None
        if frame is not None and self._inner is not None:
            frame.pts = None
            yield from map(_samples, self._inner.resample(frame))


def _samples(frame: AudioFrame) -> Samples:
    channels = np.nan_to_num(frame.to_ndarray())
    mono: Samples = channels.mean(axis=0, dtype=np.float32)
    if len(channels) == 2 and np.square(mono).sum() < _CANCELLED * np.square(channels[0]).sum():
        mono = channels[0]
    return mono.clip(-1.0, 1.0)


def _stated_seconds(container: InputContainer, stream: AudioStream) -> float | None:
    if stream.duration and stream.time_base:
        return float(stream.duration * stream.time_base)
    return container.duration / av.time_base if container.duration else None


def _trouble(name: str, got: float, stated: float | None, damage: _Damage) -> str:
    """One sentence on what could not be read; empty when all could."""
    missing = stated - got if stated else 0.0
    if missing > max(_SHORT_BY_S, _SHORT_BY_SHARE * got):
        if damage.packets:
            return f"{name} is damaged: {missing:.0f} s of its sound could not be read; the rest was kept, later times may be too early by that."
        return f"{name} says that it lasts {stated:.0f} s, but its sound ends at {got:.0f} s; all up to there was kept."
    if damage.broke_off:
        return f"{name} breaks off at {got:.0f} s; all up to there was kept."
    if damage.gaps_s >= _SHORT_BY_S:
        return f"{name} has gaps: {damage.gaps_s:.1f} s of its sound could not be read and are silent; the rest was kept."
    if damage.packets:
        return f"{name} is damaged: {damage.packets} short stretches of its sound could not be read; the rest was kept."
    return ""


def _created(container: InputContainer, stream: AudioStream) -> datetime | None:
    """The file's own creation time, where it states a full one; clocks that were never set (before 1990) do not count."""
    said = {k.lower(): v for k, v in {**stream.metadata, **container.metadata}.items()}
    clock, day = said.get("creation_time", ""), said.get("date", "")
    for text in (said.get("com.apple.quicktime.creationdate", ""), clock, f"{day}T{clock}", day):
        if len(text) < len("2020-01-01T00:00"):
            continue
        try:
            made = datetime.fromisoformat(text)
        except ValueError:
            continue
        if made.year >= 1990:
            return made
    return None
