"""Words a person types go in, the right rooms are called, plain output comes out; wiring alone picks recogniser, clock, paths and tables."""

from __future__ import annotations

__all__ = ["main"]


def main() -> None:
    """Run the command line."""
    from gudgeon.cli.app import run

    run()
