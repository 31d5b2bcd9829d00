"""Breaking off: Ctrl-C or a polite kill comes in, KeyboardInterrupt goes out, at the latest when long work asks for it.

An exception that a signal raises while a library reads or writes sound may be lost in there; what was asked is remembered here.
"""

from __future__ import annotations

import signal
from typing import Any

_ASKED: list[int] = []


def break_off_when_asked() -> None:
    """From now on Ctrl-C and a polite kill are remembered, and raise KeyboardInterrupt."""
    for number in (signal.SIGINT, signal.SIGTERM):
        if signal.getsignal(number) is not signal.SIG_IGN:  # started in the background of a script
            signal.signal(number, _remember)


def heed() -> None:
    """Raises KeyboardInterrupt when somebody asked to break off."""
    if _ASKED:
        raise KeyboardInterrupt


def _remember(number: int, frame: Any) -> None:
    _ASKED.append(number)
    raise KeyboardInterrupt
