"""The unit words, read once for all tests of notes."""

import pytest

from gudgeon.cli.wiring import tables
from gudgeon.units import UnitWords


@pytest.fixture(scope="session")
def words() -> UnitWords:
    return UnitWords.from_tables(tables("units"))
