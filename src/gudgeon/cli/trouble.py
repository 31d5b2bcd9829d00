"""How an error reaches a person, and what is written down of it: which command, which error, where in the code, and never a word that was spoken."""

from __future__ import annotations

import os
import sys
import traceback
from pathlib import Path

EXTRAS = {"uvicorn": "pages", "fastapi": "pages", "starlette": "pages", "segno": "pages", "vosk": "vosk", "typst": "pdf"}
"""Packages that come with an extra: package → extra."""
MOST_BYTES = 200_000
"""The log is begun anew at this size; the one before it is kept beside it."""


def tell_error(error: Exception, command: str) -> int:
    """Print an error as sentences, write down what may be a fault of gudgeon's; the exit status."""
    from gudgeon.domain import BadInput, GudgeonError, MissingThing

    if isinstance(error, ModuleNotFoundError) and (error.name or "").split(".")[0] in EXTRAS:
        package = (error.name or "").split(".")[0]
        how = f'Install it with: pip install "gudgeon[{EXTRAS[package]}]"'
        error = MissingThing(f"This needs the package {package}, which is not installed.", kept="Nothing was changed.", next_step=how)
    if isinstance(error, GudgeonError):
        for sentence in (error.happened, error.kept, error.next_step):
            if sentence:
                print(sentence, file=sys.stderr)
        if not isinstance(error, BadInput | MissingThing):
            write_down(error, command)
        return error.status
    print(f"Something went wrong inside gudgeon: {type(error).__name__}: {error}", file=sys.stderr)
    print("What was stored before is kept.", file=sys.stderr)
    written = write_down(error, command)
    where = f" what is in {written} (it holds no words of yours);" if written else ""
    print(f"Please report it with{where} GUDGEON_TRACE=1 shows more." if where else "Please report it; GUDGEON_TRACE=1 shows more.", file=sys.stderr)
    return 1


def log_file() -> Path:
    """Where trouble is written down: what GUDGEON_LOG says, else the user's log folder."""
    if os.environ.get("GUDGEON_LOG"):
        return Path(os.environ["GUDGEON_LOG"]).expanduser()
    from platformdirs import user_log_path

    return user_log_path("gudgeon", appauthor=False) / "gudgeon.log"


def write_down(error: BaseException, command: str) -> Path | None:
    """Add an error to the log; its file, or None when it could not be written (which is no reason to stop)."""
    path = log_file()
    try:
        path.parent.mkdir(parents=True, exist_ok=True, mode=0o700)
        if path.exists() and path.stat().st_size > MOST_BYTES:
            path.replace(path.with_name(path.name + ".1"))
        path.touch(mode=0o600)
        with path.open("a", encoding="utf-8") as file:
            file.write(entry(error, command))
    except Exception:  # what went wrong may be what writing down needs, such as the clock
        return None
    return path


def entry(error: BaseException, command: str) -> str:
    """What is written down: day and time, versions, the command's name without what was typed behind it, and for the error and each that led to
    it the kind and the places in the code. Never its message: that may hold words, names or paths."""
    import platform
    from importlib.metadata import version

    from gudgeon.cli import wiring

    system = f"Python {platform.python_version()} {platform.system()} {platform.machine()}"
    lines = [f"{wiring.clock():%Y-%m-%dT%H:%M:%SZ} gudgeon {version('gudgeon')} {system} command {command or 'none'}"]
    seen: BaseException | None = error
    while seen is not None:
        number = f" errno {seen.errno}" if isinstance(seen, OSError) and seen.errno else ""
        lines.append(f"  {type(seen).__module__}.{type(seen).__qualname__}{number}")
        lines += [f"    {_short(frame.filename)}:{frame.lineno} {frame.name}" for frame in traceback.extract_tb(seen.__traceback__)]
        seen = seen.__cause__ or (None if seen.__suppress_context__ else seen.__context__)
    return "\n".join(lines) + "\n"


def _short(file: str) -> str:
    """A file of the code without the folders it is installed in."""
    parts = Path(file).parts
    for name in ("site-packages", "src"):
        if name in parts:
            return "/".join(parts[len(parts) - parts[::-1].index(name) :])
    return Path(file).name
