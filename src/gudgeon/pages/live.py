"""The session that is running, as it grows: its newest notes and values are sent to the page whenever the record has changed."""

from __future__ import annotations

import asyncio
import json
import zlib
from collections.abc import AsyncIterator, Awaitable, Callable
from typing import Any

from fastapi import FastAPI, Request, Response
from fastapi.responses import PlainTextResponse, StreamingResponse
from markupsafe import Markup
from starlette.concurrency import run_in_threadpool

from gudgeon.domain import GudgeonError
from gudgeon.pages import session_page, views
from gudgeon.pages.house import House, Templates
from gudgeon.reports import saying

NEWEST = 40
PAUSE_S = 1.0
MOST_WATCHERS = 12
KEEP_ALIVE = 15


class Live:
    """The live page and its stream of events."""

    def __init__(self, house: House, templates: Templates) -> None:
        self._house = house
        self._templates = templates
        self._watchers = 0

    def add_to(self, app: FastAPI) -> None:
        """Add the routes to an app."""
        app.add_api_route("/live", self.page, methods=["GET"])
        app.add_api_route("/live/events", self.stream, methods=["GET"])

    def page(self) -> Response:
        """The newest session as it stands; its script takes in what comes."""
        return self._templates.page("live.html", **self._shown())

    async def stream(self, request: Request) -> Response:
        """Server-sent events: one at once, then one whenever something has changed."""
        if self._watchers >= MOST_WATCHERS:
            return PlainTextResponse("Too many pages are watching. Close one.", status_code=503)
        ending = getattr(request.app.state, "ending", lambda: False)

        async def gone() -> bool:
            return ending() or await request.is_disconnected()

        return StreamingResponse(self.events(gone), media_type="text/event-stream", headers={"X-Accel-Buffering": "no"})

    async def events(self, gone: Callable[[], Awaitable[bool]], *, pause_s: float = PAUSE_S) -> AsyncIterator[str]:
        """The events of one watcher until it is gone; a comment now and then keeps the connection."""
        self._watchers += 1
        try:
            last, quiet = "", 0
            yield "retry: 2000\n\n"
            while not await gone():
                html = await run_in_threadpool(self._rows)
                mark = f"{zlib.crc32(html.encode()):08x}"
                if mark != last:
                    yield f"id: {mark}\ndata: {json.dumps({'schema': 1, 'html': html})}\n\n"
                    last, quiet = mark, 0
                elif (quiet := quiet + 1) % KEEP_ALIVE == 0:
                    yield ": still here\n\n"
                await asyncio.sleep(pause_s)
        finally:
            self._watchers -= 1

    def _rows(self) -> str:
        try:
            return self._templates.text("live_rows.html", **self._shown())
        except GudgeonError as error:
            said = " ".join(text for text in (error.happened, error.kept, error.next_step) if text)
            return str(Markup("<p><strong>{}</strong></p>").format(said))

    def _shown(self) -> dict[str, Any]:
        with self._house.open_record() as record:
            session = record.latest_session()
            if session is None:
                return {"session": None, "rows": []}
            notes, entries = record.notes(session.id), record.entries(session.id)
        unsure = views.unsure_notes(notes, entries)
        shown = [(session_page.home_of(entry), views.entry_view(entry)) for entry in entries]
        rows = [(views.note_view(note, unsure), [entry for at, entry in shown if at == note.position]) for note in notes[-NEWEST:]]
        return {"session": session, "day": saying.day(session.started, self._house.zone), "count": len(notes), "rows": list(reversed(rows))}
