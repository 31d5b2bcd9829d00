"""What the shells complete, as they ask for it: in a process of its own, through the script that was installed."""

import os
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

GUDGEON = Path(sys.executable).with_name("gudgeon")


def asked(record, shell, words, **more):
    """What comes back for a line whose last word is being typed."""
    line = "\n".join(words) if shell == "bash" else " ".join(words)
    given = {"COMP_WORDS": line, "COMP_CWORD": str(len(words) - 1), "_TYPER_COMPLETE_ARGS": line, "_TYPER_COMPLETE_FISH_ACTION": "get-args"}
    env = {**os.environ, "GUDGEON_RECORD": str(record), "_GUDGEON_COMPLETE": f"complete_{shell}", **given, **more}
    ran = subprocess.run([GUDGEON], env=env, capture_output=True, text=True, check=False)
    assert ran.stderr == ""
    return ran.stdout.strip().splitlines()


@pytest.fixture
def record(gudgeon, home):
    gudgeon("job", "new", "orchard tractor")
    gudgeon("job", "new", "orchid (east)")
    gudgeon("note", "is it twenty?", "--job", "orchard tractor")
    return home / "record"


@pytest.mark.parametrize(
    ("words", "found"),
    [
        (("gudgeon", "sum"), ["summary"]),
        (("gudgeon", "summary", "--job", "or"), ["orchard\\ tractor", "orchid\\ \\(east\\)"]),
        (("gudgeon", "summary", "--job", "orcha"), ["orchard\\ tractor"]),
        (("gudgeon", "summary", "--job", '"orcha'), ["orchard tractor"]),
        (("gudgeon", "job", "close", "orchi"), ["orchid\\ \\(east\\)"]),
        (("gudgeon", "answer", ""), ["1"]),
        (("gudgeon", "answer", "2"), []),
        (("gudgeon", "brief", "--job", "x"), []),
    ],
)
def test_bash(record, words, found):
    assert sorted(asked(record, "bash", words)) == sorted(found)


def test_fish_and_zsh(record):
    assert asked(record, "fish", ("gudgeon", "answer", "")) == ["1\tis it twenty?"]
    assert asked(record, "zsh", ("gudgeon", "summary", "--job", "orcha")) == ["_arguments '*: :((\"orchard tractor\"))'"]


def test_another_record_and_none(record, tmp_path):
    """A record that is not there is not made by asking, and one that is no record says nothing."""
    assert asked(tmp_path / "none", "bash", ("gudgeon", "brief", "--record", str(record), "--job", "orcha")) == ["orchard\\ tractor"]
    assert asked(tmp_path / "none", "bash", ("gudgeon", "brief", "--job", "")) == []
    assert not (tmp_path / "none").exists()
    (tmp_path / "spoilt").mkdir()
    (tmp_path / "spoilt" / "record.db").write_text("no database at all, but long enough to look like one" * 20)
    assert asked(tmp_path / "spoilt", "bash", ("gudgeon", "brief", "--job", "")) == []


@pytest.mark.parametrize("shell", ["bash", "zsh", "fish"])
def test_the_script_to_be_installed_is_one_that_the_shell_reads(shell):
    env = {**os.environ, "_TYPER_COMPLETE_TEST_DISABLE_SHELL_DETECTION": "1"}
    script = subprocess.run([GUDGEON, "--show-completion", shell], env=env, capture_output=True, text=True, check=True).stdout
    assert "_GUDGEON_COMPLETE" in script
    if shutil.which(shell):
        assert subprocess.run([shell, "-n"], input=script, text=True, capture_output=True, check=False).stderr == ""
