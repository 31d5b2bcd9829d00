import csv

import numpy as np
import pytest

from gudgeon.cli import wiring
from gudgeon.domain import SAMPLE_RATE, Clip
from gudgeon.session import Compared, Levels, advice, compare, levels


@pytest.fixture(scope="module")
def units():
    return wiring.unit_words()


SAID = "The drain plug got twenty five newton metres and a new crush washer."
CASES = [
    (SAID, SAID, (10, 0, 1, 0)),
    (SAID, "the drain plug got 25 Nm and a new crush washer", (10, 0, 1, 0)),
    (SAID, "The brain plug got 35 newton meters and a new crush washer.", (10, 1, 1, 1)),
    (SAID, "The drain plug got 25 Nm and a new washer.", (10, 1, 1, 0)),
    (SAID, "", (10, 10, 1, 1)),
    ("M ten by one point two five bolts", "M10 x 1.25 bolts", (1, 0, 1, 0)),
    ("thirteen thou", "thirty thou", (1, 0, 1, 1)),
    ("order a new one", "order 4 a new one", (3, 0, 1, 1)),
]


@pytest.mark.parametrize(("said", "heard", "expected"), CASES)
def test_words_and_figures_are_counted_apart(units, said, heard, expected):
    assert compare(said, heard, units) == Compared(*expected)


def test_ten_lines_with_a_teen_and_its_ty_among_them():
    lines = [row["line"] for row in csv.DictReader(wiring.tables("speech")["bench_lines"])]
    assert len(lines) == 10
    assert all(
        any(word in line.lower() for line in lines)
        for word in ("thirteen", "thirty", "fifteen", "fourteen", "nineteen", "foot pounds", "inch pounds")
    )


def test_levels_of_voice_and_noise():
    rng = np.random.default_rng(3)
    sound = (rng.standard_normal(6 * SAMPLE_RATE) * 0.01).astype(np.float32)
    sound[2 * SAMPLE_RATE : 4 * SAMPLE_RATE] *= 10
    found = levels(sound, [Clip(sound[2 * SAMPLE_RATE : 4 * SAMPLE_RATE], 2.0, 4.0)])
    assert found.noise_db == pytest.approx(-40, abs=0.5)
    assert found.speech_db == pytest.approx(-20, abs=0.5)
    assert found.above_noise_db == pytest.approx(20, abs=0.5)
    assert levels(np.zeros(0, np.float32), []).noise_db == -100


GOOD, FINE = Levels(noise_db=-60, speech_db=-22, peak=0.5), Compared(90, 3, 20, 0)


@pytest.mark.parametrize(
    ("compared", "measured", "unheard", "expected"),
    [
        (FINE, GOOD, 0, ["does well"]),
        (FINE, GOOD, 2, ["2 lines were not heard"]),
        (FINE, Levels(-60, -22, 1.0), 0, ["cut off"]),
        (FINE, Levels(-80, -45, 0.1), 0, ["faint"]),
        (FINE, Levels(-30, -22, 0.5), 0, ["noise is nearly as loud"]),
        (Compared(90, 3, 20, 2), GOOD, 0, ["digit by digit"]),
        (Compared(90, 30, 20, 0), GOOD, 0, ["Many words"]),
        (Compared(90, 30, 20, 4), Levels(-30, -41, 1.0), 1, ["1 line was", "cut off", "faint", "nearly as loud", "digit by digit", "Many words"]),
    ],
)
def test_advice(compared, measured, unheard, expected):
    tips = advice(compared, measured, unheard)
    assert len(tips) == len(expected)
    assert all(part in tip for part, tip in zip(expected, tips, strict=True))
