"""The build record of a job and its order of putting together, as pages that can be printed or saved; they carry their own style inside."""

from __future__ import annotations

from urllib.parse import quote

from fastapi import FastAPI, Response
from fastapi.responses import HTMLResponse

from gudgeon.domain import Failure
from gudgeon.pages.bringing import safe_name
from gudgeon.pages.house import House

POLICY = "default-src 'none'; style-src 'unsafe-inline'; img-src data:; media-src data:; base-uri 'none'; form-action 'none'; frame-ancestors 'none'"
"""No script runs in them, and nothing is fetched; only their own style is allowed beside what other pages allow."""


class Papers:
    """The routes, with what they work with."""

    def __init__(self, house: House) -> None:
        self._house = house

    def add_to(self, app: FastAPI) -> None:
        """Add the routes to an app."""
        app.add_api_route("/build-record", self.build_record, methods=["GET"])
        app.add_api_route("/order", self.order, methods=["GET"])

    def build_record(self, job: str = "", save: bool = False) -> Response:
        """The build record of a job; with ``save`` as a file to keep."""
        return self._paper(job, "build record", reverse=False, save=save)

    def order(self, job: str = "", save: bool = False) -> Response:
        """The order in which what was taken apart goes together again."""
        return self._paper(job, "order", reverse=True, save=save)

    def _paper(self, job: str, what: str, *, reverse: bool, save: bool) -> Response:
        if self._house.document is None:
            raise Failure("No build record is made here.", kept="The record is as it was.", next_step="Use gudgeon export --to html.")
        with self._house.open_record() as record:
            name = record.job(job).name if job else None
            text = self._house.document(record, name, reverse)
        answer = HTMLResponse(text, headers={"Content-Security-Policy": POLICY})
        if save:
            file = safe_name(f"{name or 'sessions without a job'}, {what}.html".replace("/", "_"))
            answer.headers["Content-Disposition"] = f"attachment; filename*=UTF-8''{quote(file)}"
        return answer
