"""What the shell may complete: names of jobs and numbers of open items, from the record that is there; none is made for it."""

from __future__ import annotations

import os
import re
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from gudgeon.record import Record


def jobs(ctx: Any, incomplete: str) -> list[str]:
    """Names of jobs that begin so, open ones first."""
    with _record(ctx) as record:
        names = [job.name for job in record.jobs()] if record else []
    return [_for_shell(name) for name in names if name.startswith(incomplete)]


def open_items(ctx: Any, incomplete: str) -> list[tuple[str, str]]:
    """Numbers of open items that begin so, each with its words."""
    with _record(ctx) as record:
        found = [(str(stored.item.id), stored.item.text) for stored in record.items()] if record else []
    return [(number, text) for number, text in found if number.startswith(incomplete)]


def _for_shell(name: str) -> str:
    """The name as it can stand in the command line. Bash takes it as it is, so signs are escaped, unless a quote was opened; others do so."""
    typed = os.environ.get("COMP_WORDS", "").split("\n")[-1][:1]
    if os.environ.get("_GUDGEON_COMPLETE") != "complete_bash" or typed in ("'", '"'):
        return name
    return re.sub(r"([^\w@%+=:,./-])", r"\\\1", name)


@contextmanager
def _record(ctx: Any) -> Iterator[Record | None]:
    """The record; None when there is none yet, or it cannot be opened: a word that is being typed is no place for a message."""
    from gudgeon.cli import wiring
    from gudgeon.domain import GudgeonError

    named = ctx.params.get("record")
    folder = wiring.record_folder(Path(named) if named else None)
    if not (folder / "record.db").is_file():
        yield None
        return
    try:
        with wiring.open_record(folder) as record:
            yield record
    except GudgeonError:
        yield None
