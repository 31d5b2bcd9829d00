"""``gudgeon serve``: the local pages."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

import typer

from gudgeon.cli.options import RecordDir

if TYPE_CHECKING:
    from gudgeon.pages import House
    from gudgeon.record import Record
    from gudgeon.session import Tools


def serve(
    port: Annotated[int, typer.Option("--port", min=0, max=65535, metavar="N", help="The port to listen on.")] = 8417,
    record: RecordDir = None,
) -> None:
    """Show the record as web pages, on this computer alone: sessions with their sound, open items, search, spec sheets.

    The server listens on 127.0.0.1 and ends with Ctrl-C.

    Example: gudgeon serve --port 8417
    """
    import socket

    import uvicorn

    from gudgeon.cli import wiring
    from gudgeon.domain import Failure
    from gudgeon.pages import make_app

    with wiring.open_record(record):
        pass  # a record that cannot be opened is better told here than on a page
    app = make_app(_house(record))
    listening = socket.socket(socket.AF_INET, socket.SOCK_STREAM)
    listening.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
    try:
        listening.bind(("127.0.0.1", port))
    except OSError as error:
        raise Failure(f"Port {port} is taken.", kept="Nothing was changed.", next_step="Choose another with --port N.") from error
    print(f"The pages are at http://127.0.0.1:{listening.getsockname()[1]}/ (Ctrl-C ends them).", flush=True)
    uvicorn.Server(uvicorn.Config(app, log_level="warning", access_log=False)).run(sockets=[listening])


def _house(option: Path | None) -> House:
    """What the pages work with. The reader is made once, when the first note is read."""
    from functools import cache

    from gudgeon.cli import wiring
    from gudgeon.pages import House
    from gudgeon.session import Tools

    reader, rules = cache(wiring.reader), wiring.rules()

    def read(text: str) -> Any:
        return reader().read(text)

    def tools(record: Record) -> Tools:
        return Tools(record=record, read=read, rules=rules, clock=wiring.clock)

    return House(open_record=lambda: wiring.open_record(option), trade=wiring.trade(), units=wiring.unit_words(), tools=tools, clock=wiring.clock)
