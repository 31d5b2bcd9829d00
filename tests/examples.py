"""The shell examples of a page: a page of Markdown goes in, what its commands print now comes out, beside what the page says they print.

    python tests/examples.py docs/first-session.md           # shows where the page is behind
    python tests/examples.py --write docs/first-session.md   # writes what is printed now into the page

All ```` ```console ```` blocks of a page run one after another in one empty folder, with a record of their own and the sample files at hand. A line
that begins with ``$ `` is a command, the lines after it are what it prints. In what is printed, ``…`` alone on a line stands for any lines, and ``…``
inside a line for any text. ``gudgeon`` runs in this process; anything else runs in a shell. Comments before a block say more:

    <!-- file: pump.csv -->        the block is no example: it is the content of this file
    <!-- at: 2026-05-02T09:30 -->  the clock stands there from now on (it goes on by a minute with each command)
    <!-- not run: why -->          the block is shown and not run
    <!-- slow -->                  the page uses sound, so it runs with the slow tests
"""

from __future__ import annotations

import contextlib
import io
import os
import re
import shlex
import shutil
import signal
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator
from dataclasses import dataclass, field, replace
from datetime import UTC, datetime, timedelta
from functools import cache
from pathlib import Path
from unittest import mock

REPOSITORY = Path(__file__).resolve().parents[1]
SHOWN_AS, CLONE_AS = "/home/you/workshop", "/home/you/gudgeon"
START = datetime(2026, 5, 2, 9, 30, tzinfo=UTC)
_FENCE = re.compile(r"^(?P<fence>`{3,})(?P<language>\w*)\n(?P<body>.*?)^(?P=fence)$", re.MULTILINE | re.DOTALL)
_COMMENT = re.compile(r"<!-- (?P<name>file|at|not run|slow)(?:: (?P<value>.*?))? -->")


@dataclass(frozen=True)
class Block:
    """One fenced block: its language, its lines, where its body lies in the page, and the comments before it."""

    language: str
    body: str
    span: tuple[int, int]
    notes: dict[str, str] = field(default_factory=dict)


@dataclass(frozen=True)
class Example:
    """One command, what the page says it prints, and what it prints."""

    command: str
    expected: str
    printed: str = ""

    @property
    def same(self) -> bool:
        """Whether the page tells the truth."""
        return matches(self.expected, self.printed)


def blocks(page: str) -> list[Block]:
    """The fenced blocks of a page; a comment belongs to the next block."""
    found, behind = [], 0
    for match in _FENCE.finditer(page):
        notes = {comment["name"]: comment["value"] or "" for comment in _COMMENT.finditer(page, behind, match.start())}
        found.append(Block(match["language"], match["body"], match.span("body"), notes))
        behind = match.end()
    return found


def examples(body: str) -> list[Example]:
    """The commands of a console block with what they are said to print."""
    found: list[Example] = []
    goes_on = False
    for line in body.splitlines():
        if goes_on:
            found[-1] = replace(found[-1], command=f"{found[-1].command}\n{line}")
        elif line.startswith("$ "):
            found.append(Example(line[2:], ""))
        else:
            assert found, f"a console block must begin with a command: {line!r}"
            found[-1] = replace(found[-1], expected=found[-1].expected + line + "\n")
        goes_on = (goes_on or line.startswith("$ ")) and line.endswith("\\")
    return found


def matches(expected: str, printed: str) -> bool:
    """Whether what was printed is what was expected, with ``…`` for anything."""
    pattern = ""
    for line in expected.splitlines():
        if line.strip() == "…":
            pattern += r"(?:.*\n)*?"
        else:
            pattern += ".*?".join(re.escape(piece) for piece in line.split("…")) + r"\n"
    return re.fullmatch(pattern, printed) is not None


def merged(expected: str, printed: str) -> str:
    """What is printed, with the ``…`` of what was expected wherever it still stands for something; as printed when that does not fit."""
    wanted, got, made, at = expected.splitlines(), printed.splitlines(), [], 0
    for number, line in enumerate(wanted):
        found = _found(line, got, at)
        if line.strip() == "…":
            places = (_found(later, got, at) for later in wanted[number + 1 :] if later.strip() not in ("…", ""))
            at = next((place for place in places if place is not None), len(got))
            at -= bool(wanted[number + 1 : number + 2] == [""] and at and not got[at - 1])
            made.append(line)
        elif found is not None:
            made += [*got[at:found], line]
            at = found + 1
    text = "".join(f"{line}\n" for line in [*made, *got[at:]])
    return text if matches(text, printed) else printed


def _found(line: str, got: list[str], at: int) -> int | None:
    return next((place for place in range(at, len(got)) if matches(f"{line}\n", f"{got[place]}\n")), None)


