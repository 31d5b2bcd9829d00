"""The door for other devices on the workshop's network: a code that the terminal shows opens it, and a signed cookie keeps it open for a day."""

from __future__ import annotations

import hashlib
import hmac
from collections.abc import Awaitable, Callable
from datetime import datetime, timedelta
from urllib.parse import urlsplit

from fastapi import FastAPI, Request, Response
from fastapi.responses import JSONResponse, RedirectResponse

from gudgeon.pages.changes import read_form
from gudgeon.pages.house import Templates

COOKIE = "gudgeon_door"
LASTS = timedelta(hours=12)
TRIES, TRIES_IN = 5, timedelta(minutes=1)
OPEN_PATHS = frozenset({"/enter", "/static/style.css", "/static/enter.js"})


def plain(code: str) -> str:
    """A code as it is compared: capitals and digits alone."""
    return "".join(letter for letter in code.upper() if letter.isascii() and letter.isalnum())


class Door:
    """Asks for the code; ``secret`` signs the cookies, and both are made anew at every start."""

    def __init__(self, code: str, secret: bytes, clock: Callable[[], datetime]) -> None:
        self._code = plain(code)
        self._secret = secret
        self._clock = clock
        self._wrong: list[datetime] = []

    def add_to(self, app: FastAPI, templates: Templates) -> None:
        """Put the door before every page of an app."""
        self._templates = templates
        app.add_api_route("/enter", self.ask, methods=["GET"])
        app.add_api_route("/enter", self.enter, methods=["POST"])

        @app.middleware("http")
        async def closed(request: Request, call_next: Callable[[Request], Awaitable[Response]]) -> Response:
            if request.url.path in OPEN_PATHS or self.knows(request.cookies.get(COOKIE, "")):
                return await call_next(request)
            if request.method in ("GET", "HEAD") and "text/html" in request.headers.get("accept", ""):
                return RedirectResponse("/enter", status_code=303)
            return JSONResponse(
                {"schema": 1, "happened": "This device is not let in.", "kept": "", "next_step": "Load the page again and type the code."}, 401
            )

    def ask(self) -> Response:
        """The page that asks for the code."""
        return self._templates.page("enter.html", said="")

    async def enter(self, request: Request) -> Response:
        """Hold a code against the one in the terminal; a cookie when it is right. After five wrong ones in a minute it waits."""
        form = await read_form(request)
        now = self._clock()
        self._wrong = [moment for moment in self._wrong if now - moment < TRIES_IN]
        if len(self._wrong) >= TRIES:
            return self._templates.page("enter.html", status=429, said="Too many wrong codes. Wait a minute, then type it again.")
        if not hmac.compare_digest(plain(form.get("code", "")), self._code):
            self._wrong.append(now)
            return self._templates.page("enter.html", status=403, said="That is not the code. It stands in the terminal where gudgeon serve runs.")
        answer = RedirectResponse("/", status_code=303)
        answer.set_cookie(COOKIE, self.cookie(), max_age=int(LASTS.total_seconds()), httponly=True, samesite="strict", path="/")
        return answer

    def cookie(self) -> str:
        """A cookie that opens the door until its time is over."""
        until = str(int((self._clock() + LASTS).timestamp()))
        return f"{until}.{self._sign(until)}"

    def knows(self, cookie: str) -> bool:
        """Whether a cookie was signed here and is not over."""
        until, _, signature = cookie.partition(".")
        if not until.isascii() or not until.isdigit() or len(until) > 12:
            return False
        return hmac.compare_digest(signature.encode(), self._sign(until).encode()) and int(until) > self._clock().timestamp()

    def _sign(self, text: str) -> str:
        return hmac.new(self._secret, text.encode(), hashlib.sha256).hexdigest()


def address(host: str, port: int, code: str) -> str:
    """What a phone opens: the code stands after the ``#``, so that it is in no request line and no log."""
    return urlsplit(f"http://{host}:{port}/enter#{code}").geturl()
