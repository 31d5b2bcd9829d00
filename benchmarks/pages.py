"""How fast the pages answer and how much they weigh over a big record: a real server on this computer, asked over HTTP.

    .venv/bin/python benchmarks/pages.py [ENTRIES]     (100000 when not named)

Every entry has its own note, 200 a session. Aims: the first page under 200 ms, a search under 100 ms, a page under 150 kB without its sound.
"""

import gzip
import http.client
import random
import re
import socket
import statistics
import sys
import tempfile
import threading
import time
from pathlib import Path
from urllib.parse import quote

from gudgeon.cli.serve import _house
from gudgeon.pages import make_app
from gudgeon.record import Record
from record_scale import fill, vocabulary

ROUNDS = 40


def serve(folder):
    """A server over the record in a thread; its port."""
    import uvicorn

    listening = socket.socket()
    listening.bind(("127.0.0.1", 0))
    server = uvicorn.Server(uvicorn.Config(make_app(_house(folder)), log_level="error", access_log=False, ws="none", lifespan="off"))
    threading.Thread(target=lambda: server.run(sockets=[listening]), daemon=True).start()
    while not server.started:
        time.sleep(0.02)
    return listening.getsockname()[1]


def ask(port, path):
    """The body of a page as it came, how many milliseconds it took on a connection of its own, and whether it came compressed."""
    began = time.perf_counter()
    connection = http.client.HTTPConnection("127.0.0.1", port)
    connection.request("GET", path, headers={"Accept-Encoding": "gzip"})
    answer = connection.getresponse()
    body = answer.read()
    took = (time.perf_counter() - began) * 1000
    connection.close()
    if answer.status != 200:
        raise SystemExit(f"{path} answered {answer.status}")
    return body, took, answer.getheader("content-encoding") == "gzip"


def weight(port, path):
    """Bytes that come over the wire for a page with its style and scripts."""
    sent, _, slim = ask(port, path)
    page = gzip.decompress(sent) if slim else sent
    parts = re.findall(rb'(?:href|src)="(/static/[^"]+)"', page)
    return len(sent) + sum(len(ask(port, part.decode())[0]) for part in parts)


def line(name, times, bytes_=None):
    """One line of the result."""
    ordered = sorted(times)
    heavy = f"  {bytes_ / 1000:7.1f} kB" if bytes_ else ""
    print(f"{name:34} {statistics.median(ordered):7.1f} ms median  {ordered[int(len(ordered) * 0.95)]:7.1f} ms at 95 %{heavy}", flush=True)


def main():
    """Fill a record, ask every page, print what was measured."""
    count = int(sys.argv[1]) if len(sys.argv) > 1 else 100_000
    luck = random.Random(8)
    words = vocabulary(luck)
    with tempfile.TemporaryDirectory() as place:
        folder = Path(place)
        with Record.open(folder) as record:
            fill(record, luck, words, count)
            parts = [row[0] for row in record._db.execute("select part from entries order by random() limit 200").fetchall()]
            middle = record.sessions()[count // 400].id
        port = serve(folder)
        print(f"{count} entries, {count // 200} sessions of 200 notes")
        first = ask(port, "/")[1]
        print(f"{'/, the first time of all':34} {first:7.1f} ms")
        for path in ("/", f"/session/{middle}", "/open", "/spec", "/live", "/job", f"/find?q={quote(parts[0])}"):
            line(path, [ask(port, path)[1] for _ in range(ROUNDS)], weight(port, path))
        asked = [*parts[:100], *(f"{part.split()[0]} {luck.randint(5, 140)}" for part in parts[100:])]
        line("search as you type, 200 questions", [ask(port, f"/find.json?q={quote(text)}")[1] for text in asked])


if __name__ == "__main__":
    main()
