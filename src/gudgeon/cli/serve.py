"""``gudgeon serve``: the local pages."""

from __future__ import annotations

import socket
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

import typer

from gudgeon.cli.options import RecordDir

if TYPE_CHECKING:
    from gudgeon.pages import House
    from gudgeon.record import Record
    from gudgeon.session import SoundTools, Tools

LETTERS = "ABCDEFGHJKMNPQRSTVWXYZ23456789"
CODE_LENGTH = 8


def serve(
    port: Annotated[int, typer.Option("--port", min=0, max=65535, metavar="N", help="The port to listen on.")] = 8417,
    lan: Annotated[bool, typer.Option("--lan", help="Also let phones and tablets on this network in, with a code.")] = False,
    record: RecordDir = None,
) -> None:
    """Show the record as web pages: sessions with their sound, mended in place, jobs, open items, search, spec sheets.

    The server listens on 127.0.0.1 alone and ends with Ctrl-C. With --lan it also listens on this computer's address in its
    network, and every device must give the code that is shown here. The connection is not encrypted.

    Example: gudgeon serve --port 8417
    """
    import secrets

    import uvicorn

    from gudgeon.cli import wiring
    from gudgeon.pages import LOOPBACK, Door, make_app

    with wiring.open_record(record):
        pass  # a record that cannot be opened is better told here than on a page
    sockets = [_listen("127.0.0.1", port)]
    port = sockets[0].getsockname()[1]
    hosts, door = LOOPBACK, None
    if lan:
        code = "".join(secrets.choice(LETTERS) for _ in range(CODE_LENGTH))
        door = Door(code, secrets.token_bytes(32), wiring.clock)
        mine = _own_address()
        sockets.append(_listen(mine, port))
        hosts = LOOPBACK | {mine}
        _show_code(mine, port, code)
    app = make_app(_house(record), hosts=hosts, door=door)
    print(f"The pages are at http://127.0.0.1:{port}/ (Ctrl-C ends them).", flush=True)
    config = uvicorn.Config(app, log_level="warning", access_log=False, ws="none", timeout_graceful_shutdown=5)
    server = uvicorn.Server(config)
    app.state.ending = lambda: server.should_exit  # an open live page would else keep the server waiting until it is cut off
    server.run(sockets=sockets)


def _listen(host: str, port: int) -> socket.socket:
    from gudgeon.domain import Failure

    listening = socket.socket(socket.AF_INET, socket.SOCK_STREAM)
    listening.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
    try:
        listening.bind((host, port))
        listening.listen()  # whoever opens the address as soon as it is shown is not turned away
    except OSError as error:
        raise Failure(f"Port {port} is taken.", kept="Nothing was changed.", next_step="Choose another with --port N.") from error
    return listening


def _own_address() -> str:
    """This computer's address in its network. Raises Failure when it is in none. Nothing is sent: a datagram socket only picks its route."""
    from gudgeon.domain import Failure

    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as asking:
        try:
            asking.connect(("192.0.2.1", 9))  # an address kept for documentation (RFC 5737)
        except OSError as error:
            raise Failure("This computer is in no network.", kept="Nothing was changed.", next_step="Leave --lan out.") from error
        return str(asking.getsockname()[0])


def _show_code(host: str, port: int, code: str) -> None:
    import io

    import segno

    from gudgeon.pages import address

    shown = f"{code[:4]}-{code[4:]}"
    drawn = io.StringIO()
    segno.make(address(host, port, code), error="l", micro=False).terminal(out=drawn, compact=True)
    print(drawn.getvalue())
    print(f"On a phone or tablet open http://{host}:{port}/ and type the code {shown}, or hold its camera at the square.")
    print("The connection is not encrypted: use it in your own network only.", flush=True)


def _house(option: Path | None) -> House:
    """What the pages work with. The reader is made once, when the first note is read."""
    from functools import cache

    from gudgeon.cli import wiring
    from gudgeon.pages import House
    from gudgeon.session import Tools, job_phrases

    reader, rules = cache(wiring.reader), wiring.rules()

    def read(text: str) -> Any:
        return reader().read(text)

    def tools(record: Record) -> Tools:
        return Tools(record=record, read=read, rules=rules, clock=wiring.clock)

    def hear(record: Record, job: str | None) -> SoundTools:
        return wiring.sound_tools(wiring.recogniser(phrases=job_phrases(record, job)))

    def document(record: Record, job: str | None, reverse: bool) -> str:
        from gudgeon.cli.documents import build, files_of, parts_of
        from gudgeon.reports import as_html

        parts = parts_of(record, job)
        return as_html(build(record, job, parts, reverse=reverse), files_of(record, parts, location=False))

    return House(
        open_record=lambda: wiring.open_record(option),
        trade=wiring.trade(),
        units=wiring.unit_words(),
        tools=tools,
        clock=wiring.clock,
        hear=hear,
        document=document,
    )
