"""Nothing lost: a person's recording, cut without regard to words, gives no piece without a text.

The recording is ``two_cities.wav`` in the moonshine-voice package (MIT): someone reading the opening of Charles Dickens's
"A Tale of Two Cities" (1859, public domain).
"""

from importlib import metadata
from pathlib import Path

import numpy as np
import pytest

from gudgeon.audio import decode
from gudgeon.cli import wiring
from gudgeon.domain import Clip
from gudgeon.domain.sound import SAMPLE_RATE
from gudgeon.speech.embedded import UNREAD

pytestmark = pytest.mark.slow

LENGTHS = [3, 4, 5, 6, 7, 8, 9, 10, 11, 12]


def pieces(every=0.5):
    """A piece from every half second of the recording on, 3 to 12 s long by turns, as far as the recording goes."""
    path = next(f for f in metadata.files("moonshine-voice") if f.name == "two_cities.wav").locate()
    sound = np.concatenate(list(decode(Path(str(path)))))
    seconds = len(sound) / SAMPLE_RATE
    starts = np.arange(0, seconds - 3, every)
    for number, start in enumerate(starts):
        end = min(start + LENGTHS[number * 7 % len(LENGTHS)], seconds)
        if end - start >= 3:
            yield Clip(sound[round(start * SAMPLE_RATE) : round(end * SAMPLE_RATE)], float(start), float(end))


def test_pieces_cut_anywhere_are_read():
    cut = list(pieces())
    assert len(cut) >= 75
    assert {round(clip.seconds) for clip in cut} >= set(LENGTHS)
    ear = wiring.recogniser("embedded", for_recordings=True)
    texts = [hearing.text for hearing in ear.hear(cut)]
    lost = [clip.start for clip, text in zip(cut, texts, strict=True) if not text or text.startswith(UNREAD) or text.endswith(UNREAD)]
    assert len(lost) < 0.02 * len(cut), lost
    words = sum(len(text.split()) for text in texts)
    assert words > 1.5 * sum(clip.seconds for clip in cut), "far fewer words than were said: he says 2.7 a second"
