"""What every request must pass: this computer's own address, no writes from other sites, and headers that let nothing from elsewhere run."""

from __future__ import annotations

from collections.abc import Awaitable, Callable
from urllib.parse import urlsplit

from fastapi import FastAPI, Request, Response
from fastapi.responses import PlainTextResponse
from starlette.middleware.gzip import GZipMiddleware
from starlette.types import ASGIApp, Receive, Scope, Send

LOOPBACK = frozenset({"127.0.0.1", "localhost", "[::1]"})

HEADERS = {
    "Content-Security-Policy": "default-src 'none'; style-src 'self'; script-src 'self'; img-src 'self' data:; media-src 'self'; "
    "connect-src 'self'; form-action 'self'; base-uri 'none'; frame-ancestors 'none'",
    "X-Content-Type-Options": "nosniff",
    "Referrer-Policy": "same-origin",
    "Cross-Origin-Opener-Policy": "same-origin",
    "Cross-Origin-Resource-Policy": "same-origin",
    "Cache-Control": "no-store",
}

SAFE_METHODS = frozenset({"GET", "HEAD"})


def host_name(host: str) -> str:
    """The name in a Host header, without its port: ``[::1]:80`` is ``[::1]``."""
    if host.startswith("["):
        return host.partition("]")[0] + "]"
    return host.rpartition(":")[0] if ":" in host else host


def refusal(method: str, host: str, origin: str | None, hosts: frozenset[str]) -> str | None:
    """Why a request may not pass, or None. ``hosts`` are the names this server answers to; a write must come from the same origin."""
    if host_name(host).lower() not in hosts:
        return "This server answers only to the address it was started on."
    if method in SAFE_METHODS:
        return None
    if origin is None or urlsplit(origin).netloc.lower() != host.lower():
        return "A change must come from a page of this server itself."
    return None


class Slim:
    """Compresses pages on their way out; sound, whose byte ranges must stay exact, and streams of events pass as they are."""

    def __init__(self, app: ASGIApp) -> None:
        self._plain = app
        self._slim = GZipMiddleware(app, minimum_size=2000, compresslevel=4)

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """One request."""
        as_it_is = scope["type"] != "http" or scope["path"].endswith((".wav", "/events"))
        await (self._plain if as_it_is else self._slim)(scope, receive, send)


def guard(app: FastAPI, hosts: frozenset[str]) -> None:
    """Put the checks and headers around every request of the app."""
    app.add_middleware(Slim)

    @app.middleware("http")
    async def checked(request: Request, call_next: Callable[[Request], Awaitable[Response]]) -> Response:
        why = refusal(request.method, request.headers.get("host", ""), request.headers.get("origin"), hosts)
        response = PlainTextResponse(why, status_code=403) if why else await call_next(request)
        for name, value in HEADERS.items():
            response.headers.setdefault(name, value)
        return response
