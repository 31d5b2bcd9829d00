"""No network at all: the main job runs where the kernel ends who uses the network, and files are the owner's alone."""

import os
import platform
import signal
import stat
import subprocess
import sys

import pytest

CALLS = {"x86_64": (42, 44, 46, 50, 307), "aarch64": (203, 206, 211, 201, 269)}
"""The numbers of the system calls connect, sendto, sendmsg, listen and sendmmsg: without them nothing can be sent, asked for or served.

(Making a socket is let be: spaCy loads a library that looks, by binding to the computer's own address, whether it knows IPv6. Nothing is sent.)
"""
BLOCK = """
import ctypes, struct, sys
calls = [int(number) for number in sys.argv.pop(1).split(",")]
# seccomp(2): load the call's number; is it one of these? then end the process, else allow
tests = [(0x15, len(calls) - at, 0, number) for at, number in enumerate(calls)]
steps = [(0x20, 0, 0, 0), *tests, (0x06, 0, 0, 0x7FFF0000), (0x06, 0, 0, 0x80000000)]
code = ctypes.create_string_buffer(b"".join(struct.pack("HBBI", *step) for step in steps))
program = struct.pack("HxxxxxxQ", len(steps), ctypes.addressof(code))
libc = ctypes.CDLL(None, use_errno=True)
assert libc.prctl(38, 1, 0, 0, 0) == 0
if libc.prctl(22, 2, program, 0, 0) != 0:
    sys.exit(77)
"""
QUIET = ("CI", "ORT_DISABLE_TELEMETRY", "ORT_RUNNING_UNIT_TESTS")
"""With one of these set ONNX Runtime reports nothing by itself: the test is to see what a user's computer would see."""
REST = """
sys.argv = ["gudgeon", *sys.argv[1:]]
from gudgeon.cli import main
main()
"""


def run(home, *arguments, rest=REST):
    """Run the command line where the kernel ends a process that connects, sends or listens, in whatever language that is written."""
    calls = CALLS.get(platform.machine())
    if calls is None:
        pytest.skip(f"the numbers of the calls are not known for {platform.machine()}")
    command = [sys.executable, "-c", BLOCK + rest, ",".join(map(str, calls)), *map(str, arguments), "--record", str(home / "r")]
    ran = subprocess.run(command, capture_output=True, text=True, env={name: value for name, value in os.environ.items() if name not in QUIET})
    if ran.returncode == 77:
        pytest.skip("this kernel takes no seccomp filter")
    return ran


def printed(home, *arguments):
    ran = run(home, *arguments)
    assert ran.returncode == 0, (ran.returncode, ran.stderr)
    return ran.stdout


USES = {
    "connect": "socket.create_connection(('127.0.0.1', 9))",
    "sendto": "socket.socket(socket.AF_INET, socket.SOCK_DGRAM).sendto(b'x', ('127.0.0.1', 9))",
    "sendmsg": "socket.socket(socket.AF_INET, socket.SOCK_DGRAM).sendmsg([b'x'], [], 0, ('127.0.0.1', 9))",
    "listen": "socket.create_server(('127.0.0.1', 0))",
}


@pytest.mark.parametrize("use", USES.values(), ids=USES.keys())
def test_the_kernel_ends_who_uses_the_network(home, use):
    assert run(home, rest=f"import socket; {use}").returncode == -signal.SIGSYS


def test_text_in_record_out(home):
    (home / "n.txt").write_text("gearbox lid bolts at 24 newton metres\nis the sump plug twenty five?\n")
    (home / "s.csv").write_text("part,fastener,torque,unit\ngearbox lid,bolt,24,N*m\n")
    assert "24 N·m" in printed(home, "take", home / "n.txt")
    printed(home, "spec", "load", home / "s.csv")
    assert "gearbox lid" in printed(home, "find", "gearbx")
    assert "sump plug" in printed(home, "open")
    for command in (["brief"], ["check"], ["backup", home / "b.zip"], ["export", "--to", "md"], ["export", "--out", home / "x.jsonl"]):
        printed(home, *command)
    assert_owners_alone(home / "r")


def assert_owners_alone(folder):
    for inner, _, files in os.walk(folder):
        assert stat.S_IMODE(os.stat(inner).st_mode) & 0o077 == 0
        assert all(stat.S_IMODE(os.stat(os.path.join(inner, name)).st_mode) & 0o077 == 0 for name in files)


@pytest.mark.slow
def test_sound_in_record_out(home, repository):
    from gudgeon.audio import cut, write_wav

    write_wav(home / "bench.wav", cut(repository / "sample_audio" / "orchard_session.flac", 0.0, 12.0))
    assert "cylinder head" in printed(home, "take", home / "bench.wav")
    printed(home, "listen", "--from", home / "bench.wav", "--job", "other")
    assert_owners_alone(home / "r")
