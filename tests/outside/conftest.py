"""The agreement module (rows of oracles.json and what gudgeon computes for each), shared by the outside checks."""

import importlib.util
from pathlib import Path
from types import ModuleType

import pytest


def load_agreement() -> ModuleType:
    spec = importlib.util.spec_from_file_location("outside_agreement", Path(__file__).with_name("agreement.py"))
    assert spec and spec.loader
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


AGREEMENT = load_agreement()


def pytest_generate_tests(metafunc: pytest.Metafunc) -> None:
    if "oracle" in metafunc.fixturenames:
        rows = [row for row in AGREEMENT.ROWS if row["id"] not in AGREEMENT.STATEMENTS]
        metafunc.parametrize("oracle", rows, ids=[f"{row['id']}{' (from memory)' if row['status'] == 'from memory' else ''}" for row in rows])


@pytest.fixture(scope="session")
def agreement() -> ModuleType:
    return AGREEMENT


@pytest.fixture(scope="session")
def trade():
    return AGREEMENT.bundled_trade()
