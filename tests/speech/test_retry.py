import numpy as np
import pytest

from gudgeon.domain.sound import SAMPLE_RATE
from gudgeon.speech.greedy import Decoded, allowance
from gudgeon.speech.retry import circling, doubtful, halves, read_with_patience

GOOD = Decoded((10, 11, 12, 13, 14), (0.9,) * 5)

DOUBTFUL = [
    ("nothing", (), False, 2.0, True),
    ("never-ending", (5, 6, 7), True, 2.0, True),
    ("circling", (5, 6) * 5, False, 4.0, True),
    ("a word said four times is a word said four times", (5, 5, 5, 5), False, 2.0, False),
    ("far too little for six seconds", (5, 6), False, 6.0, True),
    ("one word in a short clip", (5,), False, 0.6, False),
    ("ordinary speech", tuple(range(10, 30)), False, 6.0, False),
]


@pytest.mark.parametrize(("what", "tokens", "cut", "seconds", "expected"), DOUBTFUL)
def test_doubtful(what, tokens, cut, seconds, expected):
    assert doubtful(Decoded(tokens, (0.9,) * len(tokens), cut), seconds) is expected, what


def test_circling_needs_a_pattern_in_a_row():
    assert circling((1, 2, 3) * 5)
    assert not circling((1, 2, 3) * 3)
    assert circling((1, 2, 3, 4, 5) * 3)
    assert not circling((1, 2, 3, 4, 5) * 2)
    assert not circling((1, 2, 9, 1, 2, 8, 1, 2, 7, 1, 2, 6))


def test_the_clip_as_it_is_comes_first_and_is_enough():
    seen = []

    def read(samples):
        seen.append(len(samples))
        return GOOD

    assert read_with_patience(np.ones(SAMPLE_RATE, np.float32), read) is GOOD
    assert seen == [SAMPLE_RATE]


def test_moved_bounds_are_tried_until_one_reads():
    lengths = []

    def read(samples):
        lengths.append(len(samples))
        return GOOD if len(samples) < SAMPLE_RATE else Decoded((), ())

    assert read_with_patience(np.ones(SAMPLE_RATE, np.float32), read) is GOOD
    assert lengths[0] == SAMPLE_RATE
    assert len(lengths) > 1


def test_what_no_try_reads_is_none():
    assert read_with_patience(np.ones(SAMPLE_RATE, np.float32), lambda samples: Decoded((), ())) is None
    assert read_with_patience(np.zeros(0, np.float32), lambda samples: Decoded((), ())) is None


def test_the_allowance_grows_with_the_sound():
    assert allowance(0) == 4
    assert allowance(SAMPLE_RATE * 10) == 69


def test_halves_part_at_the_quietest_moment_of_the_middle():
    samples = np.ones(6 * SAMPLE_RATE, np.float32)
    samples[round(3.5 * SAMPLE_RATE) : round(3.7 * SAMPLE_RATE)] = 0.0
    samples[: SAMPLE_RATE // 2] = 0.0
    first, second = halves(samples)
    assert 3.5 <= len(first) / SAMPLE_RATE <= 3.7
    assert len(first) + len(second) == len(samples)
    assert halves(samples[: 3 * SAMPLE_RATE]) is None
