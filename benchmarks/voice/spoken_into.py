"""Is it noticed when somebody speaks into an answer, and is an answer alone ever taken for somebody?

    python benchmarks/voice/spoken_into.py [--out FILE]

Ten answers are spoken by espeak-ng, as in a live session, and heard as they are, and through a small loudspeaker in a bare room that rings (both
made by a sum). Into four of them in that room five notes are spoken by five voices, half a second after the answer begins, 6 dB softer, as loud and
6 dB louder; where a note lasts longer than its answer, what is beside it counts too. What the recogniser hears decides, as at the bench. One
that is not noticed makes no note; its sound is kept.
"""

from __future__ import annotations

import argparse
import sys
import tempfile
from collections import Counter
from pathlib import Path

import numpy as np

HERE = Path(__file__).resolve().parent
sys.path.insert(0, str(HERE))

from voices import VOICES, speak  # noqa: E402

from gudgeon.audio import Gate, Mouth, Whose, speech_clips, spoken  # noqa: E402
from gudgeon.cli import wiring  # noqa: E402
from gudgeon.cli.live_parts import FOR_LIVE_PAUSE_S  # noqa: E402
from gudgeon.domain import SAMPLE_RATE  # noqa: E402
from gudgeon.reports import aloud, read_aloud  # noqa: E402

ANSWERS = (
    "Sump drain plug: 25 lb·ft. The maker's manual decides.",
    "3 open. The last: order two gaskets; check the oil level tomorrow",
    "gearbox lid: 105 lb·ft is over the sheet's 90 lb·ft, allowing the sheet's own ±5 %.",
    "Set the wrench to 88.9 N·m. This is computed, and no specification. The maker's manual decides.",
    "Rocker cover nuts: 9 N·m, said on 4 May 2026. The maker's manual decides.",
    "Struck.",
    "Please say that again.",
    "One three, or three zero?",
    "No sound came for 20 seconds. Silence stands for it.",
    "16 of 24 left by the spec sheet: cylinder head nuts; flywheel bolts; and 14 more.",
)
SPOKEN_INTO = 4
"""So many of them, from the first, are spoken into."""
NOTES = (
    "The gearbox lid bolts got twenty four newton metres.",
    "I have put some thread locker on the flywheel bolts.",
    "This stud is pulling, do not trust it.",
    "The rocker cover gasket is torn, buy a new one.",
    "No, leave that one alone.",
)
LEVELS = (-6, 0, 6)
INTO_S, AROUND_S = 0.5, 1.0


def in_room(sound: np.ndarray) -> np.ndarray:
    """The sound through a small loudspeaker (350 to 4,500 Hz) in a room whose sound falls by 60 dB in 0.7 s."""
    rng, length = np.random.default_rng(1), 6_400
    echo = 0.25 * rng.standard_normal(length) * np.exp(-np.arange(length) / 1_600)
    echo[0] = 1.0
    heard = np.convolve(sound, echo)[: len(sound) + 3_200]
    parts, hertz = np.fft.rfft(heard), np.fft.rfftfreq(len(heard), 1 / SAMPLE_RATE)
    parts[(hertz < 350) | (hertz > 4_500)] *= 0.05
    heard = np.fft.irfft(parts, len(heard))
    return np.asarray(0.4 * heard / np.abs(heard).max(), dtype=np.float32)


def said_into(answer: np.ndarray, note: np.ndarray, decibels: float) -> np.ndarray:
    """Both, the note so many decibels louder than the answer."""
    note = note * np.float32(np.sqrt(np.mean(np.square(answer)) / np.mean(np.square(note))) * 10 ** (decibels / 20))
    at = round(INTO_S * SAMPLE_RATE)
    both = np.zeros(max(len(answer), at + len(note)), dtype=np.float32)
    both[: len(answer)] += answer
    both[at : at + len(note)] += note
    return both / max(1.0, float(np.abs(both).max()))


class Bench:
    """A mouth that says one text at the first second of a session, and an ear."""

    def __init__(self, ear) -> None:
        self.ear = ear

    def verdicts(self, text: str, lasts: int, sound: np.ndarray) -> list[tuple[Whose, str]]:
        """Whose each clip is, and what was heard in it."""
        clock = [AROUND_S]

        def playing(samples: np.ndarray) -> None:
            clock[0] += lasts / SAMPLE_RATE

        with tempfile.TemporaryDirectory() as folder:
            mouth = Mouth(
                Path(folder),
                now=lambda: clock[0],
                tell=print,
                volume=0.0,
                aloud=True,
                playing=playing,
                speech=lambda text: np.zeros(lasts, dtype=np.float32),
            )
            mouth.say(text)
            mouth.close()
            quiet = np.zeros(round(AROUND_S * SAMPLE_RATE), dtype=np.float32)
            clips = list(speech_clips([np.concatenate([quiet, sound, quiet])], gate=Gate(pause_s=FOR_LIVE_PAUSE_S)))
            return [(mouth.whose(clip, heard.text), heard.text) for clip, heard in zip(clips, self.ear.hear(clips), strict=True)]


def main() -> None:
    """Measure and print."""
    options = argparse.ArgumentParser(description="Speaking into an answer.")
    options.add_argument("--out", type=Path)
    chosen = options.parse_args()
    words = read_aloud(wiring.tables("reports")["aloud"])
    bench = Bench(wiring.recogniser(phrases=["drain plug", "gearbox lid", "cylinder head nut", "flywheel bolt", *wiring.commands().phrases]))
    lines = ["## Speaking into an answer", "", (__doc__ or "").split("\n\n")[2].strip(), ""]
    clips, wrong = 0, []
    made = []
    for answer in ANSWERS:
        text = aloud(answer, words)
        plain = spoken(text)
        made.append((text, plain, in_room(plain)))
        for where, sound in (("as it is", plain), ("in the room", made[-1][2])):
            found = bench.verdicts(text, len(plain), sound)
            clips += len(found)
            wrong += [f"- {where}: “{text}” was heard as “{heard}”: {whose.value}" for whose, heard in found if whose is not Whose.ITS_OWN]
    noticed: Counter[int] = Counter()
    for text, plain, room in made[:SPOKEN_INTO]:
        for n, note in enumerate(NOTES):
            for level in LEVELS:
                found = bench.verdicts(text, len(plain), said_into(room, speak(note, VOICES[n % len(VOICES)]), level))
                noticed[level] += any(whose is not Whose.ITS_OWN for whose, _ in found)
    tried = SPOKEN_INTO * len(NOTES)
    lines += [f"Answers alone: {len(wrong)} of {clips} clips taken for somebody.", *wrong, ""]
    lines += ["Spoken into: " + ", ".join(f"{noticed[level]} of {tried} noticed at {level:+} dB" for level in LEVELS) + "."]
    print("\n".join(lines))
    if chosen.out:
        chosen.out.write_text("\n".join(lines) + "\n", encoding="utf-8")


if __name__ == "__main__":
    main()
