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
