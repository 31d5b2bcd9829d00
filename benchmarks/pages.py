"""How fast the pages answer and how much they weigh over a big record: a real server on this computer, asked over HTTP.

    .venv/bin/python benchmarks/pages.py [ENTRIES]     (100000 when not named)

Every entry has its own note, 200 a session. Aims: the first page under 200 ms, a search under 100 ms, a page under 150 kB without its sound.
"""

import gzip
import http.client
import os
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

from gudgeon.checks import read_spec
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
    """The body of a page as it came, (milliseconds on a connection of its own, of it processor time), and whether it came compressed."""
    began, busy = time.perf_counter(), time.process_time()
    connection = http.client.HTTPConnection("127.0.0.1", port)
    connection.request("GET", path, headers={"Accept-Encoding": "gzip"})
    answer = connection.getresponse()
    body = answer.read()
    took = (time.perf_counter() - began) * 1000, (time.process_time() - busy) * 1000
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
    """One row of the result, as Markdown."""
    ordered = sorted(took for took, _ in times)
    busy = statistics.median(spent for _, spent in times)
    heavy = f"{bytes_ / 1000:.1f} kB" if bytes_ else ""
    print(f"| {name} | {statistics.median(ordered):.1f} ms | {ordered[int(len(ordered) * 0.95)]:.1f} ms | {busy:.1f} ms | {heavy} |", flush=True)


def give_a_job(record):
    """Ten sessions in the middle become a job of 2,000 entries with a sheet of fifty of its joints; its name."""
    record.new_job("big job")
    record._db.execute("update sessions set job = (select id from jobs where name = 'big job') where id between 101 and 110")
    rows = record._db.execute("select part, fastener from entries where session between 101 and 110 group by part limit 50").fetchall()
    text = "part,fastener,count,torque,unit,tolerance_percent\n" + "".join(f"{part},{fastener},8,60,N*m,5\n" for part, fastener in rows)
    record.put_sheet(name="big.csv", text=text, sheet=read_spec(text.split("\n")), job="big job")
    return "big job"


def measure(folder, luck, count):
    """Ask every page of a record, print what was measured."""
    with Record.open(folder) as record:
        job = quote(give_a_job(record) if count >= 25_000 else "")
        parts = [row[0] for row in record._db.execute("select part from entries order by random() limit 200").fetchall()]
        middle = record.sessions()[count // 400].id
    port = serve(folder)
    print(f"{count} entries, {count // 200} sessions of 200 notes; the first page the first time of all: {ask(port, '/')[1][0]:.0f} ms.")
    print(f"{os.cpu_count()} processors; {os.getloadavg()[0]:.0f} programs wanted one at that moment.\n")
    print("| page | median | 95 % | processor, median | weight, compressed, with style and script |\n| --- | ---: | ---: | ---: | ---: |")
    first = [("the first page", "/"), ("a session of 200 notes", f"/session/{middle}"), ("open items", "/open"), ("live", "/live")]
    more = [("spec sheets", "/spec"), ("a job of 2,000 entries, 50 joints", f"/job?name={job}"), ("a joint of it", f"/joint?job={job}&line=2")]
    for name, path in (*first, *(more if job else ()), ("a search", f"/find?q={quote(parts[0])}")):
        line(name, [ask(port, path)[1] for _ in range(ROUNDS)], weight(port, path))
    asked = [*parts[:100], *(f"{part.split()[0]} {luck.randint(5, 140)}" for part in parts[100:])]
    line("search as you type, 200 questions", [ask(port, f"/find.json?q={quote(text)}")[1] for text in asked])
    letters = [text[:at] for text in parts[:40] for at in range(1, len(text) + 1)]
    line("the same, letter by letter", [ask(port, f"/find.json?q={quote(text)}")[1] for text in letters])


def main():
    """Fill a record and measure its pages."""
    count = int(sys.argv[1]) if len(sys.argv) > 1 else 100_000
    luck = random.Random(8)
    with tempfile.TemporaryDirectory() as place:
        folder = Path(place)
        with Record.open(folder) as record:
            fill(record, luck, vocabulary(luck), count)
        measure(folder, luck, count)


if __name__ == "__main__":
    main()
