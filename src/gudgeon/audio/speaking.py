"""Texts and tones go in and are heard, one after the other, in a thread of their own; when its own voice could be heard is remembered.

What the microphone hears meanwhile is kept like all sound, and ``whose`` says which clips are the program's voice, so that none becomes a value,
and which were spoken into it, so that none is lost.
"""

from __future__ import annotations

import re
import subprocess
import tempfile
from collections import deque
from collections.abc import Callable, Sequence
from contextlib import suppress
from enum import Enum
from itertools import groupby, pairwise
from pathlib import Path
from queue import Queue
from shutil import which
from threading import Event, Lock, Thread

import numpy as np
from numpy.typing import NDArray
from rapidfuzz import fuzz

from gudgeon.audio.decoding import decode
from gudgeon.audio.keeping import kept_seconds
from gudgeon.audio.playing import play
from gudgeon.audio.tones import tone
from gudgeon.domain import SAMPLE_RATE, Clip, GudgeonError, MissingThing

Samples = NDArray[np.float32]

VOICE = "espeak-ng"
WORDS_A_MINUTE = 150
SPOKEN_IN_S = 20
"""Seconds after which espeak-ng is given up."""
PEAK = 0.6
LATE_S = 0.3
"""How much later than it was played the program's voice may still be heard at the microphone."""
OVERLAP_S, OVERLAP_SHARE = 0.5, 0.5
"""A clip that is so long, or by such a share, within the program's own speaking, is its own voice."""
POLITE_S, LOOK_S = 10.0, 0.1
"""How long an answer waits for a pause, and how often it looks for one."""
LAST_WORDS_S = 30.0
"""How long the end of a session waits for what is still to be said."""
TALKED_OVER_S = 1.5
"""So much of such a clip beside the program's own speaking was somebody else."""
FOREIGN_WORDS, FOREIGN_SHARE, SAME_WORD = 4, 0.75, 70.0
"""So many words, and such a share of all, that are like none the program said meanwhile (of 100) were somebody else's. In a trial in a made room
that rings, through a small loudspeaker, 0.70 of the program's own words at most were heard as others; with somebody speaking into them, 0.73 to 1."""
HEARD_WELL = 0.6
"""The share of its own words in what was heard from which on so many others in a row are somebody else's: of its own alone, two at most were."""
AGAIN = "Please say that again."
LIKE_OWN, LEAST_WORDS, LATELY = 85.0, 4, 5
"""How like a part of one of the last few texts words must be, of 100, and how many, to be the program's own, heard late."""
OWN_VOICE = "own_voice.txt"
"""Beside the sound of a session: a line for each time the program spoke, with its first and last second and the words."""


def has_voice() -> bool:
    """Whether espeak-ng is installed."""
    return which(VOICE) is not None


def spoken(text: str) -> Samples:
    """The text as espeak-ng says it: float32 samples (n,), 16 kHz. Raises MissingThing when it is not installed or says nothing."""
    with tempfile.TemporaryDirectory() as folder:
        said = Path(folder) / "said.wav"
        command = [VOICE, "-v", "en-gb", "-s", str(WORDS_A_MINUTE), "-w", str(said), "--stdin"]
        try:
            subprocess.run(command, input=text.encode(), check=True, capture_output=True, timeout=SPOKEN_IN_S)
            sound = np.concatenate(list(decode(said)))
        except (OSError, subprocess.SubprocessError, GudgeonError) as mute:
            raise MissingThing(
                "Answers cannot be spoken: espeak-ng is not there or does not work.",
                kept="They are shown.",
                next_step="Type: sudo apt install espeak-ng",
            ) from mute
    return np.asarray(sound * (PEAK / max(float(np.abs(sound).max()), 1e-6)), dtype=np.float32)


class Whose(Enum):
    """Whose voice a clip is: another's, the program's own, or both (``BOTH_LONG``: somebody also spoke beside it for long)."""

    ANOTHER = "another"
    ITS_OWN = "its own"
    BOTH = "both"
    BOTH_LONG = "both, long"


