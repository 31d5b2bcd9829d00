"""The routes: each opens the record, asks a view for what to show, and fills a template."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from fastapi import FastAPI, Request, Response
from fastapi.exceptions import RequestValidationError
from fastapi.responses import HTMLResponse, JSONResponse, RedirectResponse
from fastapi.staticfiles import StaticFiles
from starlette.exceptions import HTTPException

from gudgeon.audio import kept_gaps
from gudgeon.checks import read_spec
from gudgeon.domain import BadInput, GudgeonError, MissingThing
from gudgeon.pages import session_page, views
from gudgeon.pages.bring_page import Bringing
from gudgeon.pages.changes import Changes
from gudgeon.pages.door import Door
from gudgeon.pages.ending import Ending
from gudgeon.pages.guard import HEADERS, LOOPBACK, guard
from gudgeon.pages.house import HERE, House, Number, Templates
from gudgeon.pages.job_page import Tallies, job_page, joint_page
from gudgeon.pages.live import Live
from gudgeon.pages.open_page import known, open_page
from gudgeon.pages.papers import Papers
from gudgeon.pages.picture_routes import Pictures
from gudgeon.pages.sound import byte_range, clip_wav
from gudgeon.pages.strips import kept_strip
from gudgeon.record import Search
from gudgeon.reports import saying

NEWEST = 50
SHEETS_AT_ONCE = 3
"""So many sheets are counted through on their page; the rest are links."""
AT_ONCE_S = 120.0
"""The sound of a session up to this length is measured before its page is shown; that of a longer one is drawn in when it is measured."""


def make_app(house: House, *, hosts: frozenset[str] = LOOPBACK, door: Door | None = None) -> FastAPI:
    """The web application. It answers only to the host names given; with a ``door`` only to devices that were let in."""
    app = FastAPI(title="gudgeon", docs_url=None, redoc_url=None, openapi_url=None)
    templates = Templates()
    pages = _Pages(house, templates)
    app.mount("/static", StaticFiles(directory=HERE / "static"))
    app.add_api_route("/", pages.sessions, response_class=HTMLResponse)
    app.add_api_route("/job", pages.job, response_class=HTMLResponse)
    app.add_api_route("/progress.json", pages.progress)
    app.add_api_route("/joint", pages.joint, response_class=HTMLResponse)
    app.add_api_route("/session/{number}", pages.session, response_class=HTMLResponse)
    app.add_api_route("/session/{number}/strip.json", pages.strip)
    app.add_api_route("/session/{number}/note/{note}.wav", pages.note_sound, methods=["GET"])
    app.add_api_route("/session/{number}/note/{note}", pages.note, methods=["GET"])
    app.add_api_route("/open", pages.open_items, response_class=HTMLResponse)
    app.add_api_route("/find", pages.find, response_class=HTMLResponse)
    app.add_api_route("/find.json", pages.find_json)
    app.add_api_route("/spec", pages.spec, response_class=HTMLResponse)
    parts = (Pictures, Changes, Ending, Live, Bringing)
    for more in (*(part(house, templates) for part in parts), Papers(house)):
        more.add_to(app)
    app.add_exception_handler(GudgeonError, pages.trouble)
    app.add_exception_handler(HTTPException, pages.not_there)
    app.add_exception_handler(RequestValidationError, pages.not_asked_well)
    app.add_exception_handler(Exception, pages.broken)
    if door:
        door.add_to(app, templates)
    guard(app, hosts)  # added last, so that it is asked first
    return app


class _Pages:
    """One method a page."""

    def __init__(self, house: House, templates: Templates) -> None:
        self._house = house
        self._templates = templates
        self._tallies = Tallies(house.trade, house.zone)
        self._strips: dict[tuple[int, float], str] = {}

    def trouble(self, request: Request, error: Exception) -> Response:
        """A page that says what happened, what was kept and what to do; the same as JSON for a script."""
        assert isinstance(error, GudgeonError)
        status = 404 if isinstance(error, MissingThing) else 400 if isinstance(error, BadInput) else 503
        return self._said(request, error, status)

    def _said(self, request: Request, error: GudgeonError, status: int) -> Response:
        if request.headers.get("accept") == "application/json" or request.url.path.endswith(".json"):
            said = {"happened": error.happened, "kept": error.kept, "next_step": error.next_step}
            return JSONResponse({"schema": 1, **said}, status_code=status)
        return self._templates.page("trouble.html", status=status, error=error)

    def not_there(self, request: Request, error: Exception) -> Response:
        """An address that there is not, or that cannot be asked in that way."""
        status = error.status_code if isinstance(error, HTTPException) else 404
        happened = "This page cannot be asked in that way." if status == 405 else "There is no such page."
        said = GudgeonError(happened, kept="Nothing was changed.", next_step="Choose one of the pages above.")
        return self._said(request, said, status)

    def not_asked_well(self, request: Request, error: Exception) -> Response:
        """An address whose numbers are none."""
        said = GudgeonError("This address is not whole: a number in it is missing or is none.", kept="Nothing was changed.")
        return self._said(request, said, 422)

    def broken(self, request: Request, error: Exception) -> Response:
        """What nobody thought of; how it came stands in the terminal."""
        said = GudgeonError(
            "Something went wrong in gudgeon itself.",
            kept="What was in the record before is kept.",
            next_step="Load the page again. If it stays so, please tell the makers what stands in the terminal.",
        )
        answer = self._said(request, said, 500)
        answer.headers.update(HEADERS)
        return answer

    def sessions(self, all: bool = False) -> HTMLResponse:
        """The newest sessions, or all of them, newest first."""
        with self._house.open_record() as record:
            rows = [
                (session, saying.day(session.started, self._house.zone), saying.length(session.seconds) if session.seconds else "typed")
                for session in reversed(record.sessions(newest=None if all else NEWEST))
            ]
            jobs, open_count = record.jobs(), sum(record.count_items().values())
            more = record.count_sessions() - len(rows)
        return self._templates.page("sessions.html", rows=rows, jobs=jobs, more=more, open_count=open_count, source=views.source)

    def job(self, name: str | None = None) -> HTMLResponse:
        """A job: what to know before starting, its joints drawn."""
        with self._house.open_record() as record:
            shown = job_page(record, name or None, self._tallies, self._house.zone)
        shown["papers"] = self._house.document is not None
        return self._templates.page("job.html", **shown)

    def progress(self, job: str | None = None) -> JSONResponse:
        """How many rows of a job's sheet are done; ``total`` is 0 without a sheet."""
        with self._house.open_record() as record:
            name = record.job(job).name if job else None
            tally = self._tallies.of(record, name)
        return JSONResponse({"schema": 1, "done": tally.progress.done if tally else 0, "total": tally.progress.total if tally else 0})

    def joint(self, line: Number, job: str | None = None) -> HTMLResponse:
        """One joint of a job's sheet, with the history of its values."""
        with self._house.open_record() as record:
            shown = joint_page(record, job or None, line, self._tallies)
        return self._templates.page("joint.html", **shown)

    def note(self, number: Number, note: Number) -> Response:
        """The place of a note on the page of its session; the session's beginning when the note is not there."""
        with self._house.open_record() as record:
            record.session(number)
            at = next((stored.position for stored in record.notes(number) if stored.id == note), None)
        return RedirectResponse(f"/session/{number}" + ("" if at is None else f"?begin={at}#n{at}"), status_code=303)

    def session(self, number: Number, begin: Number = 0) -> HTMLResponse:
        """One session: sound, words and what was made of them side by side; a long one from the page that has the note at ``begin``."""
        with self._house.open_record() as record:
            rows = session_page.rows_of(record, number)
            shown = session_page.page_of(record, number, rows, self._house.zone, begin)
            folder = record.folder / "sound" / str(number)
        seconds = shown["session"].seconds
        at_once = seconds <= AT_ONCE_S or (number, seconds) in self._strips
        drawn: dict[str, Any] = {"strip": self._strip(folder, number, seconds) if at_once else "", "end": saying.clock(seconds)}
        drawn["gaps"] = [f"{saying.clock(gap.at)} ({saying.length(gap.lasted)})" for gap in kept_gaps(folder)]
        drawn["has_strip"] = shown["has_sound"] and 0 < seconds <= session_page.LONGEST_STRIP_S
        drawn |= {"boxes": session_page.boxes(rows, seconds), "timeline": session_page.timeline(rows, shown["session_items"], seconds)}
        return self._templates.page("session.html", **shown, **drawn, told="", source=views.source(shown["session"].source))

    def strip(self, number: Number) -> JSONResponse:
        """The height of a session's sound as an SVG path, for a session whose page was shown before it was measured."""
        with self._house.open_record() as record:
            seconds = record.session(number).seconds
            folder = record.folder / "sound" / str(number)
        return JSONResponse({"schema": 1, "path": self._strip(folder, number, seconds)})

    def _strip(self, folder: Path, number: int, seconds: float) -> str:
        if not folder.is_dir():
            return ""
        if (number, seconds) not in self._strips:
            heights = kept_strip(folder, seconds)
            self._strips[(number, seconds)] = views.wave_path(heights) if heights else ""
        return self._strips[(number, seconds)]

    def note_sound(self, number: Number, note: Number, request: Request) -> Response:
        """The sound of one note as wav; a byte range when asked for one."""
        with self._house.open_record() as record:
            found = next((stored.note for stored in record.notes(number) if stored.id == note), None)
            folder = record.folder / "sound" / str(number)
        if found is None or found.start is None or found.end is None:
            raise MissingThing("This note has no sound.", kept="Its words are kept.")
        held = clip_wav(folder, found.start, found.end)
        wanted = byte_range(request.headers.get("range"), len(held))
        if wanted is None:
            return Response(status_code=416, headers={"Content-Range": f"bytes */{len(held)}"})
        headers = {"Accept-Ranges": "bytes", "Content-Range": f"bytes {wanted.first}-{wanted.last}/{wanted.size}"}
        status = 206 if request.headers.get("range") else 200
        if status == 200:
            del headers["Content-Range"]
        return Response(held[wanted.first : wanted.last + 1], status_code=status, media_type="audio/wav", headers=headers)

    def open_items(self, job: str = "", kind: str = "", begin: Number = 0) -> HTMLResponse:
        """What is open, by kind, and what ended and by what; a few of each, or one kind page by page."""
        with self._house.open_record() as record:
            shown = open_page(record, known(job, kind, begin), self._house.zone)
        return self._templates.page("open.html", **shown)

    def find(self, q: str = "") -> HTMLResponse:
        """Any value ever used, by words."""
        return self._templates.page("find.html", q=q[:200], hits=self._hits(q) if q.strip() else [])

    def find_json(self, q: str = "") -> JSONResponse:
        """The same, for search as you type: the list of hits as HTML in ``html``."""
        html = self._templates.text("hits.html", q=q[:200], hits=self._hits(q) if q.strip() else [])
        return JSONResponse({"schema": 1, "html": html})

    def _hits(self, q: str) -> list[dict[str, Any]]:
        with self._house.open_record() as record:
            hits = record.find(Search(words=tuple(q[:200].split()), limit=30))
            heard = {hit.session.id for hit in hits if (record.folder / "sound" / str(hit.session.id)).is_dir()}
        return [
            {
                "entry": views.entry_view(hit.entry) if hit.entry else None,
                "at": session_page.home_of(hit.entry) if hit.entry else 0,
                "words": hit.words,
                "session": hit.session.id,
                "day": saying.day(hit.session.started, self._house.zone),
                "note": hit.note,
                "sound": hit.note is not None and hit.start is not None and hit.session.id in heard,
                "clock": saying.clock(hit.start) if hit.start is not None else "",
            }
            for hit in hits
        ]

    def spec(self, job: str | None = None) -> HTMLResponse:
        """Spec sheets and how much of each is done: of one job, or of the few worked on last; the others are named."""
        shown: list[tuple[Any, ...]] = []
        others: list[str | None] = []
        with self._house.open_record() as record:
            jobs = [known.name for known in record.jobs()]
            latest = record.latest_session()
            order = list(dict.fromkeys([*([latest.job] if latest else []), None, *jobs]))
            for name in order:
                stored = record.sheet(name)
                if stored is None or stored.job != name:
                    continue
                wanted = name == (job or None) if job is not None else len(shown) < SHEETS_AT_ONCE
                if wanted and (tally := self._tallies.of(record, name)) is not None:
                    shown.append((name, stored.name, tally.progress, read_spec(stored.text.split("\n")).refused))
                else:
                    others.append(name)
        return self._templates.page("spec.html", sheets=shown, others=others, jobs=jobs)
