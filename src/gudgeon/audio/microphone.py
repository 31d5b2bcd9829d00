"""The microphone: sound is captured in PortAudio's own thread into a queue, whatever else the computer is doing."""

from __future__ import annotations

import atexit
from collections.abc import Callable, Iterator, Sequence
from functools import partial
from pathlib import Path
from queue import Empty, SimpleQueue
from threading import Event, Thread
from typing import Any

import numpy as np
from numpy.typing import NDArray

from gudgeon.audio.cutting import cut
from gudgeon.audio.gaps import Block, Gap, Late, Moment, Watch, late_words, now
from gudgeon.audio.keeping import kept_samples
from gudgeon.audio.microphones import Microphone, microphones
from gudgeon.audio.playing import PORTAUDIO
from gudgeon.domain import SAMPLE_RATE, Failure, MissingThing

Samples = NDArray[np.float32]

BLOCK = 1_600
"""Samples a block: a tenth of a second."""
SILENT_FOR_S, LOOK_S = 3.0, 0.25
"""How long no sound must come for the microphone to be looked for anew, and how often it is asked for sound."""
CLOSED_IN_S = 3.0
"""How long letting go of a microphone may take."""
MUTED_FOR_S, MUTED_BELOW = 5, 1e-4
LEVELS = ((-60.0, "silent"), (-42.0, "faint"), (-9.0, "good"), (-1.0, "loud"))


def choose(wanted: str | None) -> Microphone:
    """The microphone of that number or (part of a) name, else the usual one. Raises MissingThing when there is none such."""
    known = microphones()
    if not known:
        raise MissingThing(
            "No microphone was found.",
            kept="No session was made.",
            next_step="Plug one in and call again, or listen to a recording with --from FILE.",
        )
    if not wanted:
        return known[0]
    text = wanted.strip().lower()
    exact = [m for m in known if text in (str(m.number), m.name.lower())]
    part = exact or [m for m in known if text in m.name.lower()]
    if not part:
        names = "; ".join(f"{m.number} {m.name}" for m in known)
        raise MissingThing(f"There is no microphone {wanted!r}.", kept="No session was made.", next_step=f"These are there: {names}.")
    return part[0]