class Mouth:
    """Plays tones and says texts in turn. ``now`` gives the seconds of the session's sound so far, ``folder`` is where that sound is kept.

    A text waits while somebody speaks (``busy``), so that no note is spoken into it; after ``POLITE_S`` it is left to the screen.
    ``tell`` hears once why nothing can be heard; then everything stays silent, and nothing is lost by it.
    """

    def __init__(
        self,
        folder: Path,
        *,
        now: Callable[[], float],
        tell: Callable[[str], None],
        volume: float,
        aloud: bool,
        busy: Callable[[], bool] = lambda: False,
        playing: Callable[[Samples], None] = play,
        speech: Callable[[str], Samples] = spoken,
    ) -> None:
        self._file, self._now, self._tell = folder / OWN_VOICE, now, tell
        self._volume, self._aloud, self._busy = volume, aloud, busy
        self._play, self._speech = playing, speech
        self._lines, self._texts = _cut_short(folder), deque(own_texts(folder)[-LATELY:], maxlen=LATELY)
        self._lock, self._over = Lock(), Event()
        self._queue: Queue[Callable[[], None] | None] = Queue()
        self._thread = Thread(target=self._run, name="gudgeon-mouth", daemon=True)
        self._thread.start()

    def tone(self, name: str) -> None:
        """Plays a tone, when it is its turn."""
        if self._volume > 0:
            self._queue.put(lambda: self._sound(name))

    def say(self, text: str) -> None:
        """Says a text, when it is its turn."""
        if self._aloud and text:
            self._queue.put(lambda: self._say(text))

    def warn(self, text: str) -> None:
        """Says a text that something is wrong, after the tone for that."""
        self.tone("unsure")
        self.say(text)

    def whose(self, clip: Clip, text: str) -> Whose:
        """Whose voice a clip is, ``text`` being what was heard in it. What was spoken into an answer cannot be told apart, and is no sure word."""
        lines = self._spoken_lines()
        times = [(start, end) for start, end, _ in lines]
        if not within(times, clip.start, clip.end):
            return Whose.ITS_OWN if self.said(text) else Whose.ANOTHER
        if clip.end - clip.start - shared_s(times, clip.start, clip.end) > TALKED_OVER_S:
            return Whose.BOTH_LONG
        meanwhile = " ".join(text for start, end, text in lines if start < clip.end and end > clip.start)
        return Whose.BOTH if _foreign(text, meanwhile) else Whose.ITS_OWN

    def said(self, text: str) -> bool:
        """Whether these words are a part of what the program said lately: a loudspeaker may be late, and one that was killed is not timed."""
        words = _plain(text)
        return len(words.split()) >= LEAST_WORDS and any(fuzz.partial_ratio(words, _plain(own)) >= LIKE_OWN for own in tuple(self._texts))

    def close(self) -> None:
        """Says what still waits, and ends; a second time it does nothing."""
        self._queue.put(None)
        self._thread.join(LAST_WORDS_S)

    def _spoken_lines(self) -> Sequence[tuple[float, float, str]]:
        with self._lock:
            return tuple(self._lines)

    def _run(self) -> None:
        while (job := self._queue.get()) is not None:
            try:
                job()
            except GudgeonError as silent:
                self._tell(" ".join(filter(None, (silent.happened, "Answers are shown, not spoken.", silent.next_step))))
                self._volume, self._aloud = 0.0, False

    def _sound(self, name: str) -> None:
        if self._volume > 0:
            self._play(tone(name, volume=self._volume))

    def _say(self, text: str) -> None:
        if not self._aloud:
            return
        sound = self._speech(text)
        if not self._turn():
            return
        begun = self._now()
        self._texts.append(text)
        self._remember(begun, begun + len(sound) / SAMPLE_RATE + LATE_S, text)  # before a sound is made: a kill meanwhile must not make it a note
        try:
            self._play(sound)
        finally:
            self._remember(begun, self._now() + LATE_S, text)

    def _turn(self) -> bool:
        """Waits until nobody speaks; False when that takes too long."""
        for _ in range(round(POLITE_S / LOOK_S)):
            if not self._busy():
                return True
            self._over.wait(LOOK_S)
        return not self._busy()

    def _remember(self, start: float, end: float, text: str) -> None:
        with self._lock:
            self._lines.append((start, end, text))
            try:
                with self._file.open("a", encoding="utf-8") as file:
                    file.write(f"{start:.3f} {end:.3f} {' '.join(text.split())}\n")
            except OSError:
                return  # the sound's own keeper says that the disk is full


