"""What was said of a fastener is in its entry, each field of it."""

import pytest

from gudgeon.cli.wiring import assembler
from gudgeon.domain import Fastener, Part, ReadNote, Torque


@pytest.mark.parametrize(("field", "value"), [("grade", "10.9"), ("count", 6), ("thread", "M8x1.25"), ("length_mm", 30.0)])
def test_a_field_of_the_fastener_is_kept(field, value):
    text = "lid bolts at 24"
    facts = (
        Part(name="lid", span=(0, 3)),
        Fastener(fastener="bolt", span=(4, 9), **{field: value}),
        Torque(value=24.0, unit="N*m", nm=24.0, span=(13, 15)),
    )
    (entry,) = assembler().assemble([ReadNote(text=text, facts=facts)])
    assert getattr(entry, field) == value
