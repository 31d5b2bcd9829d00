"""The help of every command as Markdown, for the generated page ``docs/commands.md`` and the tests that keep it true."""

from __future__ import annotations

import os
from collections.abc import Iterator
from typing import Any

WIDTH = "80"


def commands() -> Iterator[tuple[str, Any]]:
    """Every command with its full name (``gudgeon job new``), in the order of the help; groups before their commands."""
    import typer

    from gudgeon.cli.app import build

    yield from _under("gudgeon", typer.main.get_command(build()))


def _under(name: str, command: Any) -> Iterator[tuple[str, Any]]:
    yield name, command
    listed = command.list_commands(command.make_context(name, [], resilient_parsing=True)) if hasattr(command, "list_commands") else []
    for below in listed:
        yield from _under(f"{name} {below}", command.commands[below])


def help_text(name: str, command: Any) -> str:
    """What ``name --help`` prints in 80 columns."""
    before = os.environ.get("COLUMNS")
    os.environ["COLUMNS"] = WIDTH
    try:
        context = command.make_context(name, [], resilient_parsing=True)
        context.max_content_width = int(WIDTH)
        context.terminal_width = int(WIDTH)
        return "\n".join(line.rstrip() for line in command.get_help(context).splitlines())
    finally:
        os.environ.pop("COLUMNS") if before is None else os.environ.update(COLUMNS=before)


def markdown() -> str:
    """All help as one Markdown text: a heading and the help, a command."""
    parts = []
    for name, command in commands():
        level = "##" if name.count(" ") < 2 else "###"
        parts.append(f"{level} {name}\n\n```text\n{help_text(name, command)}\n```\n")
    return "\n".join(parts)