def own_times(folder: Path) -> list[tuple[float, float]]:
    """When the program spoke in a session, as seconds of its sound; lines that a power cut spoilt are left out."""
    return [(start, end) for start, end, _ in _lines(folder)]


def own_texts(folder: Path) -> list[str]:
    """What the program said in a session, in order."""
    return [text for _, _, text in _lines(folder)]


def _lines(folder: Path) -> list[tuple[float, float, str]]:
    try:
        lines = (folder / OWN_VOICE).read_text(encoding="utf-8", errors="replace").splitlines()
    except OSError:
        return []
    found = []
    for line in lines:
        start, _, rest = line.partition(" ")
        end, _, text = rest.partition(" ")
        try:
            found.append((float(start), float(end), text))
        except ValueError:
            continue
    return found


def _cut_short(folder: Path) -> list[tuple[float, float, str]]:
    """The lines of a session that is carried on: none lasts longer than the sound that was kept, since what follows is new."""
    lines = _lines(folder)
    if not lines:
        return []
    kept = kept_seconds(folder)
    short = [(min(start, kept), min(end, kept), text) for start, end, text in lines]
    with suppress(OSError):
        part = folder / f"{OWN_VOICE}.part"
        part.write_text("".join(f"{start:.3f} {end:.3f} {text}\n" for start, end, text in short), encoding="utf-8")
        part.replace(folder / OWN_VOICE)
    return short


def _foreign(text: str, own: str) -> bool:
    """Whether somebody else spoke too: most of what was heard is like nothing the program said, or words of somebody else stand in a row where
    the program's own were heard well. Figures count for neither, since they are written in several ways."""
    own_words, heard = _plain(own).split(), [word for word in _plain(text).split() if not word.isdigit()]
    said = [*own_words, *(first + second for first, second in pairwise(own_words))]
    other = [not any(fuzz.ratio(word, one) >= SAME_WORD for one in said) for word in heard]
    if sum(other) >= FOREIGN_WORDS and sum(other) >= FOREIGN_SHARE * len(heard):
        return True
    clear = sum(any(fuzz.ratio(word, one) >= SAME_WORD for word in heard) for one in own_words) >= HEARD_WELL * len(own_words)
    return clear and max((len(list(run)) for is_other, run in groupby(other) if is_other), default=0) >= FOREIGN_WORDS


def _plain(text: str) -> str:
    return " ".join(re.findall(r"\w+", text.lower()))


def within(times: Sequence[tuple[float, float]], start: float, end: float) -> bool:
    """Whether a stretch lies within these times, by length or by share."""
    shared = shared_s(times, start, end)
    return shared > OVERLAP_S or (end > start and shared / (end - start) > OVERLAP_SHARE)


def shared_s(times: Sequence[tuple[float, float]], start: float, end: float) -> float:
    """How many seconds of a stretch lie within these times."""
    return sum(max(0.0, min(end, until) - max(start, since)) for since, until in _joined(times))


def _joined(times: Sequence[tuple[float, float]]) -> list[tuple[float, float]]:
    joined: list[tuple[float, float]] = []
    for start, end in sorted(times):
        if joined and start <= joined[-1][1]:
            joined[-1] = (joined[-1][0], max(joined[-1][1], end))
        else:
            joined.append((start, end))
    return joined
