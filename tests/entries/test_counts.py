"""How many of a joint's fasteners a value was put on, told in parts: was it all of them?"""

from __future__ import annotations

from typing import Any

import pytest

from gudgeon.cli.wiring import assembler, reader
from gudgeon.domain import ReadNote


@pytest.fixture(scope="module")
def read() -> Any:
    return reader().read


FIRST = "Six of the eight hub bolts at eighty newton metres."
TOLD = [
    ((FIRST,), [6]),
    (("Hub bolts, eighty newton metres, six of the eight",), [6]),
    (("Hub bolts, eighty newton metres, six of the eight", "The last two hub bolts are done as well, eighty"), [8]),
    ((FIRST, "Last two hub bolts eighty newton metres."), [8]),
    ((FIRST, "The other hub bolts tomorrow."), [6]),
    (("Hub bolts, eighty newton metres.", "The last two hub bolts are done as well, eighty"), [None]),
    (("Eight hub bolts at eighty newton metres.", "The last two hub bolts went round again, eighty."), [8]),
]


@pytest.mark.parametrize(("notes", "counts"), TOLD)
def test_what_was_left_is_added_to_what_was_done(read: Any, notes: tuple[str, ...], counts: list[int | None]) -> None:
    entries = assembler().assemble([ReadNote(note, read(note)) for note in notes])
    assert [entry.count for entry in entries if entry.torques] == counts
