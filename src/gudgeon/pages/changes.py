"""The routes that change the record: a form comes in; a page's script gets JSON with what to show, a plain form is sent back to its page."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from functools import partial
from urllib.parse import parse_qsl

from fastapi import FastAPI, Request, Response
from fastapi.responses import JSONResponse, RedirectResponse
from starlette.concurrency import run_in_threadpool

from gudgeon.domain import BadInput
from gudgeon.pages import session_page
from gudgeon.pages.house import House, Number, Templates
from gudgeon.pages.mending import change_entry, change_note, change_talk
from gudgeon.record import Record

Form = Mapping[str, str]
ENTRY = ("mend", "strike", "restore", "undo")
NOTE = ("words", "undo")
TALK = ("strike", "back")
LARGEST_FORM = 64 * 1024


async def read_form(request: Request, *, largest: int = LARGEST_FORM) -> dict[str, str]:
    """The fields of a form, urlencoded, of at most ``largest`` bytes. Raises BadInput."""
    body = bytearray()
    async for part in request.stream():
        body += part
        if len(body) > largest:
            raise BadInput("This form is too large.", kept="Nothing was changed.", next_step="Shorten what you typed.")
    try:
        return dict(parse_qsl(body.decode("utf-8"), keep_blank_values=True, max_num_fields=100, errors="strict"))
    except (UnicodeDecodeError, ValueError) as error:
        raise BadInput("This form cannot be read.", kept="Nothing was changed.", next_step="Load the page again.") from error


class Changes:
    """The routes, with what they work with."""

    def __init__(self, house: House, templates: Templates) -> None:
        self._house = house
        self._templates = templates

    def add_to(self, app: FastAPI) -> None:
        """Add the routes to an app."""
        app.add_api_route("/session/{number}/entry/{entry}/{what}", self.entry, methods=["POST"])
        app.add_api_route("/session/{number}/note/{note}/{what}", self.note, methods=["POST"])
        app.add_api_route("/session/{number}/talk/{what}", self.talk, methods=["POST"])

    async def entry(self, number: Number, entry: Number, what: str, request: Request) -> Response:
        """Mend, strike or restore an entry, or take its last change back."""
        if what not in ENTRY:
            raise BadInput("There is no such change.", kept="Nothing was changed.")
        form = await read_form(request)
        change = partial(change_entry, self._house, session=number, number=entry, what=what, form=form)
        return await run_in_threadpool(self._change, request, number, form, change)

    async def note(self, number: Number, note: Number, what: str, request: Request) -> Response:
        """Mend the words of a note, or take the last change of them back."""
        if what not in NOTE:
            raise BadInput("There is no such change.", kept="Nothing was changed.")
        form = await read_form(request)
        change = partial(change_note, self._house, session=number, number=note, what=what, form=form)
        return await run_in_threadpool(self._change, request, number, form, change)

    async def talk(self, number: Number, what: str, request: Request) -> Response:
        """Strike every note of a session that came to nothing, or bring back what was struck last."""
        if what not in TALK:
            raise BadInput("There is no such change.", kept="Nothing was changed.")
        form = await read_form(request)
        return await run_in_threadpool(self._change, request, number, form, partial(change_talk, self._house, session=number, what=what))

    def _change(self, request: Request, number: int, form: Form, change: Callable[..., str]) -> Response:
        with self._house.open_record() as record:
            told = change(record=record)
            if request.headers.get("accept") != "application/json":
                return RedirectResponse(f"/session/{number}", status_code=303)
            html = show_anew(record, number, self._house, self._templates, form.get("begin", ""))
        return JSONResponse({"schema": 1, "told": told, **html})


def show_anew(record: Record, number: int, house: House, templates: Templates, begin: str) -> dict[str, str]:
    """The parts of a session's page that a change may have changed, as HTML; ``begin`` is the first note of the page, as it was sent."""
    rows = session_page.rows_of(record, number)
    first = int(begin) if begin.isascii() and begin.isdigit() and len(begin) < 10 else 0
    shown = session_page.page_of(record, number, rows, house.zone, first)
    return {name: templates.text(f"{name}.html", **shown) for name in ("rows", "counts")}
