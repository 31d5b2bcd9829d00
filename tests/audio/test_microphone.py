"""Choosing a microphone, its level in words, and the sound of a broken-off session given again."""

import numpy as np
import pytest

from gudgeon.audio import Keeper, Microphone, choose, kept_again, level_words
from gudgeon.domain import SAMPLE_RATE, MissingThing

KNOWN = (Microphone(4, "Bench mic", 1, True), Microphone(2, "Webcam", 2, False))


@pytest.mark.parametrize(("wanted", "number"), [(None, 4), ("2", 2), ("webcam", 2), ("BENCH", 4)])
def test_by_name_or_number(monkeypatch, wanted, number):
    monkeypatch.setattr("gudgeon.audio.microphone.microphones", lambda: KNOWN)
    assert choose(wanted).number == number


def test_none_and_none_such_are_said_plainly(monkeypatch):
    monkeypatch.setattr("gudgeon.audio.microphone.microphones", lambda: KNOWN)
    with pytest.raises(MissingThing, match="4 Bench mic; 2 Webcam"):
        choose("headset")
    monkeypatch.setattr("gudgeon.audio.microphone.microphones", tuple)
    with pytest.raises(MissingThing, match="No microphone was found"):
        choose(None)


@pytest.mark.parametrize(("peak", "word"), [(0.0, "silent"), (0.002, "faint"), (0.1, "good"), (0.6, "loud"), (1.0, "too loud")])
def test_level_in_words(peak, word):
    assert level_words(peak).endswith(f"] {word}")


def test_kept_sound_comes_again_whole_and_what_was_read_as_silence(tmp_path):
    sound = np.linspace(-0.5, 0.5, round(70.3 * SAMPLE_RATE), dtype=np.float32)
    with Keeper(tmp_path) as keeper:
        keeper.add(sound)
    again = np.concatenate(list(kept_again(tmp_path, 41.25)))
    read = round(41.25 * SAMPLE_RATE)
    assert len(again) == len(sound)
    assert not again[:read].any()
    assert np.abs(again[read:] - sound[read:]).max() < 1e-3
