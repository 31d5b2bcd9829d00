"""Pictures of notes: shown without what they say of place and camera, and added from a phone or a file."""

from __future__ import annotations

from fastapi import FastAPI, Request, Response
from fastapi.responses import JSONResponse
from starlette.concurrency import run_in_threadpool

from gudgeon.domain import BadInput, MissingThing
from gudgeon.pages.bringing import safe_name
from gudgeon.pages.changes import show_anew
from gudgeon.pages.house import House, Number, Templates

LARGEST = 40_000_000


class Pictures:
    """The routes, with what they work with."""

    def __init__(self, house: House, templates: Templates) -> None:
        self._house = house
        self._templates = templates

    def add_to(self, app: FastAPI) -> None:
        """Add the routes to an app."""
        app.add_api_route("/session/{number}/note/{note}/picture/{picture}", self.show, methods=["GET"])
        app.add_api_route("/session/{number}/note/{note}/picture", self.add, methods=["POST"])

    def show(self, number: Number, note: Number, picture: Number) -> Response:
        """A picture, found by numbers alone."""
        with self._house.open_record() as record:
            kept = [one for stored in record.notes(number) if stored.id == note for one in stored.pictures if one.id == picture]
            if not kept or kept[0].forgotten is not None:
                raise MissingThing("This picture is not there.", kept="The words of its note are kept.")
            data = record.picture_bytes(kept[0], location=False)
        return Response(data, media_type=f"image/{kept[0].form}")

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
