"""Sound that streams through is on disk within a tenth of a second, and any stretch of it can be read back exactly."""

import os
import signal
import subprocess
import sys
import time
from textwrap import dedent

import numpy as np
import pytest

from gudgeon.audio import Keeper, cut, decode, kept_seconds, write_flac, write_wav
from gudgeon.domain import BadInput, Failure, MissingThing

NEAR = 1 / 16_000  # half a 16-bit step, and a bit


def sound_of(seconds: float) -> np.ndarray:
    return (0.1 * np.random.default_rng(7).standard_normal(round(seconds * 16_000))).clip(-1, 1).astype(np.float32)


def keep(folder, sound, *, block=5_000, **how):
    with Keeper(folder, **how) as keeper:
        for i in range(0, len(sound), block):
            keeper.add(sound[i : i + block])


def test_blocks_pass_through_unchanged(tmp_path):
    blocks = [sound_of(0.5), sound_of(0.3)]
    with Keeper(tmp_path / "s") as keeper:
        passed = list(keeper.through(blocks))
        assert keeper.seconds == pytest.approx(0.8)
    assert all(a is b for a, b in zip(blocks, passed, strict=True))


def test_segments_are_named_by_their_first_sample(tmp_path):
    keep(tmp_path, sound_of(7), segment_s=3.0)
    assert sorted(p.name for p in tmp_path.iterdir()) == ["0000000000.flac", "0000048000.flac", "0000096000.flac"]
    assert kept_seconds(tmp_path) == 7


@pytest.mark.parametrize(("start", "end"), [(0, 7), (0, 0.001), (2.9, 3.1), (3, 6), (1.23456, 6.54321), (6.9, 7)])
def test_a_stretch_is_read_back_exactly(start, end, tmp_path):
    sound = sound_of(7)
    keep(tmp_path, sound, segment_s=3.0)
    part = cut(tmp_path, start, end)
    expected = sound[round(start * 16_000) : round(end * 16_000)]
    assert len(part) == len(expected)
    assert np.abs(part - expected).max() < NEAR


def test_a_stretch_past_the_end_is_shorter(tmp_path):
    keep(tmp_path, sound_of(2))
    assert len(cut(tmp_path, 1.5, 9)) == 8_000


def test_a_stretch_of_a_plain_recording(tmp_path):
    sound = sound_of(3)
    write_wav(tmp_path / "a.wav", sound)
    write_flac(tmp_path / "a.flac", sound)
    for name in ("a.wav", "a.flac"):
        assert np.abs(cut(tmp_path / name, 1, 2) - sound[16_000:32_000]).max() < NEAR


def test_a_stretch_that_is_not_there(tmp_path):
    keep(tmp_path, sound_of(1))
    with pytest.raises(MissingThing, match="words are kept"):
        cut(tmp_path, 5, 6)
    with pytest.raises(MissingThing):
        cut(tmp_path / "gone", 0, 1)
    with pytest.raises(BadInput):
        cut(tmp_path, 2, 2)


def test_a_segment_that_is_gone_reads_as_silence(tmp_path):
    sound = sound_of(7)
    keep(tmp_path, sound, segment_s=3.0)
    (tmp_path / "0000048000.flac").unlink()
    part = cut(tmp_path, 2, 7)
    assert len(part) == 5 * 16_000
    assert not part[16_000 : 4 * 16_000].any()
    assert np.abs(part[4 * 16_000 :] - sound[6 * 16_000 :]).max() < NEAR


def test_loud_sound_is_clipped_not_wrapped(tmp_path):
    write_flac(tmp_path / "loud.flac", np.array([2.0, -2.0] * 800, np.float32))
    back = np.concatenate(list(decode(tmp_path / "loud.flac")))
    assert back[0] > 0.99 and back[1] < -0.99


def test_a_keeper_carries_on_where_the_sound_ends(tmp_path):
    sound = sound_of(5)
    keep(tmp_path, sound[:32_000])
    with Keeper(tmp_path) as keeper:
        assert keeper.seconds == 2
        keeper.add(sound[32_000:])
    assert np.abs(cut(tmp_path, 0, 5) - sound).max() < NEAR


@pytest.mark.parametrize(("durable", "least"), [(True, 5), (False, 0)])
def test_each_second_is_forced_to_the_disk_when_asked(durable, least, tmp_path, monkeypatch):
    forced = []
    monkeypatch.setattr(os, "fsync", lambda handle: forced.append(os.fstat(handle).st_size))
    keep(tmp_path, sound_of(5.5), block=1_600, segment_s=3.0, durable=durable)
    assert len(forced) == least
    assert all(forced)


def test_only_the_owner_may_read_it(tmp_path):
    keep(tmp_path / "s", sound_of(1))
    assert (tmp_path / "s").stat().st_mode & 0o77 == 0
    assert all(p.stat().st_mode & 0o77 == 0 for p in (tmp_path / "s").iterdir())


def test_a_folder_that_cannot_be_made(tmp_path):
    (tmp_path / "file").touch()
    with pytest.raises(Failure, match="cannot be made"):
        Keeper(tmp_path / "file" / "sound")


@pytest.mark.skipif(not os.path.exists("/dev/full"), reason="needs /dev/full")
def test_a_full_disk_is_said_plainly(tmp_path):
    (tmp_path / "0000000000.flac").symlink_to("/dev/full")
    with pytest.raises(Failure, match="could not be written"):
        write_flac(tmp_path / "0000000000.flac", sound_of(3))


WRITER = """
    import sys, time
    import numpy as np
    from gudgeon.audio import Keeper
    sound = (0.1 * np.random.default_rng(7).standard_normal(60 * 16_000)).clip(-1, 1).astype(np.float32)
    keeper = Keeper(sys.argv[1], segment_s=1.5)
    begun = time.monotonic()
    for i in range(0, len(sound), 1_600):
        keeper.add(sound[i : i + 1_600])
        print(i + 1_600, flush=True)
        time.sleep(max(0.0, begun + i / 160_000 - time.monotonic()))
"""


@pytest.mark.slow
@pytest.mark.parametrize("after", [0.05, 0.17, 0.31, 0.5, 0.77])
def test_a_kill_loses_less_than_the_last_second(after, tmp_path):
    """A process that writes at ten times real time is killed; everything but the frame under way can be read back, and carried on."""
    writer = subprocess.Popen([sys.executable, "-c", dedent(WRITER), str(tmp_path)], stdout=subprocess.PIPE, text=True)
    assert writer.stdout and writer.stdout.readline()
    time.sleep(after)
    writer.send_signal(signal.SIGKILL)
    told = [line for line in writer.communicate()[0].split() if line.isdigit()]
    given = int(told[-1]) if told else 1_600
    kept = kept_seconds(tmp_path)
    assert given / 16_000 - 0.2 <= kept <= given / 16_000 + 0.11
    sound = sound_of(60)
    assert np.abs(cut(tmp_path, 0, kept) - sound[: round(kept * 16_000)]).max() < NEAR
    with Keeper(tmp_path, segment_s=1.5) as keeper:
        keeper.add(sound[round(keeper.seconds * 16_000) : 64_000 + round(kept * 16_000)])
    assert np.abs(cut(tmp_path, 0, kept + 4) - sound[: round((kept + 4) * 16_000)]).max() < NEAR
