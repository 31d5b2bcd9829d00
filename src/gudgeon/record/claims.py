"""One program at a time fills a session: a lock on a small file, let go by the system when its program falls."""

from __future__ import annotations

import fcntl
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from gudgeon.domain import Failure


@contextmanager
def claim(folder: Path, session: int) -> Iterator[None]:
    """Hold a session for this program alone. Raises Failure when another program fills it."""
    place = folder / "locks"
    place.mkdir(mode=0o700, exist_ok=True)
    path = place / f"session-{session}"
    with path.open("a") as file:
        try:
            fcntl.flock(file, fcntl.LOCK_EX | fcntl.LOCK_NB)
        except BlockingIOError as error:
            raise Failure(
                f"Another gudgeon is filling session {session} from the same source at this moment.",
                kept="What it reads is kept.",
                next_step="Wait until it is done, or stop it first.",
            ) from error
        try:
            yield
        finally:
            path.unlink(missing_ok=True)
