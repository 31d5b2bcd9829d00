"""A computer whose only microphone hears what is played into PulseAudio's null sink: a sound server of its own, away from the user's."""

from __future__ import annotations

import os
import subprocess
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path

PROGRAMS = ("pulseaudio", "paplay", "pactl")


@contextmanager
def bench_sink(home: Path) -> Iterator[dict[str, str]]:
    """The environment in which programs see that microphone; ``home`` is a new folder for the server's files."""
    home.mkdir(mode=0o700)
    (home / ".asoundrc").write_text("pcm.!default { type pulse }\nctl.!default { type pulse }\n")
    env = os.environ | {"HOME": str(home), "XDG_RUNTIME_DIR": str(home), "PULSE_RUNTIME_PATH": f"{home}/pulse", "PULSE_SERVER": f"unix:{home}/native"}
    env |= {"XDG_CACHE_HOME": os.environ.get("XDG_CACHE_HOME", os.path.expanduser("~/.cache"))}
    modules = ["module-null-sink sink_name=bench", f"module-native-protocol-unix socket={home}/native auth-anonymous=1"]
    loads = [part for module in modules for part in ("-L", module)]
    with (home / "log").open("w") as log:
        command = ["pulseaudio", "--daemonize=no", "--system=false", "--exit-idle-time=-1", "-n", *loads]
        server = subprocess.Popen(command, env=env, stdout=log, stderr=log)
        try:
            wait_for(lambda: subprocess.run(["pactl", "info"], env=env, capture_output=True).returncode == 0, "PulseAudio did not start")
            subprocess.run(["pactl", "set-default-source", "bench.monitor"], env=env, check=True)
            yield env
        finally:
            server.terminate()
            server.wait(10)


def wait_for(done: Callable[[], object], why: str | Callable[[], str], seconds: float = 90) -> None:
    """Waits until something is so. Raises AssertionError, with ``why`` (as it is by then), when it takes too long."""
    until = time.monotonic() + seconds
    while not done():
        if time.monotonic() > until:
            raise AssertionError(why if isinstance(why, str) else why())
        time.sleep(0.2)
