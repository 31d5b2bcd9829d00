"""Pictures of every page at three widths, over an invented record: the sample session with its sound, and evenings before and after it.

    .venv/bin/python docs/pictures/make_pictures.py [FOLDER]     (make pictures; the folder is docs/pictures when none is named)

Needs Debian's chromium. The pictures that docs/ shows are kept when no folder is named; with a folder all of them are written there.
"""

import socket
import sys
import tempfile
import threading
import time
from contextlib import contextmanager
from datetime import UTC, datetime, timedelta
from pathlib import Path

from gudgeon import Record, take
from gudgeon.checks import read_spec
from gudgeon.cli import wiring
from gudgeon.cli.serve import _house
from gudgeon.pages import Door, make_app
from gudgeon.session import Origin, settle_all, take_text

HERE = Path(__file__).parent
SAMPLE = HERE.parents[1] / "sample_audio"
JOB = "orchard tractor"
WIDTHS = {"phone": 390, "tablet": 820, "desktop": 1280}
FLAGS = (
    "--no-sandbox --disable-gpu --disable-quic --no-first-run --disable-background-networking --disable-component-update --disable-sync "
    "--font-render-hinting=none"
)
BEGAN = datetime(2026, 4, 3, 18, 30, tzinfo=UTC)
KEPT = {("session", "desktop"), ("job", "desktop"), ("joint", "tablet"), ("session", "phone")}
"""The pictures that stay in the repository, of what is seen without scrolling; none over 150 kB."""
MOST_BYTES = 150_000

EVENINGS = [
    (0, "Drain plug in the sump, twenty five foot pounds.\nFour water pump bolts to twenty newton metres.\nWhat is the torque for the filler cap?"),
    (9, "Eight cylinder head nuts, first pass, thirty newton metres.\nCylinder head nuts, second pass, sixty newton metres.\n"
        "Spark plug gap is point six five millimetres.\nNeed to buy a new fan belt."),
    (16, "Four inlet manifold nuts to twenty newton metres.\nFour exhaust manifold nuts to twenty newton metres with anti-seize."),
    (23, "Cylinder head nuts, second pass, sixty six newton metres, all eight.\nSix clutch cover bolts, 22 newton metres, blue thread locker.\n"
        "Inlet valve clearance is point three millimetres."),
]  # fmt: skip


def fill(folder):
    """The record that is shown: a job with its sheet, four evenings typed, and the sample session with its sound; the last session's number."""
    text = (SAMPLE / "orchard_spec.csv").read_text(encoding="utf-8")
    with Record.open(folder) as record, tempfile.TemporaryDirectory() as desk:
        record.new_job(JOB)
        for day, words in EVENINGS:
            path = Path(desk) / f"evening_{day}.txt"
            path.write_text(words, encoding="utf-8")
            take_text(Origin(path, BEGAN + timedelta(days=day), job=JOB), wiring.tools(record), progress=lambda step: None)
        sheet = record.put_sheet(name="orchard_spec.csv", text=text, sheet=read_spec(text.split("\n")), job=JOB)
        taken = take(record, SAMPLE / "orchard_session.flac", job=JOB, started=BEGAN + timedelta(days=30))
        settle_all(record, wiring.rules(), sheet=sheet)
        record.answer(record.items(kind="question")[0].item.id, "18 to 22 N·m: it stands in the sheet.")
        return taken.session.id


@contextmanager
def serving(app):
    """The address of a server over the app, in a thread."""
    import uvicorn

    listening = socket.socket()
    listening.bind(("127.0.0.1", 0))
    server = uvicorn.Server(uvicorn.Config(app, log_level="error", access_log=False, ws="none", lifespan="off", timeout_graceful_shutdown=1))
    thread = threading.Thread(target=lambda: server.run(sockets=[listening]), daemon=True)
    thread.start()
    while not server.started:
        time.sleep(0.01)
    yield f"http://127.0.0.1:{listening.getsockname()[1]}"
    server.should_exit = True
    thread.join(10)


def pages(number):
    """Name and path of each page."""
    job = JOB.replace(" ", "%20")
    return {
        "sessions": "/",
        "session": f"/session/{number}",
        "job": f"/job?name={job}",
        "joint": f"/joint?job={job}&line=2",
        "open": "/open",
        "find": "/find?q=cylinder%20head",
        "spec": "/spec",
        "sheet": f"/spec/edit?job={job}",
        "live": "/live",
        "bring": "/bring",
        "build-record": f"/build-record?job={job}",
        "order": f"/order?job={job}",
        "missing": "/session/99",
    }


def shoot(browser, address, name, path, target):
    """One page at every width; the kept ones as they are seen, those for looking at in their whole length."""
    whole = target != HERE
    for size, width in WIDTHS.items():
        if not whole and (name, size) not in KEPT:
            continue
        tab = browser.new_page(viewport={"width": width, "height": 840 if width > 500 else 780})
        tab.goto(address + path)
        tab.wait_for_timeout(400)
        file = target / f"{name}-{size}.png"
        tab.screenshot(path=file, full_page=whole)
        tab.close()
        if not whole and file.stat().st_size > MOST_BYTES:
            raise SystemExit(f"{file.name} has {file.stat().st_size} bytes; the most is {MOST_BYTES}.")


def main():
    """Fill the record and take the pictures."""
    from playwright.sync_api import sync_playwright

    target = Path(sys.argv[1]) if len(sys.argv) > 1 else HERE
    target.mkdir(parents=True, exist_ok=True)
    with tempfile.TemporaryDirectory(prefix="gudgeon-pictures-") as place, sync_playwright() as play:
        folder = Path(place) / "record"
        number = fill(folder)
        browser = play.chromium.launch(executable_path="/usr/bin/chromium", args=FLAGS.split())
        with serving(make_app(_house(folder))) as address:
            for name, path in pages(number).items():
                shoot(browser, address, name, path, target)
        door = Door("ABCD2345", b"shown only", wiring.clock)
        with serving(make_app(_house(folder), door=door)) as address:
            shoot(browser, address, "enter", "/enter", target)
        browser.close()


if __name__ == "__main__":
    main()
