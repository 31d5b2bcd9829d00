"""The routes for bringing a recording: the page, the stream of the file itself, how far it is, and stopping it."""

from __future__ import annotations

from pathlib import Path

from fastapi import FastAPI, Request, Response
from fastapi.responses import JSONResponse
from starlette.concurrency import run_in_threadpool
from starlette.requests import ClientDisconnect

from gudgeon.domain import BadInput
from gudgeon.pages.bringing import LARGEST, Bench, discard
from gudgeon.pages.house import House, Number, Templates


class Bringing:
    """The routes, with the bench they work at."""

    def __init__(self, house: House, templates: Templates, *, largest: int = LARGEST) -> None:
        self._house = house
        self._templates = templates
        self._largest = largest
        self._bench = Bench(house)

    def add_to(self, app: FastAPI) -> None:
        """Add the routes to an app."""
        app.add_api_route("/bring", self.page, methods=["GET"])
        app.add_api_route("/bring/file", self.take, methods=["POST"])
        app.add_api_route("/bring/state.json", self.state, methods=["GET"])
        app.add_api_route("/bring/{number}/stop", self.stop, methods=["POST"])

    def page(self) -> Response:
        """Where a recording is dropped."""
        with self._house.open_record() as record:
            jobs = [job.name for job in record.jobs() if job.closed is None]
        return self._templates.page("bring.html", jobs=jobs)

    async def take(self, request: Request, name: str = "recording", job: str = "") -> Response:
        """The bytes of a file as the body of the request; it is read in the background once it is whole."""
        said = request.headers.get("content-length", "")
        if not said.isdigit() or not 0 < int(said) <= self._largest:
            limit = f"{self._largest >> 20} MB" if self._largest >> 20 else f"{self._largest} bytes"
            raise BadInput(f"A file may have up to {limit}, and must not be empty.", kept="Nothing was stored.", next_step="Use gudgeon take for it.")
        path = await run_in_threadpool(self._bench.place, name, job or None, int(said))
        try:
            await self._write(request, path)
        except BaseException:
            await run_in_threadpool(discard, path)
            raise
        reading = self._bench.begin(path, name, job or None)
        return JSONResponse({"schema": 1, "number": reading.number}, status_code=202)

    async def _write(self, request: Request, path: Path) -> None:
        came = 0
        try:
            with path.open("xb") as file:
                async for part in request.stream():
                    came += len(part)
                    if came > self._largest:
                        raise BadInput("This file is too large.", kept="Nothing was stored.")
                    await run_in_threadpool(file.write, part)
        except ClientDisconnect as error:
            raise BadInput("The file did not come whole.", kept="Nothing was stored.", next_step="Bring it again.") from error

    def state(self) -> Response:
        """How far each recording is."""
        return JSONResponse({"schema": 1, "readings": self._bench.all()})

    def stop(self, number: Number) -> Response:
        """End the reading of one; the notes so far stay."""
        self._bench.stop(number)
        return JSONResponse({"schema": 1})
