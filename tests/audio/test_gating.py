"""The gate opens on speech, closes on a pause, and keeps every word whole."""

import os
from itertools import pairwise

import numpy as np
import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from gudgeon.audio import Gate, decode, detecting, speech_clips
from gudgeon.audio.gating import CHUNK

STEP = CHUNK / 16_000


def marked(*stretches: tuple[float, float]) -> np.ndarray:
    """Sound whose samples are the odds of speech: (seconds, odds) one after another."""
    return np.concatenate([np.full(round(seconds / STEP) * CHUNK, odds, np.float32) for seconds, odds in stretches])


def first_sample(chunk: np.ndarray) -> float:
    return float(chunk[0])


def clips_of(sound: np.ndarray, *, block: int = 1_000, **how):
    gate = Gate(detector=first_sample, **how)
    return list(speech_clips((sound[i : i + block] for i in range(0, len(sound), block)), gate=gate))


def bounds(clips):
    return [(round(clip.start, 2), round(clip.end, 2)) for clip in clips]


def test_one_breath_is_one_clip_with_room_before_and_after():
    clips = clips_of(marked((2, 0), (3, 0.95), (2, 0)), lead_s=0.32, tail_s=0.256)
    assert [clip.start for clip in clips] == pytest.approx([2 - 0.32], abs=STEP)
    assert [clip.end for clip in clips] == pytest.approx([5 + 0.256], abs=STEP)
    assert clips[0].seconds == pytest.approx(clips[0].end - clips[0].start)


@pytest.mark.parametrize(("pause", "count"), [(0.3, 1), (0.5, 1), (0.8, 2), (2.0, 2)])
def test_a_pause_parts_two_breaths(pause, count):
    assert len(clips_of(marked((1, 0), (2, 0.95), (pause, 0), (2, 0.95), (1, 0)))) == count


def test_a_click_is_no_clip():
    assert clips_of(marked((1, 0), (0.1, 0.95), (1, 0), (0.13, 0.95), (2, 0))) == []


def test_a_stretch_where_the_detector_was_never_sure_is_no_clip():
    assert clips_of(marked((1, 0), (4, 0.7), (1, 0))) == []
    assert len(clips_of(marked((1, 0), (4, 0.7), (0.3, 0.95), (1, 0.7), (1, 0)))) == 1


def test_a_dip_below_the_opening_odds_does_not_close_the_gate():
    assert len(clips_of(marked((1, 0), (1, 0.95), (1.5, 0.4), (1, 0.95), (1, 0)))) == 1


def test_odds_between_hold_and_open_do_not_open_it():
    assert clips_of(marked((1, 0), (3, 0.45), (1, 0))) == []


def test_long_speech_is_split_at_its_longest_pause():
    clips = clips_of(marked((1, 0), (6, 0.95), (0.2, 0), (3, 0.95), (0.4, 0), (8, 0.95), (1, 0)))
    assert len(clips) == 2
    assert 10.2 <= clips[0].end <= clips[1].start <= 10.6
    assert clips[0].start == pytest.approx(0.7, abs=0.05)


def test_speech_without_a_pause_is_split_at_its_quietest_moment():
    rng = np.random.default_rng(1)
    sound = 0.95 + 0.001 * rng.standard_normal(round(20 / STEP) * CHUNK).astype(np.float32)
    quiet = round(9 / STEP) * CHUNK
    sound[quiet + 1 : quiet + CHUNK] = 0.0
    clips = clips_of(sound)
    assert bounds(clips)[0][1] == pytest.approx(9, abs=0.05)
    assert np.array_equal(np.concatenate([clip.samples for clip in clips]), sound)


def test_no_clip_is_longer_than_asked_and_none_overlap():
    clips = clips_of(marked((1, 0), *[(2.5, 0.95), (0.1, 0.1)] * 40, (1, 0)), longest_s=8.0)
    assert max(clip.seconds for clip in clips) <= 8.0 + 0.3
    assert all(a.end <= b.start + 1e-9 for a, b in pairwise(clips))
    assert sum(clip.seconds for clip in clips) > 100


def test_speech_up_to_the_last_sample_is_kept():
    sound = np.concatenate([marked((1, 0), (2, 0.95)), np.full(200, 0.95, np.float32)])
    clips = clips_of(sound)
    assert len(clips) == 1
    assert clips[0].end == pytest.approx(len(sound) / 16_000)
    assert clips[0].samples[-1] == np.float32(0.95)


@pytest.mark.parametrize("block", [7, 160, 8_000, 1_000_000])
def test_block_length_changes_nothing(block):
    sound = marked((1, 0), (2, 0.95), (1, 0), (4, 0.92), (0.3, 0), (2, 0.95), (0.9, 0))
    expected = clips_of(sound, block=512)
    assert len(expected) == 2
    assert bounds(clips_of(sound, block=block)) == bounds(expected)


