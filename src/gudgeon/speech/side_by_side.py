"""Several clips read at the same time, each on one thread, and given back in their order: for recordings, where nobody waits for one clip."""

from __future__ import annotations

from collections import deque
from collections.abc import Callable, Iterable, Iterator
from concurrent.futures import Future, ThreadPoolExecutor
from typing import TypeVar

Before = TypeVar("Before")
After = TypeVar("After")

AHEAD = 2
"""Clips that wait for each reader, so that none has to wait for a clip."""


def side_by_side(clips: Iterable[Before], read: Callable[[Before], After], readers: int) -> Iterator[After]:
    """What ``read`` makes of each clip, in the order of the clips; so many are read at once, and a few more are taken ahead.

    When the caller stops, clips that nobody has begun are dropped. What ``read`` raises comes out where its clip's result would have.
    """
    waiting: deque[Future[After]] = deque()
    with ThreadPoolExecutor(readers, thread_name_prefix="reader") as pool:
        try:
            for clip in clips:
                waiting.append(pool.submit(read, clip))
                while waiting and (len(waiting) > AHEAD * readers or waiting[0].done()):
                    yield waiting.popleft().result()
            while waiting:
                yield waiting.popleft().result()
        finally:
            for future in waiting:
                future.cancel()
