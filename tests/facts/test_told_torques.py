"""Torques that are talked about and were not put on anything are no facts; those that were put on are, however they are told."""

import csv
from pathlib import Path

import pytest

from gudgeon.facts import Reader

with (Path(__file__).parents[1] / "tables" / "torques_told.csv").open(encoding="utf-8", newline="") as lines:
    TOLD = [(row["text"], [float(value) for value in row["values"].split()]) for row in csv.DictReader(lines)]


@pytest.mark.parametrize(("text", "values"), TOLD, ids=[text for text, _ in TOLD])
def test_only_what_was_put_on_is_a_torque(reader: Reader, text: str, values: list[float]) -> None:
    assert [fact.value for fact in reader.read(text) if fact.kind == "torque"] == values
