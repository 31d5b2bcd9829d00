"""Run the command line as ``python -m gudgeon``."""

from gudgeon.cli import main

main()
