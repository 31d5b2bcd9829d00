"""What the pages work with, and how a template is filled."""

from __future__ import annotations

from collections.abc import Callable
from contextlib import AbstractContextManager
from dataclasses import dataclass
from datetime import datetime, tzinfo
from functools import cache
from pathlib import Path
from typing import Annotated, Any

from fastapi.responses import HTMLResponse
from jinja2 import Environment, FileSystemLoader, StrictUndefined
from pydantic import Field

from gudgeon.record import Record
from gudgeon.session import SoundTools, Tools
from gudgeon.trade import Trade
from gudgeon.units import UnitWords

HERE = Path(__file__).parent
Number = Annotated[int, Field(ge=0, le=2**63 - 1)]
"""A number in an address, no larger than the record can hold."""


@dataclass(frozen=True, kw_only=True)
class House:
    """What the pages work with, handed in: how to open the record, what reads, judges and hears, the clock, the owner's time zone.

    ``hear`` makes what a recording of that job needs; None where there is no recogniser, and then no recording can be brought.
    ``document`` makes the build record of a job, or with ``reverse`` its order of putting together, as one HTML file; None where none is made.
    """

    open_record: Callable[[], AbstractContextManager[Record]]
    trade: Trade
    units: UnitWords
    tools: Callable[[Record], Tools]
    clock: Callable[[], datetime]
    hear: Callable[[Record, str | None], SoundTools] | None = None
    document: Callable[[Record, str | None, bool], str] | None = None
    zone: tzinfo | None = None


@cache
def _environment() -> Environment:
    """The templates, all read at once, so that the first page is as quick as the others."""
    made = Environment(loader=FileSystemLoader(HERE / "templates"), autoescape=True, undefined=StrictUndefined, trim_blocks=True, lstrip_blocks=True)
    made.globals["here"] = ""  # a page of the navigation names itself
    for name in made.list_templates():
        made.get_template(name)
    return made


class Templates:
    """The templates, filled with markup in values always shown as text."""

    def __init__(self) -> None:
        self._made = _environment()

    def text(self, template: str, **shown: Any) -> str:
        """A template filled, as text."""
        return self._made.get_template(template).render(**shown)

    def page(self, template: str, *, status: int = 200, **shown: Any) -> HTMLResponse:
        """A template filled, as an answer."""
        return HTMLResponse(self.text(template, **shown), status_code=status)