class Bench:
    """An empty folder with a record, a clock and the sample files, in which examples run."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder.resolve()
        self.now = START
        self.status = 0

    def __enter__(self) -> Bench:
        from gudgeon.cli import wiring

        self.stack = contextlib.ExitStack()
        shutil.copytree(REPOSITORY / "sample_audio", self.folder / "sample_audio")
        names = {"GUDGEON_RECORD": "record", "GUDGEON_SETTINGS": "settings.toml", "GUDGEON_LOG": "log"}
        paths = {name: self.folder / file for name, file in names.items()}
        kept = {name: value for name, value in os.environ.items() if name not in ("GUDGEON_TRACE", "GUDGEON_MODELS", "COLUMNS")}
        environment = kept | {name: str(path) for name, path in paths.items()} | {"TZ": "UTC", "NO_COLOR": "1"}
        environment["PATH"] = f"{Path(sys.executable).parent}{os.pathsep}{kept['PATH']}"
        self.stack.callback(time.tzset)
        self.stack.enter_context(mock.patch.dict(os.environ, environment, clear=True))
        time.tzset()
        self.stack.enter_context(mock.patch.object(wiring, "reader", _reader))
        self.stack.enter_context(mock.patch.object(wiring, "clock", lambda: self.now))
        self.stack.enter_context(contextlib.chdir(self.folder))
        self.stack.callback(signal.signal, signal.SIGTERM, signal.getsignal(signal.SIGTERM))
        return self

    def __exit__(self, *_: object) -> None:
        self.stack.close()

    def run(self, command: str) -> str:
        """What a command line prints, on both streams; pipes are understood, and ``> FILE`` at the end."""
        command, _, target = re.sub(r"\\\n\s*", "", command).partition(" > ")
        given: str | None = None
        for part in _pipe(command):
            words = shlex.split(part)
            given = self._gudgeon(words, given) if words[0] == "gudgeon" else self._shell(part, given)
        self.now += timedelta(minutes=1)
        printed = (given or "").replace(str(self.folder), SHOWN_AS).replace(str(REPOSITORY), CLONE_AS)
        if target:
            (self.folder / target).write_text(printed, encoding="utf-8")
            return ""
        return printed

    def _shell(self, command: str, given: str | None) -> str:
        ran = subprocess.run(["bash", "-c", command], input=given or "", capture_output=True, text=True, timeout=300)
        return ran.stdout + ran.stderr

    def _gudgeon(self, words: list[str], given: str | None) -> str:
        from gudgeon.cli import main

        printed = io.StringIO()
        self.status = 0
        with contextlib.ExitStack() as stack:
            stack.enter_context(mock.patch.object(sys, "argv", words))
            stack.enter_context(mock.patch.object(sys, "stdin", io.TextIOWrapper(io.BytesIO((given or "").encode()), encoding="utf-8")))
            stack.enter_context(contextlib.redirect_stdout(printed))
            stack.enter_context(contextlib.redirect_stderr(printed))
            try:
                main()
            except SystemExit as done:
                self.status = int(done.code or 0)
        return printed.getvalue()


@cache
def _reader() -> object:
    """The real reader, made once for all examples."""
    from gudgeon.cli import wiring
    from gudgeon.facts import Reader

    return Reader.from_tables(wiring.tables("facts"), wiring.unit_words())


def _pipe(command: str) -> list[str]:
    """The parts of a pipeline; a bar inside quotes parts nothing."""
    parts, quote = [""], ""
    for sign in command:
        quote = "" if sign == quote else sign if not quote and sign in "'\"" else quote
        if sign == "|" and not quote:
            parts.append("")
        else:
            parts[-1] += sign
    return [part.strip() for part in parts]


def run_page(page: str, folder: Path) -> Iterator[tuple[Block, list[Example]]]:
    """Each console block of the page with its examples as they run now."""
    with Bench(folder) as bench:
        for block in blocks(page):
            if "at" in block.notes:
                bench.now = datetime.fromisoformat(block.notes["at"]).replace(tzinfo=UTC)
            if "file" in block.notes:
                (bench.folder / block.notes["file"]).write_text(block.body, encoding="utf-8")
            elif block.language == "console" and "not run" not in block.notes:
                yield block, [replace(example, printed=bench.run(example.command)) for example in examples(block.body)]


def rewritten(page: str, folder: Path) -> str:
    """The page with what its commands print now; where the page is right already it stays as it is, and ``…`` is kept."""
    made, behind = "", 0
    for block, ran in run_page(page, folder):
        start, end = block.span
        body = "".join(f"$ {example.command}\n{example.expected if example.same else merged(example.expected, example.printed)}" for example in ran)
        made += page[behind:start] + body
        behind = end
    return made + page[behind:]


def main(arguments: list[str]) -> int:
    """Show where pages are behind, or with ``--write`` mend them."""
    behind = 0
    for path in [Path(argument) for argument in arguments if argument != "--write"]:
        page = path.read_text(encoding="utf-8")
        with tempfile.TemporaryDirectory() as folder:
            now = rewritten(page, Path(folder))
        if now != page:
            behind += 1
            print(f"{path} is {'mended' if '--write' in arguments else 'behind'}")
            if "--write" in arguments:
                path.write_text(now, encoding="utf-8")
    return behind if "--write" not in arguments else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
