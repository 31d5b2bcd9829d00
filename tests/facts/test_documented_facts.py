"""Every example in docs/facts.md is read as it is printed there."""

import json
import re
from pathlib import Path

import pytest

from gudgeon.domain import fact_to_dict
from gudgeon.facts import Reader

PAGE = (Path(__file__).parents[2] / "docs" / "facts.md").read_text(encoding="utf-8")
EXAMPLES = [block.strip().splitlines() for block in re.findall(r"```\n(.*?)```", PAGE, re.DOTALL)]
KINDS = ["torque", "angle", "tool", "fastener", "part", "compound", "action", "condition", "measure", "mark", "question", "assumption", "todo", "buy"]


def test_every_kind_has_an_example() -> None:
    shown = {json.loads(line)["kind"] for _, *facts in EXAMPLES for line in facts}
    assert shown == set(KINDS)


@pytest.mark.parametrize("example", EXAMPLES, ids=lambda example: example[0])
def test_an_example_is_read_as_printed(reader: Reader, example: list[str]) -> None:
    text, *facts = example
    got = [{key: value for key, value in fact_to_dict(fact).items() if value not in (None, False)} for fact in reader.read(text)]
    for line in facts:
        assert json.loads(line) in got


def test_every_rule_names_its_row_or_is_told_of_on_the_page(reader: Reader) -> None:
    told = set(re.findall(r"`([a-z]+:[a-z-]+)`", PAGE))
    tables = Path(__file__).parents[1] / "tables"
    notes = [
        json.loads(line)
        for name in ("facts_cases", "tractor", "mixed_notes")
        for line in (tables / f"{name}.jsonl").read_text(encoding="utf-8").splitlines()
    ]
    rules = {fact.rule for note in notes for fact in reader.read(note["text"])}
    assert {rule for rule in rules if not re.search(r" \([a-z_]+\.csv row \d+\)$", rule) and re.split(r"[ (]", rule)[0] not in told} == set()
