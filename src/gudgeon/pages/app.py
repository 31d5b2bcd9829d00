"""The routes: each opens the record, asks a view for what to show, and fills a template."""

from __future__ import annotations

from collections.abc import Callable
from contextlib import AbstractContextManager
from dataclasses import dataclass
from datetime import tzinfo
from pathlib import Path
from typing import Any

from fastapi import FastAPI, Request, Response
from fastapi.responses import HTMLResponse, JSONResponse
from fastapi.staticfiles import StaticFiles
from jinja2 import Environment, FileSystemLoader, StrictUndefined

from gudgeon.audio import decode
from gudgeon.checks import progress, read_spec
from gudgeon.domain import BadInput, GudgeonError, MissingThing, NewerRecord
from gudgeon.pages import views
from gudgeon.pages.guard import LOOPBACK, guard
from gudgeon.pages.sound import byte_range, clip_wav, peaks
from gudgeon.record import Record, Search
from gudgeon.reports import saying
from gudgeon.session import job_sheet
from gudgeon.trade import Trade

HERE = Path(__file__).parent
COLUMNS = 600
LONGEST_STRIP_S = 4 * 3600.0


@dataclass(frozen=True)
class House:
    """What the pages work with, handed in: how to open the record, the trade's tables, the owner's time zone."""

    open_record: Callable[[], AbstractContextManager[Record]]
    trade: Trade
    zone: tzinfo | None = None


def make_app(house: House, *, hosts: frozenset[str] = LOOPBACK) -> FastAPI:
    """The web application. It answers only to the host names given."""
    app = FastAPI(title="gudgeon", docs_url=None, redoc_url=None, openapi_url=None)
    pages = _Pages(house)
    app.mount("/static", StaticFiles(directory=HERE / "static"))
    app.add_api_route("/", pages.sessions, response_class=HTMLResponse)
    app.add_api_route("/session/{number}", pages.session, response_class=HTMLResponse)
    app.add_api_route("/session/{number}/note/{note}.wav", pages.note_sound, methods=["GET"])
    app.add_api_route("/open", pages.open_items, response_class=HTMLResponse)
    app.add_api_route("/find", pages.find, response_class=HTMLResponse)
    app.add_api_route("/find.json", pages.find_json)
    app.add_api_route("/spec", pages.spec, response_class=HTMLResponse)
    app.add_exception_handler(GudgeonError, pages.trouble)
    guard(app, hosts)
    return app


class _Pages:
    """One method a page."""

    def __init__(self, house: House) -> None:
        self._house = house
        self._strips: dict[tuple[int, float], list[float]] = {}
        self._templates = Environment(loader=FileSystemLoader(HERE / "templates"), autoescape=True, undefined=StrictUndefined)

    def _show(self, template: str, *, status: int = 200, **shown: Any) -> HTMLResponse:
        return HTMLResponse(self._templates.get_template(template).render(**shown), status_code=status)

    def trouble(self, _: Request, error: Exception) -> HTMLResponse:
        """A page that says what happened, what was kept and what to do."""
        assert isinstance(error, GudgeonError)
        status = 404 if isinstance(error, MissingThing) else 400 if isinstance(error, BadInput) else 503 if isinstance(error, NewerRecord) else 500
        return self._show("trouble.html", status=status, error=error)

    def sessions(self) -> HTMLResponse:
        """All sessions, newest first."""
        with self._house.open_record() as record:
            rows = [
                (session, saying.day(session.started, self._house.zone), saying.length(session.seconds) if session.seconds else "typed")
                for session in reversed(record.sessions())
            ]
            open_count = len(record.items())
        return self._show("sessions.html", rows=rows, open_count=open_count)

    def session(self, number: int) -> HTMLResponse:
        """One session: sound, words and facts side by side."""
        with self._house.open_record() as record:
            session = record.session(number)
            stored, entries, items = record.notes(number), record.entries(number), record.items_of_session(number)
            folder = record.folder / "sound" / str(number)
        unsure = views.unsure_notes(stored, entries)
        notes = [views.note_view(note, unsure) for note in stored]
        shown = [views.entry_view(entry) for entry in entries]
        strip = self._strip(number, folder, session.seconds)
        return self._show(
            "session.html",
            session=session,
            day=saying.day(session.started, self._house.zone),
            length=saying.length(session.seconds) if session.seconds else "",
            notes=notes,
            entries=sorted(shown, key=lambda entry: not entry.look_first),
            of_note={note.position: [entry for entry in shown if note.position in entry.notes] for note in notes},
            items=views.items_by_kind(items),
            has_sound=folder.is_dir(),
            columns=COLUMNS,
            strip=views.wave_path(strip) if strip else "",
            boxes=views.note_boxes(notes, session.seconds, COLUMNS),
            cautions=list(dict.fromkeys(caution.text for entry in entries for caution in entry.judgement.cautions)),
        )

    def _strip(self, number: int, folder: Path, seconds: float) -> list[float]:
        """The heights of a session's sound, worked out once; none when the sound is gone or very long."""
        key = (number, seconds)
        if key not in self._strips and folder.is_dir() and 0 < seconds <= LONGEST_STRIP_S:
            blocks = (block for file in sorted(folder.glob("*.flac")) for block in decode(file))
            self._strips[key] = peaks(blocks, seconds, COLUMNS)
        return self._strips.get(key, [])

    def note_sound(self, number: int, note: int, request: Request) -> Response:
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

    def open_items(self) -> HTMLResponse:
        """What is open, by kind, and what ended and by what."""
        with self._house.open_record() as record:
            items = record.items(state=None)
        still = [item for item in items if item.item.state == "open"]
        ended = [item for item in items if item.item.state != "open"]
        return self._show("open.html", items=views.items_by_kind(still), ended=views.items_by_kind(ended))

    def find(self, q: str = "") -> HTMLResponse:
        """Any value ever used, by words."""
        return self._show("find.html", q=q[:200], hits=self._hits(q) if q else [])

    def find_json(self, q: str = "") -> JSONResponse:
        """The same, for search as you type: the list of hits as HTML in ``html``."""
        html = self._templates.get_template("hits.html").render(q=q[:200], hits=self._hits(q) if q.strip() else [])
        return JSONResponse({"schema": 1, "html": html})

    def _hits(self, q: str) -> list[dict[str, Any]]:
        with self._house.open_record() as record:
            hits = record.find(Search(words=tuple(q[:200].split()), limit=30))
        return [
            {
                "entry": views.entry_view(hit.entry) if hit.entry else None,
                "words": hit.words,
                "session": hit.session.id,
                "day": saying.day(hit.session.started, self._house.zone),
                "note": hit.note,
                "sound": hit.note is not None and hit.start is not None,
                "clock": saying.clock(hit.start) if hit.start is not None else "",
            }
            for hit in hits
        ]

    def spec(self) -> HTMLResponse:
        """The spec sheet of each job and how much of it is done."""
        sheets = []
        with self._house.open_record() as record:
            for name in [None, *(job.name for job in record.jobs())]:
                sheet = job_sheet(record, name)
                stored = record.sheet(name)
                if sheet is None or stored is None or (name is not None and stored.job != name):
                    continue
                entries = [entry.entry for session in record.sessions(name) for entry in record.entries(session.id) if not entry.struck]
                done = progress(entries, sheet, trade=self._house.trade, learnt=record.learnt_joints(name))
                sheets.append((name or "sessions without a job", stored.name, done, read_spec(stored.text.split("\n")).refused))
        return self._show("spec.html", sheets=sheets)
