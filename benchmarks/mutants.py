"""How many small faults, put into the pure rooms' code by mutmut, the tests find: `make mutants`.

The whole is some 18 000 mutants; a sample is tested: every n-th mutant of a room by name, `EVERY` says which. Results go to
benchmarks/results/mutants.md, with every mutant of the sample that no test found. Runs in a copy of the last commit, on one core, and stops after
`--minutes`: a room may take half of what is left of them, the last one all of it, and what was not reached is told.
"""

from __future__ import annotations

import argparse
import ast
import contextlib
import copy
import difflib
import json
import os
import re
import signal
import subprocess
import sys
import tempfile
import time
from collections import Counter
from collections.abc import Iterator
from pathlib import Path

ROOT = Path(__file__).resolve().parents[1]
PAGE = ROOT / "benchmarks" / "results" / "mutants.md"
EVERY = {"entries": 320, "checks": 120, "units": 20, "trade": 20}
"""Of each room every n-th mutant is tested; in this order, so that the largest rooms come first."""
WORDS = "“Only words” are texts of messages, sources and notes: their wording is looked at by people, not by tests."
LOOKED_AT = "## Looked at"
"""What a person wrote about the survivors; it stays when the page is written anew."""
FOUND, TIMED_OUT, ALIVE, NOT_REACHED = "found", "found by time-out", "alive", "not reached"
ENDS = {0: ALIVE, 1: FOUND, 3: FOUND, 33: NOT_REACHED, 36: TIMED_OUT, -24: TIMED_OUT, 24: TIMED_OUT, 152: TIMED_OUT, 255: TIMED_OUT}
"""Exit statuses of a mutant's tests, as mutmut keeps them."""


def main() -> None:
    """Make the copy, run mutmut on the sample, write the page."""
    ask = argparse.ArgumentParser(description=__doc__)
    ask.add_argument("--folder", type=Path, help="only write the page, from a folder in which mutmut has run")
    ask.add_argument("--minutes", type=float, default=120.0, help="when to stop (120)")
    given = ask.parse_args()
    if given.folder is not None:
        write(given.folder)
        return
    ends_at = time.monotonic() + 60 * given.minutes
    with tempfile.TemporaryDirectory(prefix="gudgeon-mutants-") as name:
        folder = Path(name)
        archive = subprocess.run(["git", "archive", "HEAD"], cwd=ROOT, check=True, capture_output=True).stdout
        subprocess.run(["tar", "-x", "-C", folder], input=archive, check=True)
        mutmut(folder, ["gudgeon.units.convert.x_to_nm__mutmut_1"], ends_at)  # makes all mutants, and finds which tests reach which function
        rooms = list(sample(folder).items())
        for at, (_, names) in enumerate(rooms):
            now = time.monotonic()
            mutmut(folder, names, now + max(0.0, ends_at - now) / (2 if at + 1 < len(rooms) else 1))
        write(folder)


def mutmut(folder: Path, names: list[str], ends_at: float) -> None:
    """Test these mutants, until ``ends_at`` on the monotonic clock; it and what it started then end, and what was tested is kept."""
    command = [str(Path(sys.executable).parent / "mutmut"), "run", "--max-children", "1", *names]
    running = subprocess.Popen(command, cwd=folder, stdout=subprocess.DEVNULL, start_new_session=True)
    try:
        with contextlib.suppress(subprocess.TimeoutExpired):
            running.wait(max(0.0, ends_at - time.monotonic()))
    finally:  # also when the run is broken off with Ctrl-C
        if running.poll() is None:
            os.killpg(running.pid, signal.SIGKILL)
            running.wait()


def ended(folder: Path) -> dict[str, int | None]:
    """Every mutant and how its tests ended (None: not tested)."""
    found: dict[str, int | None] = {}
    for file in sorted((folder / "mutants/src/gudgeon").rglob("*.py.meta")):
        found |= json.loads(file.read_text(encoding="utf-8"))["exit_code_by_key"]
    return found


def sample(folder: Path) -> dict[str, list[str]]:
    """Room → the mutants of its sample."""
    return {room: sorted(name for name in ended(folder) if name.split(".")[1] == room)[::step] for room, step in EVERY.items()}