def test_a_clip_is_given_back_as_soon_as_its_pause_is_over():
    gate = Gate(detector=first_sample, pause_s=0.45)
    assert gate.feed(marked((1, 0), (2, 0.95))) == []
    assert gate.is_open
    assert gate.feed(marked((0.4, 0))) == []
    assert len(gate.feed(marked((0.1, 0)))) == 1
    assert not gate.is_open


def test_the_gate_holds_a_bounded_stretch():
    gate = Gate(detector=first_sample, longest_s=15.0)
    for odds in (0.0, 0.95, 0.4):
        for _ in range(200):
            gate.feed(np.full(16_000, odds, np.float32))
        assert len(gate._steps) * STEP <= 15.5


def test_an_empty_stream_gives_nothing():
    assert list(speech_clips([])) == []


def test_a_person_reading_is_heard_from_the_first_word_to_the_last(human_recording):
    clips = list(speech_clips(decode(human_recording)))
    assert clips[0].start < 1.2  # "It" begins at 1.2 s
    assert sum(clip.seconds for clip in clips) > 36
    assert all(clip.seconds <= 15.5 for clip in clips)


@pytest.mark.slow
@pytest.mark.parametrize("seconds", [3, 7, 12])
def test_a_piece_of_a_recording_loses_no_speech(seconds, human_recording):
    """Cut anywhere, also in mid-word, a piece gives back the speech that the whole recording has there, but for scraps at its ends."""
    whole = np.concatenate(list(decode(human_recording)))
    spoken = np.zeros(len(whole), bool)
    for clip in speech_clips([whole]):
        spoken[round((clip.start + 0.3) * 16_000) : round((clip.end - 0.25) * 16_000)] = True
    expected = lost = 0
    for at in range(0, len(whole) - seconds * 16_000, 8_000):
        here = spoken[at : at + seconds * 16_000].copy()
        expected += here.sum()
        for clip in speech_clips([whole[at : at + seconds * 16_000]]):
            here[round(clip.start * 16_000) : round(clip.end * 16_000)] = False
        lost += here.sum()
    assert lost < 0.02 * expected


@pytest.mark.parametrize("level", [0.0, 0.003, 0.1])
def test_silence_and_hiss_give_no_clip(level):
    hiss = level * np.random.default_rng(2).standard_normal(16_000 * 10).astype(np.float32)
    assert list(speech_clips([hiss])) == []


def test_the_detector_leaves_the_environment_as_it_was(monkeypatch):
    monkeypatch.setenv("OMP_THREAD_LIMIT", "3")
    detecting._detectors.cache_clear()
    silence = np.zeros(CHUNK, np.float32)
    assert detecting.silero()(silence) < 0.2
    assert os.environ["OMP_THREAD_LIMIT"] == "3"


def test_the_short_rest_of_split_speech_is_kept():
    """A pause cut the long stretch just before its last syllable, which alone would be too short for a clip."""
    clips = clips_of(marked((1, 0), (14.8, 0.95), (0.2, 0), (0.13, 0.95), (2, 0)))
    assert len(clips) == 2
    assert clips[1].start < 1 + 14.8 + 0.2 < 1 + 14.8 + 0.2 + 0.13 <= clips[1].end


LONGEST = 6.0
odds = st.lists(st.tuples(st.integers(1, 70), st.sampled_from([0.0, 0.2, 0.4, 0.6, 0.96])), min_size=1, max_size=25)


@settings(max_examples=60, deadline=None)
@given(odds, st.integers(100, 40_000))
@example([(52, 0.6), (136, 0.96)], 100)  # speech that begins right before a cut, behind what is hardly speech
def test_whatever_comes_no_speech_is_lost_and_every_clip_is_the_sound_it_says(stretches, block):
    steps = np.concatenate([np.full(count, value, np.float32) for count, value in stretches])
    sound = np.repeat(steps, CHUNK)
    sound[1::CHUNK] = np.arange(len(steps)) / 10_000  # so that no two stretches are the same
    clips = clips_of(sound, block=block, longest_s=LONGEST)
    inside = np.zeros(len(sound), bool)
    for clip in clips:
        first = round(clip.start * 16_000)
        assert np.array_equal(clip.samples, sound[first : first + len(clip.samples)])
        assert clip.end == pytest.approx(clip.start + clip.seconds)
        assert clip.seconds <= LONGEST + 0.6
        assert not inside[first : first + len(clip.samples)].any()
        inside[first : first + len(clip.samples)] = True
    assert [clip.start for clip in clips] == sorted(clip.start for clip in clips)
    at = 0
    for count, value in stretches:
        if value == 0.96 and count >= 12:
            assert inside[at * CHUNK : (at + count) * CHUNK].all()
        at += count
