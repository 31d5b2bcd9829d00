"""Endurance: one hour of mixed speech, noise and silence through the whole live way as fast as it reads, and the sound against the clock."""

import json
import subprocess
import sys

import pytest


@pytest.mark.parametrize(("slower", "drift"), [(0.0, 0.0), (0.001, 54.0), (-0.001, -54.0)])
def test_drift_is_told_from_blocks_that_only_come_late(repository, slower, drift):
    """A minute in which the sound runs a thousandth slower or faster than the clock, behind lateness that comes and goes: 0.001 · 54 s."""
    sys.path.insert(0, str(repository / "benchmarks"))
    from drift import drift_ms

    sys.path.pop(0)
    blocks = [(n / 10, 0.05 * (n % 7) + slower * n / 10) for n in range(1, 601)]
    assert drift_ms(blocks) == pytest.approx(drift, abs=3.0)


@pytest.mark.slow
@pytest.mark.needs("flite", "espeak-ng", "sox")
@pytest.mark.timeout(1800)
def test_an_hour_loses_nothing_and_memory_stays(repository, tmp_path):
    out = tmp_path / "soak.md"
    command = [sys.executable, repository / "benchmarks" / "soak.py", "--hours", "1", "--pace", "0", "--out", out]
    ran = subprocess.run(command, capture_output=True, text=True)
    rows = dict(line.strip("| ").split(" | ") for line in out.read_text().splitlines() if line.startswith("| ") and " | " in line)
    assert ran.returncode == 0, ran.stdout[-3000:] + ran.stderr[-1000:]
    assert (rows["kept as fed"], rows["phrases in no note"], rows["notes where nothing was said"]) == ("True", "0", "0")
    assert float(rows["memory growth"]) < 0.05


@pytest.mark.slow
@pytest.mark.needs("pulseaudio", "paplay", "pactl")
def test_a_minute_at_the_microphone_keeps_time_with_the_clock(repository):
    command = [sys.executable, repository / "benchmarks" / "drift.py", "--minutes", "1"]
    ran = subprocess.run(command, capture_output=True, text=True)
    assert ran.returncode == 0, ran.stdout + ran.stderr
    found = json.loads(ran.stdout)
    assert abs(found["drift_ms"]) <= 50 and found["overruns"] == 0 and found["sound_s"] > 50
