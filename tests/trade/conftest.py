"""The trade's tables as they are shipped, as lines and read."""

from importlib import resources

import pytest

from gudgeon.trade import Trade


@pytest.fixture(scope="session")
def tables() -> dict[str, list[str]]:
    folder = resources.files("gudgeon.trade").joinpath("tables")
    files = [file for file in folder.iterdir() if file.name.endswith(".csv")]
    return {file.name.removesuffix(".csv"): file.read_text(encoding="utf-8").splitlines() for file in files}


@pytest.fixture(scope="session")
def trade(tables: dict[str, list[str]]) -> Trade:
    return Trade.from_tables(tables)
