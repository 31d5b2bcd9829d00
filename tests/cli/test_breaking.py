"""Ctrl-C or a polite kill that comes while a library loses it is heeded a moment later."""

import subprocess
import sys

import pytest

CODE = """
import os, signal, time
from gudgeon.cli.breaking import break_off_when_asked, heed
break_off_when_asked()
heed()
try:
    os.kill(os.getpid(), signal.{name})
    time.sleep(5)
    print("not raised")
except KeyboardInterrupt:
    pass  # as a library does that reads sound
try:
    heed()
    print("forgotten")
except KeyboardInterrupt:
    print("heeded")
"""


@pytest.mark.parametrize("name", ["SIGINT", "SIGTERM"])
def test_what_was_asked_is_not_forgotten(name):
    assert subprocess.run([sys.executable, "-c", CODE.format(name=name)], capture_output=True, text=True, check=True).stdout == "heeded\n"