def write(folder: Path) -> None:
    """The page of results."""
    ends = ended(folder)
    wanted = sample(folder)
    tested = {room: [name for name in names if ends[name] is not None] for room, names in wanted.items()}
    lines = [f"# Mutants\n\n{' '.join((__doc__ or '').split())}\n"]
    lines += ["| room | mutants in all | tested | found | by time-out | not reached by these tests | alive: only words differ | alive: other |"]
    lines += ["| --- | --- | --- | --- | --- | --- | --- | --- |"]
    survivors: list[str] = []
    for room, names in tested.items():
        told = Counter(ENDS.get(ends[name] or 0, f"ended with {ends[name]}") for name in names)
        alive = [name for name in names if ENDS.get(ends[name] or 0) == ALIVE]
        words = [name for name in alive if only_words(folder, name)]
        survivors += [name for name in alive if name not in words]
        total = sum(name.split(".")[1] == room for name in ends)
        counts = (total, len(names), told[FOUND], told[TIMED_OUT], told[NOT_REACHED], len(words), len(alive) - len(words))
        lines.append(f"| {room} | {' | '.join(map(str, counts))} |")
    short = [f"{len(tested[room])} of {len(names)} of `{room}`" for room, names in wanted.items() if len(tested[room]) < len(names)]
    lines += ["", f"The time was over before the whole sample was tested: {', '.join(short)}."] if short else []
    lines += [
        "",
        WORDS,
        "",
        "## Alive, not only words",
        "",
    ]
    for name in survivors:
        lines += [
            f"- `{name.removeprefix('gudgeon.').replace('__mutmut_', ' ')}`",
            "",
            "  ```diff",
            *(f"  {text}" for text in difference(folder, name)),
            "  ```",
        ]
    seen = PAGE.read_text(encoding="utf-8").partition(LOOKED_AT)[2] if PAGE.exists() else ""
    PAGE.write_text("\n".join(lines) + "\n" + (f"\n{LOOKED_AT}{seen}" if seen else ""), encoding="utf-8")
    print(f"{PAGE.relative_to(ROOT)} is written.")


def functions(folder: Path, name: str) -> tuple[ast.FunctionDef, ast.FunctionDef]:
    """A mutant's function before and after."""
    module, own = name.rsplit(".", 1)
    tree = ast.parse((folder / "mutants/src" / (module.replace(".", "/") + ".py")).read_text(encoding="utf-8"))
    found = {node.name: node for node in ast.walk(tree) if isinstance(node, ast.FunctionDef)}
    first, second = copy.deepcopy(found[re.sub(r"__mutmut_\d+$", "__mutmut_orig", own)]), copy.deepcopy(found[own])
    first.name = second.name = own.split("__mutmut")[0].removeprefix("x_").split("ǁ")[-1]
    return first, second


def only_words(folder: Path, name: str) -> bool:
    """Whether nothing but the wording of messages, sources and notes differs: words put differently, or such an argument left out."""
    plain = [ast.dump(Wordless().visit(function)) for function in functions(folder, name)]
    return plain[0] == plain[1]


class Wordless(ast.NodeTransformer):
    """Takes sentences out of a function: texts with a space in them, and arguments that are for people."""

    def visit_Constant(self, node: ast.Constant) -> ast.AST:
        return ast.Constant("…") if isinstance(node.value, str) and " " in node.value.strip() else node

    def visit_JoinedStr(self, node: ast.JoinedStr) -> ast.AST:
        return ast.Constant("…")

    def visit_Call(self, node: ast.Call) -> ast.AST:
        node.keywords = [word for word in node.keywords if word.arg not in ("next_step", "kept", "source", "reference", "sum")]
        return self.generic_visit(node)


def difference(folder: Path, name: str) -> Iterator[str]:
    """The lines that differ."""
    first, second = (ast.unparse(function).splitlines() for function in functions(folder, name))
    for line in difflib.unified_diff(first, second, n=0, lineterm=""):
        if line[:1] in "+-" and line[:3] not in ("+++", "---"):
            yield line[:1] + " " + line[1:].strip()


if __name__ == "__main__":
    main()
