"""The reader of notes, built once for all its tests."""

import importlib.util
from pathlib import Path
from types import ModuleType

import pytest

from gudgeon.cli import wiring
from gudgeon.facts import Reader
from gudgeon.units import UnitWords


@pytest.fixture(scope="session")
def reader() -> Reader:
    """The reader with the bundled tables."""
    return Reader.from_tables(wiring.tables("facts"), UnitWords.from_tables(wiring.tables("units")))


@pytest.fixture(scope="session")
def unit_tables() -> dict:
    """The bundled tables of unit words."""
    return dict(wiring.tables("units"))


@pytest.fixture(scope="session")
def score(repository: Path) -> ModuleType:
    """The scorer, as a module."""
    spec = importlib.util.spec_from_file_location("scorer", repository / "tests" / "score.py")
    assert spec is not None and spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module
