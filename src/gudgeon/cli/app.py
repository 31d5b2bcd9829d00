"""The command line: every command's name and order, and how errors reach a person."""

from __future__ import annotations

import os
import sys
from collections.abc import Sequence
from importlib import import_module
from importlib.util import find_spec
from typing import Any

import typer
from typer.core import TyperGroup

from gudgeon.cli.breaking import break_off_when_asked


class InOrder(TyperGroup):
    """Lists the commands in the order of ``COMMANDS``, not groups last."""

    def list_commands(self, ctx: Any) -> list[str]:
        """The names of the commands that are there, in order."""
        return [name for name in COMMANDS if name in self.commands]


COMMANDS = (
    "demo",
    "listen",
    "take",
    "note",
    "parse",
    "job",
    "summary",
    "brief",
    "open",
    "answer",
    "drop",
    "reopen",
    "find",
    "fix",
    "strike",
    "spec",
    "tools",
    "calc",
    "export",
    "import",
    "serve",
    "ears",
    "backup",
    "restore",
    "check",
    "forget",
    "settings",
)
"""Every command, in the order of the help. ``cli/<name>.py`` holds it: a function ``<name>``, or a Typer app ``<name>`` with its own commands
(names that Python keeps for itself end in ``_``)."""

MODULES = {"import": "import_", "open": "open_"}


def build(names: Sequence[str] = COMMANDS) -> typer.Typer:
    """The application with these commands; making only the one that is asked for keeps the start short."""
    app = typer.Typer(
        name="gudgeon",
        cls=InOrder,
        no_args_is_help=True,
        add_completion=True,
        rich_markup_mode=None,
        pretty_exceptions_enable=False,
        context_settings={"help_option_names": ["-h", "--help"]},
    )
    app.callback(invoke_without_command=True)(gudgeon)
    for name in names:
        module_name = f"gudgeon.cli.{MODULES.get(name, name)}"
        if find_spec(module_name) is None:
            continue
        thing: Any = getattr(import_module(module_name), MODULES.get(name, name))
        if isinstance(thing, typer.Typer):
            for inner in thing.registered_commands:
                inner.short_help = inner.short_help or _first_sentence(inner.callback)
            app.add_typer(thing, name=name)
        else:
            app.command(name, short_help=_first_sentence(thing))(thing)
    return app


def _first_sentence(command: Any) -> str:
    """What a list of commands says of one, in full."""
    return (command.__doc__ or "").strip().split("\n\n")[0]


def gudgeon(version: bool = typer.Option(False, "--version", help="Print the version and stop.")) -> None:
    """Talk while you rebuild a machine; gudgeon listens offline and keeps a checked record.

    A first look: gudgeon demo
    """
    if version:
        from importlib.metadata import version as installed

        print(f"gudgeon {installed('gudgeon')}")
        raise typer.Exit


def run() -> None:
    """Run the command line; errors come out as plain sentences, with exit status 2 for bad use and 1 for a failure."""
    for stream in (sys.stdout, sys.stderr):
        if hasattr(stream, "reconfigure"):
            stream.reconfigure(errors="replace")
    break_off_when_asked()
    asked = sys.argv[1] if len(sys.argv) > 1 else ""
    try:
        build([asked] if asked in COMMANDS else COMMANDS)()
    except BrokenPipeError:
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        sys.exit(0)
    except Exception as error:
        if os.environ.get("GUDGEON_TRACE"):
            raise
        from gudgeon.cli.trouble import tell_error

        sys.exit(tell_error(error, asked if asked in COMMANDS else ""))
