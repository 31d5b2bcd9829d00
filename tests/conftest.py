"""What all tests share: skipping by name when a Debian package is missing (in CI that is a failure)."""

import functools
import gc
import os
import shutil
import signal
from pathlib import Path

import pytest

REPOSITORY = Path(__file__).resolve().parent.parent


def pytest_configure(config: pytest.Config) -> None:
    config.addinivalue_line("markers", "needs(*programs): programs from Debian packages without which the test cannot run")
    if signal.getsignal(signal.SIGINT) is signal.SIG_IGN:  # in the background of a script; what the tests start would not heed Ctrl-C either
        signal.signal(signal.SIGINT, signal.default_int_handler)
    if os.environ.get("MUTANT_UNDER_TEST"):
        forget()


def forget() -> None:
    """Forget what this process remembers of earlier runs: a mutant is tested in a copy of a process that has run the tests already, and what was
    computed by the right code then would hide that the code is wrong now."""
    for thing in gc.get_objects():
        if isinstance(thing, functools._lru_cache_wrapper):
            thing.cache_clear()


def pytest_runtest_setup(item: pytest.Item) -> None:
    for marker in item.iter_markers("needs"):
        missing = [program for program in marker.args if shutil.which(program) is None]
        if missing and os.environ.get("CI"):
            pytest.fail(f"not installed: {', '.join(missing)} (in CI a missing package is a failure)")
        if missing:
            pytest.skip(f"not installed: {', '.join(missing)}")


@pytest.fixture(scope="session")
def repository() -> Path:
    """The clone's top folder."""
    return REPOSITORY
