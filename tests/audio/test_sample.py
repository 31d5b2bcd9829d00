"""The sample session: its sound, its script and its spec sheet belong together."""

import csv
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

from gudgeon.audio import decode, probe, speech_clips

SAMPLE = Path(__file__).resolve().parents[2] / "sample_audio"
SOUND = SAMPLE / "orchard_session.flac"
SCRIPT = (SAMPLE / "orchard_session.txt").read_text(encoding="utf-8").splitlines()


def test_it_lasts_as_long_as_it_should_and_is_small():
    assert 90 <= probe(SOUND).seconds <= 150
    assert SOUND.stat().st_size < 1_500_000


def test_it_says_everything_that_a_session_may_hold():
    text = "\n".join(SCRIPT).lower()
    for words in ("newton metres", "foot pounds", "inch pounds", "degrees", "first pass", "second pass", "eight", "no wait"):
        assert words in text
    for words in ("guessing", "what is the torque", "stripped", "buy", "forty jars"):
        assert words in text


def test_the_gate_gives_one_clip_a_line():
    assert len(list(speech_clips(decode(SOUND)))) == len(SCRIPT)


def test_the_spec_sheet_has_torque_rows_and_size_rows():
    rows = list(csv.reader((SAMPLE / "orchard_spec.csv").read_text(encoding="utf-8").splitlines()))
    headers = [at for at, row in enumerate(rows) if row[0] == "part"]
    assert len(headers) == 2
    torques, sizes = rows[1 : headers[1]], rows[headers[1] + 1 :]
    assert {row[rows[0].index("unit")] for row in torques} == {"N*m", "lbf*ft", "lbf*in"}
    assert all(len(row) == len(rows[0]) for row in torques)
    assert len(sizes) >= 3 and all(len(row) == len(rows[headers[1]]) for row in sizes)


@pytest.mark.slow
@pytest.mark.skipif(not (shutil.which("flite") and shutil.which("espeak-ng")), reason="needs Debian's flite and espeak-ng")
def test_the_script_makes_this_very_sound(tmp_path):
    for name in ("make_sample.py", "orchard_session.txt"):
        shutil.copy(SAMPLE / name, tmp_path)
    subprocess.run([sys.executable, tmp_path / "make_sample.py"], check=True, capture_output=True)
    made, kept = (list(decode(folder / SOUND.name)) for folder in (tmp_path, SAMPLE))
    assert len(made) == len(kept)
    assert all(abs(a - b).max() < 0.01 for a, b in zip(made, kept, strict=True))
