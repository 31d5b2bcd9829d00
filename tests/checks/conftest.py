"""The trade's tables, and the cases that reach every code, shared by the tests of this room."""

import importlib.util
import sys
from pathlib import Path
from types import ModuleType

import pytest


def _load(file: str, name: str) -> ModuleType:
    if name not in sys.modules:
        spec = importlib.util.spec_from_file_location(name, Path(__file__).with_name(file))
        assert spec and spec.loader
        sys.modules[name] = importlib.util.module_from_spec(spec)
        spec.loader.exec_module(sys.modules[name])
    return sys.modules[name]


REACHED = _load("reached.py", "reached")


@pytest.fixture(scope="session")
def reached() -> ModuleType:
    return REACHED


@pytest.fixture(scope="session")
def pages() -> ModuleType:
    return _load("pages.py", "checks_pages")


@pytest.fixture(scope="session")
def trade():
    return REACHED.bundled_trade()


@pytest.fixture(scope="session")
def sounds():
    """How words of joints sound, by the unit tables' spellings."""
    from importlib import resources

    from gudgeon.units import UnitWords

    folder = resources.files("gudgeon.units").joinpath("tables")
    files = [file for file in folder.iterdir() if file.name.endswith(".csv")]
    return UnitWords.from_tables({file.name.removesuffix(".csv"): file.read_text(encoding="utf-8").splitlines() for file in files}).sounds
