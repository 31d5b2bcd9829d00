"""What the recogniser made of spoken notes, read for torques: texts kept from `benchmarks/hearing/measure.py`, so that the reader is held to them.

A torque counts when its value and unit stand in the note's facts or among their other readings. A wrong one is marked when it has other
readings, is a guess, or has no unit.
"""

import json
from collections import Counter
from pathlib import Path

import pytest

from gudgeon.cli import wiring
from gudgeon.domain import Reading, Torque
from gudgeon.session import with_other_readings

TABLES = Path(__file__).parents[1] / "tables"
MAIN = ("slt", "rms", "awb")


def lines(name):
    return [json.loads(line) for line in (TABLES / name).read_text(encoding="utf-8").splitlines()]


@pytest.fixture(scope="module")
def counted():
    """(voice, noise) → torques said, had, wrong without a mark."""
    read, labels = wiring.reader().read, {row["id"]: row["facts"] for row in lines("tractor.jsonl")}
    counts = {}
    for row in lines("heard_notes.jsonl"):
        said = [(fact["value"], fact.get("unit")) for fact in labels[row["note"]] if fact["kind"] == "torque"]
        heard = [
            fact
            for piece in row["heard"]
            for fact in with_other_readings(piece["text"], read(piece["text"]), [Reading(*other) for other in piece["others"]], read)
            if isinstance(fact, Torque)
        ]
        values = [{(fact.value, fact.unit), *((other.value, other.unit) for other in fact.heard)} for fact in heard]
        had = sum(any(value in one for one in values) for value in said)
        wrong = [fact for fact in heard if (fact.value, fact.unit) not in said and not (fact.heard or fact.hedged or fact.unit is None)]
        count = counts.setdefault((row["voice"], row["noise_db"]), Counter())
        count.update(said=len(said), had=had, wrong=len(wrong))
    return counts


def together(counted, noise, voices=MAIN):
    return sum((counted[voice, noise] for voice in voices), Counter())


def test_clean_speech_of_three_voices(counted):
    count = together(counted, None)
    assert count["said"] == 90
    assert count["had"] >= 0.95 * count["said"], count
    assert count["wrong"] <= 0.02 * count["said"], count


def test_three_voices_in_noise_ten_decibels_softer(counted):
    count = together(counted, 10.0)
    assert count["said"] == 90
    assert count["had"] >= 0.8 * count["said"], count


def test_voices_that_no_rule_was_made_on(counted):
    """No better than measured, and no worse."""
    count = together(counted, None, ("kal16", "espeak-ng"))
    assert count["said"] == 60
    assert count["had"] >= 48, count
    assert count["wrong"] <= 2, count
