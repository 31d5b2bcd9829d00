"""The option that nearly every command has; by itself, for the settings, which the other options know of."""

from __future__ import annotations

from typing import Annotated

import typer

AsJson = Annotated[bool, typer.Option("--json", help="Print JSON instead of text.")]
