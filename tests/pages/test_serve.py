"""The command itself, as a program of its own: where it listens, what the terminal shows, how it ends."""

import io
import re
import signal
import socket
import subprocess
import sys
from contextlib import contextmanager
from pathlib import Path

import httpx2
import pytest
import segno

from gudgeon.cli.serve import _own_address
from gudgeon.domain import Failure

pytestmark = pytest.mark.slow
LISTENING = "0A"


@contextmanager
def running(folder, *more):
    """The program, and what it printed until it was ready."""
    command = [sys.executable, "-m", "gudgeon", "serve", "--port", "0", "--record", str(folder), *more]
    program = subprocess.Popen(command, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True, encoding="utf-8")
    shown = ""
    try:
        for line in program.stdout:
            shown += line
            if "The pages are at" in line:
                break
        yield program, shown, int(re.search(r"http://127\.0\.0\.1:(\d+)/", shown)[1])
    finally:
        program.send_signal(signal.SIGINT)
        program.wait(60)
        program.stdout.close()
        program.stderr.close()


def listening_at(port):
    """The addresses that something listens on at a port, as the kernel lists them."""
    rows = [line.split() for name in ("tcp", "tcp6") for line in Path(f"/proc/net/{name}").read_text().splitlines()[1:]]
    found = [row[1].split(":")[0] for row in rows if row[3] == LISTENING and int(row[1].split(":")[1], 16) == port]
    return {socket.inet_ntoa(bytes.fromhex(address)[::-1]) if len(address) == 8 else address for address in found}


def test_it_listens_on_this_computer_alone_and_ends_in_order(tmp_path):
    with running(tmp_path / "record") as (program, shown, port):
        assert listening_at(port) == {"127.0.0.1"}
        assert "No session is in this record yet" in httpx2.get(f"http://127.0.0.1:{port}/", timeout=60).text
        assert httpx2.get(f"http://127.0.0.1:{port}/", headers={"Host": "rebound.example"}, timeout=60).status_code == 403
    assert program.returncode in (0, -signal.SIGINT, 130)
    assert "Traceback" not in shown


def test_ctrl_c_ends_it_in_order_also_while_a_live_page_is_open(tmp_path):
    with running(tmp_path / "record") as (program, _, port), socket.create_connection(("127.0.0.1", port)) as page:
        page.sendall(b"GET /live/events HTTP/1.1\r\nHost: 127.0.0.1\r\n\r\n")
        came = b""
        while b"data: " not in came:
            came += page.recv(4096)
        program.send_signal(signal.SIGINT)
        _, told = program.communicate(timeout=60)
    assert program.returncode in (0, -signal.SIGINT, 130)
    assert told == ""


def test_with_lan_the_terminal_shows_a_code_and_a_square_that_let_a_device_in(tmp_path):
    try:
        mine = _own_address()
    except Failure:
        pytest.skip("this computer is in no network")
    with running(tmp_path / "record", "--lan") as (_, shown, port):
        assert listening_at(port) == {"127.0.0.1", mine}
        code = re.search(r"code ([A-Z2-9]{4}-[A-Z2-9]{4})", shown)[1]
        drawn = io.StringIO()
        segno.make(f"http://{mine}:{port}/enter#{code.replace('-', '')}", error="l", micro=False).terminal(out=drawn, compact=True)
        assert drawn.getvalue().strip() in shown
        assert "not encrypted" in shown
        with httpx2.Client(base_url=f"http://{mine}:{port}", headers={"Accept": "text/html"}, timeout=60) as device:
            assert device.get("/").headers["location"] == "/enter"
            entered = device.post("/enter", data={"code": code}, headers={"Origin": f"http://{mine}:{port}"})
            assert entered.status_code == 303
            assert "No session" in device.get("/").text
        assert httpx2.get(f"http://127.0.0.1:{port}/", headers={"Accept": "text/html"}).status_code == 303  # the code is asked of everybody


def test_a_port_that_is_taken_is_said(tmp_path):
    with socket.socket() as taken:
        taken.bind(("127.0.0.1", 0))
        taken.listen()
        command = [sys.executable, "-m", "gudgeon", "serve", "--port", str(taken.getsockname()[1]), "--record", str(tmp_path)]
        done = subprocess.run(command, capture_output=True, text=True, timeout=60)
    assert done.returncode == 1
    assert "is taken" in done.stderr
    assert "--port" in done.stderr
