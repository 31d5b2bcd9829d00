"""The tones can be told apart by their rhythm alone and by their pitch alone, are short, and have the volume that was asked for."""

from itertools import combinations

import numpy as np
import pytest
from scipy.signal import stft

from gudgeon.audio import TONES, VOLUMES, tone
from gudgeon.domain import SAMPLE_RATE, BadInput


def rhythm(sound):
    """Lengths of sound and silence by turns, in hundredths of a second, as measured from the sound."""
    loud = np.abs(sound).reshape(-1, 160).max(axis=1) > 0.1 * np.abs(sound).max()
    turns = np.flatnonzero(np.diff(loud.astype(int))) + 1
    lengths = np.diff([0, *turns, len(loud)])
    return tuple(int(n) for n in lengths)[: len(lengths) - (not loud[-1])]


def pitches(sound):
    """The strongest pitch of each beep, in hertz, as measured from its spectrum."""
    hertz, _, power = stft(sound, SAMPLE_RATE, nperseg=1024, noverlap=1024 - 160)
    power = np.abs(power)
    loud = power.max(axis=0) > 0.4 * power.max()
    return {round(float(hertz[column.argmax()]) / 50) * 50 for column in power.T[loud]}


def test_each_has_its_own_rhythm():
    for one, other in combinations(TONES, 2):
        first, second = rhythm(tone(one)), rhythm(tone(other))
        beeps = (len(first) + 1) // 2, (len(second) + 1) // 2
        assert beeps[0] != beeps[1] or abs(sum(first) - sum(second)) >= 10, (one, first, other, second)


def test_each_has_its_own_pitch():
    for one, other in combinations(TONES, 2):
        nearest = min(max(a, b) / min(a, b) for a in pitches(tone(one)) for b in pitches(tone(other)))
        apart = pitches(tone(one)) ^ pitches(tone(other))
        assert apart and (nearest > 1.1 or len(apart) >= 3), (one, pitches(tone(one)), other, pitches(tone(other)))


@pytest.mark.parametrize("name", TONES)
def test_short_without_clicks_and_as_loud_as_asked(name):
    for volume in VOLUMES.values():
        sound = tone(name, volume=volume)
        assert sound.dtype == np.float32 and 0.05 < len(sound) / SAMPLE_RATE < 0.8
        assert np.abs(sound).max() == pytest.approx(volume, abs=1e-6)
        assert abs(sound[0]) < 0.02 * max(volume, 1e-9) and abs(sound[-1]) < 0.02 * max(volume, 1e-9)


def test_what_cannot_be():
    with pytest.raises(BadInput, match="no tone"):
        tone("hurrah")
    with pytest.raises(BadInput, match="cannot be"):
        tone("heard", volume=1.5)
