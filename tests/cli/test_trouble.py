"""What is written down of an error: where in the code, and never a word that was spoken; packages of extras are asked for by name."""

import errno
import os

import pytest

from gudgeon.cli import trouble
from gudgeon.domain import BadInput, Failure, MissingThing

SECRET = "the left wheel nuts at ninety"


@pytest.fixture
def log(tmp_path, monkeypatch):
    monkeypatch.setenv("GUDGEON_LOG", str(tmp_path / "logs" / "x.log"))
    return tmp_path / "logs" / "x.log"


def raised(error, cause=None):
    """An error as it is after it was raised, with its place in the code."""
    try:
        words = SECRET  # noqa: F841 - a local value with words in it
        raise error from cause
    except type(error) as caught:
        return caught


def test_an_unexpected_error(log, capsys):
    cause = raised(OSError(errno.ENOSPC, os.strerror(errno.ENOSPC), f"/home/ada/{SECRET}.txt"))
    assert trouble.tell_error(raised(ValueError(SECRET), cause), "note") == 1
    told, written = capsys.readouterr().err, log.read_text()
    assert str(log) in told and "What was stored before is kept." in told
    head, *lines = written.splitlines()
    assert head.endswith(" command note")
    assert "  builtins.ValueError" in lines and f"  builtins.OSError errno {errno.ENOSPC}" in lines
    assert any("test_trouble.py" in line and line.endswith(" raised") for line in lines)
    for word in (*SECRET.split(), "/home", "ada"):
        assert word not in written.split() and SECRET not in written and "/home/ada" not in written
    assert log.stat().st_mode & 0o077 == 0


def test_failures_are_written_down_and_bad_use_is_not(log):
    assert trouble.tell_error(raised(Failure(SECRET)), "take") == 1
    assert "gudgeon.domain.errors.Failure" in log.read_text() and SECRET not in log.read_text()
    size = log.stat().st_size
    assert trouble.tell_error(raised(BadInput(SECRET)), "take") == 2
    assert trouble.tell_error(raised(MissingThing(SECRET)), "take") == 1
    assert log.stat().st_size == size


def test_places_in_installed_packages_are_told_without_the_owners_folders():
    assert trouble._short("/home/ada/env/lib/python3.11/site-packages/vosk/__init__.py") == "vosk/__init__.py"
    assert trouble._short("/home/ada/gudgeon/src/gudgeon/cli/app.py") == "gudgeon/cli/app.py"
    assert trouble._short("<string>") == "<string>"


def test_the_log_does_not_grow_for_ever(log):
    log.parent.mkdir()
    log.write_bytes(b"x" * (trouble.MOST_BYTES + 1))
    trouble.write_down(raised(ValueError(SECRET)), "note")
    assert log.stat().st_size < 2_000 and log.with_name("x.log.1").stat().st_size == trouble.MOST_BYTES + 1


def test_a_log_that_cannot_be_written_stops_nothing(log, capsys):
    log.parent.write_text("a file where the folder should be")
    assert trouble.tell_error(raised(ValueError(SECRET)), "note") == 1
    assert "Please report it; GUDGEON_TRACE=1 shows more." in capsys.readouterr().err


@pytest.mark.parametrize("package", trouble.EXTRAS)
def test_a_package_of_an_extra(log, capsys, package):
    assert trouble.tell_error(ModuleNotFoundError(f"No module named {package!r}", name=f"{package}.inside"), "serve") == 1
    assert f'pip install "gudgeon[{trouble.EXTRAS[package]}]"' in capsys.readouterr().err


def test_another_package_is_a_fault_of_gudgeons(log, capsys):
    assert trouble.tell_error(raised(ModuleNotFoundError("No module named 'numpy'", name="numpy")), "take") == 1
    assert "Something went wrong inside gudgeon" in capsys.readouterr().err


def test_the_command_line_writes_it_down(gudgeon, home, monkeypatch):
    from gudgeon.cli import wiring

    def broken(record):
        raise ValueError(SECRET)

    monkeypatch.setattr(wiring, "tools", broken)
    ran = gudgeon("note", SECRET)
    written = (home / "gudgeon.log").read_text()
    assert ran.status == 1 and str(home / "gudgeon.log") in ran.err
    assert written.splitlines()[0].endswith("command note") and SECRET not in written
