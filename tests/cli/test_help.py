"""Every command has an example in its help, and the page of commands is what the help says."""

import re
import resource
import shlex
import subprocess
import sys
from pathlib import Path

import pytest

from gudgeon import Record
from gudgeon.cli.help_pages import commands, help_text, markdown
from gudgeon.domain import Note

ALL = dict(commands())
LEAVES = {name: command for name, command in ALL.items() if not hasattr(command, "list_commands")}


@pytest.mark.parametrize("name", LEAVES)
def test_it_has_an_example_that_is_this_command(name):
    text = " ".join(help_text(name, LEAVES[name]).split())
    assert "Example: " in text
    assert name in text.split("Example: ", 1)[1].split("Options:")[0]


@pytest.mark.parametrize("name", LEAVES)
def test_its_example_can_be_parsed(name):
    """The options of the example exist: click reads it without complaint."""
    text = LEAVES[name].help.split("Example:", 1)[1].split("\n\n", 1)[0]
    words = shlex.split(" ".join(text.split()))
    if "|" in words:
        words = words[words.index("|") + 1 :]
    own = words[len(name.split()) :]
    LEAVES[name].make_context(name, own)


@pytest.mark.parametrize("name", LEAVES)
def test_every_option_is_explained(name):
    for parameter in LEAVES[name].params:
        assert getattr(parameter, "help", "x"), f"{name} {parameter.name}"


def test_the_page_is_what_the_help_says(repository):
    assert markdown().strip() in (repository / "docs" / "commands.md").read_text(encoding="utf-8")


def test_no_command_is_left_out(repository):
    """A file of ``cli`` that holds a command of its own name is in the list of commands."""
    from gudgeon.cli.app import COMMANDS, MODULES

    listed = {MODULES.get(name, name) for name in COMMANDS}
    for file in (repository / "src/gudgeon/cli").glob("*.py"):
        text = file.read_text(encoding="utf-8")
        if f"\ndef {file.stem}(" in text or f"\n{file.stem} = typer.Typer(" in text:
            assert file.stem in listed, file.name


@pytest.mark.parametrize("arguments", [["--help"], ["find", "lid"], ["check"]], ids=" ".join)
def test_the_start_is_quick(arguments, home):
    """Commands that read no notes need under 0.4 s of work, on a slow or busy computer five times what starting typer alone needs there."""
    with Record.open(home / "record") as record:
        session = record.begin_session(started=record._now(), source="x").id
        record.add_note(session, Note(text="lid at eighteen"))
        record.put_entries(session, [])
    bare = _least_work([sys.executable, "-c", "import typer"])
    assert _least_work([Path(sys.executable).parent / "gudgeon", *arguments]) < max(0.4, 5 * bare)


def _least_work(command):
    """Seconds of work, the best of three."""
    spent = []
    for _ in range(3):
        before = resource.getrusage(resource.RUSAGE_CHILDREN)
        subprocess.run(command, check=True, capture_output=True)
        after = resource.getrusage(resource.RUSAGE_CHILDREN)
        spent.append(after.ru_utime - before.ru_utime + after.ru_stime - before.ru_stime)
    return min(spent)


def test_help_loads_nothing_heavy():
    code = (
        "import sys, gudgeon.cli.app; print([m for m in ('numpy', 'spacy', 'av', 'onnxruntime', 'sqlite_utils', 'pint', 'rich') if m in sys.modules])"
    )
    assert subprocess.run([sys.executable, "-c", code], check=True, capture_output=True, text=True).stdout.strip() == "[]"


def test_guides_name_only_commands_and_options_that_exist(repository):
    """Every `gudgeon …` in the guides of the record and the library is a command, and its options are that command's."""
    for page in ("record.md", "library.md"):
        text = (repository / "docs" / page).read_text(encoding="utf-8")
        found = re.findall(r"(?:`|^ {4})gudgeon ([^`\n]+?)(?:`|  |$)", text, re.MULTILINE)
        for line in found:
            words = line.split()
            name = next((n for n in (f"gudgeon {' '.join(words[:2])}", f"gudgeon {words[0]}") if n in LEAVES), None)
            assert name, line
            known = {option for parameter in LEAVES[name].params for option in (*parameter.opts, *parameter.secondary_opts)}
            assert {word for word in words if word.startswith("--")} <= known, line
