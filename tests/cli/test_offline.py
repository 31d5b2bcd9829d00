"""No network at all: the main job runs where every socket is refused, and files are the owner's alone."""

import os
import stat
import subprocess
import sys

import pytest

BLOCK = """
import socket, sys
def refused(*a, **k):
    raise AssertionError("a socket was used")
socket.socket.connect = socket.socket.connect_ex = socket.socket.bind = socket.socket.sendto = refused
socket.getaddrinfo = socket.create_connection = socket.gethostbyname = refused
sys.argv = ["gudgeon", *sys.argv[1:]]
from gudgeon.cli import main
main()
"""


def run(home, *arguments):
    ran = subprocess.run([sys.executable, "-c", BLOCK, *map(str, arguments), "--record", home / "r"], capture_output=True, text=True)
    assert ran.returncode == 0, ran.stderr
    assert "socket" not in ran.stderr
    return ran.stdout


def test_text_in_record_out(home):
    (home / "n.txt").write_text("gearbox lid bolts at 24 newton metres\nis the sump plug twenty five?\n")
    assert "24 N·m" in run(home, "take", home / "n.txt")
    assert "gearbox lid" in run(home, "find", "gearbx")
    assert "sump plug" in run(home, "open")
    for folder, _, files in os.walk(home / "r"):
        assert stat.S_IMODE(os.stat(folder).st_mode) & 0o077 == 0
        assert all(stat.S_IMODE(os.stat(os.path.join(folder, name)).st_mode) & 0o077 == 0 for name in files)


@pytest.mark.slow
def test_sound_in_record_out(home, repository):
    from gudgeon.audio import cut, write_wav

    write_wav(home / "bench.wav", cut(repository / "sample_audio" / "orchard_session.flac", 0.0, 12.0))
    assert "cylinder head" in run(home, "take", home / "bench.wav")
    for folder, _, files in os.walk(home / "r"):
        assert stat.S_IMODE(os.stat(folder).st_mode) & 0o077 == 0
        assert all(stat.S_IMODE(os.stat(os.path.join(folder, name)).st_mode) & 0o077 == 0 for name in files)