class Capture:
    """An open microphone. ``blocks()`` gives its sound, 16 kHz mono float32; it opens it again when it was unplugged or the computer slept.

    Where sound never came, because the computer slept, the program was stopped or the microphone was away, silence stands for it, and
    ``gap`` is called just before that is given. ``overruns`` counts the times PortAudio lost sound because it was not fetched in time,
    ``gone`` is True while the microphone is away. ``now`` gives the moment, for tests.
    """

    def __init__(
        self,
        microphone: Microphone,
        *,
        tell: Callable[[str], None] = lambda _: None,
        gap: Callable[[Gap], None] = lambda _: None,
        now: Callable[[], Moment] = now,
    ) -> None:
        self._microphone = microphone
        self._tell, self._gap, self._now = tell, gap, now
        self._queue: SimpleQueue[Block] = SimpleQueue()
        self._stream: Any = None
        self.overruns = 0
        self.peak = 0.0
        self.gone = False
        self._quiet = 0
        self._stuck = False
        self._open()

    def blocks(self, stop: Event) -> Iterator[Samples]:
        """The sound as it comes, until ``stop`` is set; what was captured until then is still given."""
        watch, empty = Watch(), 0
        while not stop.is_set():
            try:
                block = self._queue.get(timeout=LOOK_S)
            except Empty:
                empty += 1  # looks are counted, not seconds: a program that was stopped has not been waiting for sound
                if empty * LOOK_S > SILENT_FOR_S:
                    self._again(stop)
                    empty = 0
                continue
            empty = 0
            self._watch_silence()
            yield from self._given(watch.feed(block), stop)
        self.close()
        while not self._queue.empty():
            yield from self._given(watch.feed(self._queue.get()), stop)
        yield from self._given(watch.flush(), stop)

    def _given(self, found: Sequence[Samples | Gap | Late], stop: Event) -> Iterator[Samples]:
        """The sound; a gap is told, and after sleep the microphone is opened anew, since its number may be another now."""
        for one in found:
            if isinstance(one, Late):
                self._tell(late_words(one))
            elif isinstance(one, Gap):
                self._gap(one)
                self._quiet = 0
                if one.slept:
                    self._open_anew(stop)
            else:
                yield one

    def _watch_silence(self) -> None:
        """Says once when the microphone gives nothing but silence from its start (or from a gap) on."""
        self._quiet = self._quiet + 1 if self.peak < MUTED_BELOW else -1_000_000_000
        if self._quiet * BLOCK == MUTED_FOR_S * SAMPLE_RATE:
            self._tell(f"The microphone {self._microphone.name} is silent: is it muted?")

    def close(self) -> None:
        """Lets go of the microphone; of one whose sound server stands still, too."""
        begun = self._now().awake
        self._aside(self._shut, lambda: self._now().awake - begun > CLOSED_IN_S)

    def _shut(self) -> None:
        stream, self._stream = self._stream, None
        if stream is not None:
            stream.close()

    def _aside(self, work: Callable[[], object], given_up: Callable[[], bool]) -> bool:
        """Does what may wait for the sound server for ever; False when it was given up, and then PortAudio is left alone, at the end too."""
        if self._stuck:
            return False
        worker = Thread(target=work, name="gudgeon-portaudio", daemon=True)
        worker.start()
        while worker.is_alive() and not given_up():
            worker.join(0.05)
        if worker.is_alive():
            import sounddevice  # noqa: PLC0415 - as below

            self._stuck = True
            atexit.unregister(sounddevice._exit_handler)
        return not self._stuck

    def _open(self) -> None:
        import sounddevice  # noqa: PLC0415 - opens PortAudio, which may be missing and is slow to start

        try:
            self._stream = sounddevice.InputStream(
                samplerate=SAMPLE_RATE,
                blocksize=BLOCK,
                device=self._microphone.number,
                channels=1,
                dtype="float32",
                latency="high",
                callback=self._came,
            )
            self._stream.start()
        except sounddevice.PortAudioError as refused:
            raise Failure(
                f"The microphone {self._microphone.name} could not be opened: {refused}.",
                kept="What was stored before is kept.",
                next_step="Look whether another program holds it, or choose another with --microphone.",
            ) from refused

    def _came(self, sound: Samples, frames: int, when: Any, status: Any) -> None:
        """Called by PortAudio for each block; it must not wait for anything."""
        if status.input_overflow:
            self.overruns += 1
        block = sound[:, 0].copy()
        self.peak = float(np.abs(block).max(initial=0.0))
        self._queue.put(Block(self._now(), block))

    def _again(self, stop: Event) -> None:
        """The microphone fell silent for the system: look for it until it is back."""
        self.gone = True
        self._tell(f"The microphone {self._microphone.name} gives no sound: is it unplugged? Waiting for it.")
        if self._open_anew(stop):
            self._tell("The microphone is back.")
        self.gone = False

    def _open_anew(self, stop: Event) -> bool:
        """Lets go of the microphone and looks for it until it can be opened; False when ``stop`` was set before."""
        while not stop.is_set():
            opened: list[bool] = []
            if not self._aside(partial(self._try_anew, opened), stop.is_set):
                return False
            if opened:
                return True
            stop.wait(1.0)
        return False

    def _try_anew(self, opened: list[bool]) -> None:
        """Adds to ``opened`` when it is open again."""
        import sounddevice  # noqa: PLC0415 - as above

        try:
            self._shut()
            with PORTAUDIO:
                sounddevice._terminate()
                sounddevice._initialize()
            self._microphone = choose(self._microphone.name)
            self._open()
        except (MissingThing, Failure, sounddevice.PortAudioError):
            return
        opened.append(True)


def kept_again(folder: Path, reached: float) -> Iterator[Samples]:
    """The sound of a session that was broken off, from its first sample to the last that was kept; silence up to ``reached`` seconds."""
    at, all_kept = 0, kept_samples(folder)
    step = 30 * SAMPLE_RATE
    done = min(round(reached * SAMPLE_RATE), all_kept)
    while at < all_kept:
        until = min(at + step, done if at < done else all_kept)
        block = np.zeros(until - at, dtype=np.float32)
        if at >= done:
            found = cut(folder, at / SAMPLE_RATE, until / SAMPLE_RATE)[: until - at]
            block[: len(found)] = found
        yield block
        at = until


def level_words(peak: float) -> str:
    """How loud a block is, as a bar and a word: peak 0..1, full scale 1."""
    decibels = 20 * float(np.log10(max(peak, 1e-6)))
    word = next((name for below, name in LEVELS if decibels < below), "too loud")
    filled = round(max(0.0, min(1.0, (decibels + 60) / 60)) * 10)
    return f"[{'#' * filled}{'.' * (10 - filled)}] {word}"
