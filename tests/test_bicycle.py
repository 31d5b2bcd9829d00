"""The second sample as sound: synthetic voices read its talk, the recogniser hears it, and nothing is recorded that was not said."""

import subprocess
import sys
from pathlib import Path

import pytest

HERE = Path(__file__).parent
sys.path.append(str(HERE)) if str(HERE) not in sys.path else None

import examples  # noqa: E402 - beside this file

SAMPLE = HERE.parent / "sample_audio"
SAID = {"first": {38.0, 9.0, 5.0, 35.0, 6.0}, "second": {30.0, 5.0, 12.0}}
"""Every torque that the two texts say and do not take back, in newton metres."""


@pytest.mark.slow
@pytest.mark.needs("flite")
@pytest.mark.parametrize("which", ["first", "second"])
def test_no_torque_is_recorded_that_was_not_said(which: str, tmp_path: Path) -> None:
    from gudgeon import Record

    with examples.Bench(tmp_path) as bench:
        make = [sys.executable, str(SAMPLE / "make_sample.py"), f"sample_audio/bicycle_{which}.txt", f"{which}.flac"]
        subprocess.run(make, check=True, capture_output=True, cwd=bench.folder)
        bench.run('gudgeon spec load sample_audio/bicycle_spec.csv --job "delivery bicycle"')
        bench.run(f"gudgeon take {which}.flac --at 2026-05-02T09:30")
        assert bench.status == 0
        with Record.open(tmp_path / "record") as record:
            torques = [torque for entry in record.entries(1) for torque in entry.entry.torques]
            sizes = {(size.value, size.unit) for entry in record.entries(1) for size in entry.entry.measures}
            questions = [item.item.text for item in record.items(kind="question")]
    assert len(torques) >= 3
    for torque in torques:
        assert {torque.value, *(other.value for other in torque.heard)} & SAID[which], torque
    assert ((18.0, "mm") if which == "first" else (10.0, "mm")) in sizes
    assert len(questions) == (1 if which == "first" else 0)
