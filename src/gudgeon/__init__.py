"""gudgeon: workshop talk goes in (sound or text), a checked build record comes out, all on one computer without a network."""

from __future__ import annotations

import os
from typing import TYPE_CHECKING, Any

os.environ["ORT_DISABLE_TELEMETRY"] = "1"
"""ONNX Runtime's own wheels for Linux report their use over the network from 1.29 on, unless this is set before it is loaded."""

if TYPE_CHECKING:
    from gudgeon.cli.library import add_note, take
    from gudgeon.record import Record, Search

__version__ = "0.1.0"
__all__ = ["Record", "Search", "add_note", "take"]

_HOMES = {"Record": "gudgeon.record", "Search": "gudgeon.record", "add_note": "gudgeon.cli.library", "take": "gudgeon.cli.library"}


def __getattr__(name: str) -> Any:
    """The library's names are loaded when they are asked for, so that the command line starts quickly."""
    if name not in _HOMES:
        raise AttributeError(f"module 'gudgeon' has no attribute {name!r}")
    from importlib import import_module  # noqa: PLC0415 - only for those who use the library

    return getattr(import_module(_HOMES[name]), name)
