"""Pictures of notes: shown without what they say of place and camera, and added from a phone or a file."""

from __future__ import annotations

from threading import Lock

from fastapi import FastAPI, Request, Response
from fastapi.responses import JSONResponse
from starlette.concurrency import run_in_threadpool

from gudgeon.domain import BadInput
from gudgeon.pages.bringing import safe_name
from gudgeon.pages.changes import show_anew
from gudgeon.pages.house import House, Number, Templates

LARGEST = 40_000_000
MOST_KEPT = 200
HEAVIEST_KEPT = 100_000
"""Of so many small pictures the bytes are kept in memory, when they have no more than that."""


class Pictures:
    """The routes, with what they work with."""

    def __init__(self, house: House, templates: Templates) -> None:
        self._house = house
        self._templates = templates
        self._one = Lock()
        self._small: dict[str, bytes] = {}
        """What was made small last, the newest at the end."""

    def add_to(self, app: FastAPI) -> None:
        """Add the routes to an app."""
        app.add_api_route("/session/{number}/note/{note}/picture/{picture}", self.show, methods=["GET"])
        app.add_api_route("/session/{number}/note/{note}/picture/{picture}/small", self.show_small, methods=["GET"])
        app.add_api_route("/session/{number}/note/{note}/picture", self.add, methods=["POST"])

    def show(self, number: Number, note: Number, picture: Number) -> Response:
        """A picture, found by numbers alone."""
        with self._house.open_record() as record:
            kept = record.picture(number, note, picture)
            data = record.picture_bytes(kept, location=False)
        return Response(data, media_type=f"image/{kept.form}")

    def show_small(self, number: Number, note: Number, picture: Number) -> Response:
        """A picture small enough for a list; as it is when it is light or cannot be made small here."""
        with self._house.open_record() as record:
            kept = record.picture(number, note, picture)
            try:
                with self._one:  # a page asks for many at once, and the pixels of one take much memory
                    data = self._small.pop(kept.sha256, None) or record.picture_small(kept)
            except BadInput:
                data = record.picture_bytes(kept, location=False)
        if len(data) <= HEAVIEST_KEPT:
            self._small = dict([*self._small.items()][-MOST_KEPT + 1 :]) | {kept.sha256: data}
        return Response(data, media_type="image/jpeg" if data.startswith(b"\xff\xd8") else f"image/{kept.form}")

    async def add(self, number: Number, note: Number, request: Request, name: str = "picture", begin: str = "") -> Response:
        """The bytes of a picture as the body of the request, kept with a note."""
        data = bytearray()
        async for part in request.stream():
            data += part
            if len(data) > LARGEST:
                raise BadInput(f"A picture may have up to {LARGEST // 1_000_000} MB.", kept="Nothing was stored.", next_step="Send it smaller.")
        return await run_in_threadpool(self._add, number, note, bytes(data), safe_name(name), begin)

    def _add(self, number: int, note: int, data: bytes, name: str, begin: str) -> Response:
        with self._house.open_record() as record:
            if note not in [stored.id for stored in record.notes(number)]:
                raise BadInput(f"Note {note} is not of session {number}.", kept="Nothing was stored.")
            record.add_picture(note, data, name)
            html = show_anew(record, number, self._house, self._templates, begin)
        return JSONResponse({"schema": 1, "told": f"The picture {name} is kept with this note.", **html})
