"""Every kind of recording becomes the same 16 kHz mono sound; what cannot is refused in plain words."""

import os
import wave
from datetime import UTC, datetime

import numpy as np
import pytest

from gudgeon.audio import decode, probe
from gudgeon.domain import MissingThing, SoundUnreadable

KINDS = ["wav", "flac", "mp3", "m4a", "ogg", "mp4", "mkv", "mov"]


def whole(path, **how):
    return np.concatenate(list(decode(path, **how)))


def strongest_hertz(sound: np.ndarray) -> float:
    middle = sound[len(sound) // 4 : -len(sound) // 4]
    return float(np.argmax(np.abs(np.fft.rfft(middle))) * 16_000 / len(middle))


@pytest.mark.parametrize("channels", [1, 2])
@pytest.mark.parametrize("kind", KINDS)
def test_every_kind_gives_the_same_tone(kind, channels, make_file, make_tone):
    rate = 48_000 if kind in ("ogg", "mkv", "mov") else 44_100
    path = make_file(f"a tone at 10:30, 100%.{kind}", make_tone(3, rate), rate=rate, channels=channels)
    sound = whole(path)
    assert sound.dtype == np.float32
    assert len(sound) / 16_000 == pytest.approx(3, abs=0.1)
    assert strongest_hertz(sound) == pytest.approx(440, abs=2)
    assert np.abs(sound[8_000:-8_000]).max() == pytest.approx(0.4, rel=0.15)


@pytest.mark.parametrize("rate", [8_000, 11_025, 16_000, 22_050, 32_000, 96_000])
def test_any_rate(rate, make_file, make_tone):
    sound = whole(make_file("tone.wav", make_tone(2, rate), rate=rate))
    assert len(sound) == pytest.approx(32_000, abs=40)
    assert strongest_hertz(sound) == pytest.approx(440, abs=2)


def test_six_channels(make_file, make_tone):
    sound = whole(make_file("tone.flac", make_tone(2, 48_000), rate=48_000, channels=6))
    assert strongest_hertz(sound) == pytest.approx(440, abs=2)
    assert np.abs(sound).max() <= 1.0


@pytest.mark.parametrize(("left", "right"), [(1, 0), (0, 1), (1, -1), (1, -0.9)])
def test_a_channel_that_is_silent_or_wired_the_wrong_way_round_silences_nothing(left, right, tmp_path, make_tone):
    tone = make_tone(2)
    pcm = np.rint(np.stack([left * tone, right * tone], axis=1) * 32767).astype("<i2")
    with wave.open(str(tmp_path / "two.wav"), "wb") as out:
        out.setparams((2, 2, 16_000, 0, "NONE", ""))
        out.writeframes(pcm.tobytes())
    assert np.abs(whole(tmp_path / "two.wav")).max() >= 0.19


def test_sixteen_bit_mono_comes_through_unchanged(make_file, make_tone):
    sound = make_tone(1)
    assert np.abs(whole(make_file("same.wav", sound)) - sound).max() < 1 / 16_000


def test_blocks_have_the_length_asked_for(make_file, make_tone):
    blocks = list(decode(make_file("tone.mp3", make_tone(2.3)), block_s=0.25))
    assert {len(block) for block in blocks[:-1]} == {4_000}
    assert 0 < len(blocks[-1]) <= 4_000


def test_silence_is_sound_too(make_file):
    notices = []
    sound = whole(make_file("quiet.flac", np.zeros(32_000, np.float32)), notice=notices.append)
    assert len(sound) == 32_000
    assert not sound.any()
    assert notices == []


def test_first_block_comes_before_the_file_is_read_through(make_file, make_tone):
    blocks = decode(make_file("long.wav", make_tone(600)))
    assert len(next(blocks)) == 8_000
    blocks.close()


def test_a_missing_file(tmp_path):
    with pytest.raises(MissingThing, match=r"There is no file .*gone\.wav"):
        decode(tmp_path / "gone.wav")


def test_a_folder(tmp_path):
    with pytest.raises(SoundUnreadable, match="is a folder"):
        decode(tmp_path)


def test_an_empty_file(tmp_path):
    (tmp_path / "empty.wav").touch()
    with pytest.raises(SoundUnreadable, match="is empty"):
        decode(tmp_path / "empty.wav")


@pytest.mark.parametrize("name", ["letter.wav", "letter.mp3", "letter.mp4", "letter", "list.m3u8"])
@pytest.mark.parametrize(
    "content", [b"Dear all, the tractor is nearly done.\n" * 400, bytes(range(256)) * 300, b"#EXTM3U\nhttp://example.org/a.ts\n"]
)
def test_a_file_that_is_no_recording(name, content, tmp_path):
    (tmp_path / name).write_bytes(content)
    with pytest.raises(SoundUnreadable) as refused:
        whole(tmp_path / name)
    assert refused.value.kept and refused.value.next_step


def test_a_video_without_a_sound_track(make_file, make_tone):
    path = make_file("mute.mp4", make_tone(1), audio=False)
    for way in (decode, probe):
        with pytest.raises(SoundUnreadable, match="has no sound track"):
            way(path)


@pytest.mark.skipif(os.geteuid() == 0, reason="root may read everything")
def test_a_file_that_may_not_be_read(make_file, make_tone):
    path = make_file("mine.wav", make_tone(1))
    path.chmod(0)
    with pytest.raises(SoundUnreadable, match="may not be read"):
        decode(path)


@pytest.mark.parametrize("kind", ["wav", "flac", "mp3", "ogg", "mkv"])
def test_a_file_cut_off_gives_what_is_there_and_says_so(kind, make_file, make_tone):
    path = make_file(f"cut.{kind}", make_tone(20, 48_000), rate=48_000)
    content = path.read_bytes()
    path.write_bytes(content[: len(content) // 2])
    notices = []
    seconds = len(whole(path, notice=notices.append)) / 16_000
    assert seconds == pytest.approx(10, abs=1.5)
    if kind != "ogg":  # an Ogg file states its length only at its end
        assert len(notices) == 1
        assert "kept" in notices[0]


def test_a_phone_video_cut_off_before_its_index_is_refused(make_file, make_tone):
    path = make_file("cut.mp4", make_tone(20))
    content = path.read_bytes()
    path.write_bytes(content[: len(content) // 2])
    with pytest.raises(SoundUnreadable, match="cut off before its index"):
        decode(path)


def test_a_video_with_its_index_first_gives_what_is_there(make_file, make_tone):
    path = make_file("cut.mp4", make_tone(20), options={"movflags": "faststart"})
    content = path.read_bytes()
    path.write_bytes(content[: len(content) * 3 // 4])
    notices = []
    assert 1 < len(whole(path, notice=notices.append)) / 16_000 < 20
    assert len(notices) == 1


@pytest.mark.parametrize(("kind", "in_place"), [("flac", True), ("ogg", True), ("mkv", True), ("m4a", True), ("mp3", False)])
def test_a_damaged_stretch_is_passed_over_and_what_follows_stays_in_its_place(kind, in_place, make_file, make_tone):
    """A tone that changes at 12 s, the file damaged around 8 s; MP3 has no times of its own to go by."""
    path = make_file(f"scratched.{kind}", np.concatenate([make_tone(12, 48_000), make_tone(8, 48_000, 1_500.0)]), rate=48_000)
    content = bytearray(path.read_bytes())
    for at in range(round(0.35 * len(content)), round(0.42 * len(content))):
        content[at] = (content[at] * 7 + 3) % 256
    path.write_bytes(bytes(content))
    notices = []
    sound = whole(path, notice=notices.append)
    assert len(notices) == 1
    assert "could not be read" in notices[0] and "kept" in notices[0]
    if in_place:
        assert len(sound) / 16_000 == pytest.approx(20, abs=0.1)
        assert strongest_hertz(sound[round(11.0 * 16_000) : round(11.9 * 16_000)]) == pytest.approx(440, abs=5)
        assert strongest_hertz(sound[round(12.1 * 16_000) : round(13.0 * 16_000)]) == pytest.approx(1_500, abs=5)
    else:
        assert 17 < len(sound) / 16_000 < 20


def test_probe_says_length_kind_and_shape(make_file, make_tone):
    recording = probe(make_file("tone.mkv", make_tone(4, 48_000), rate=48_000, channels=2))
    assert recording.seconds == pytest.approx(4, abs=0.1)
    assert (recording.container, recording.rate, recording.channels, recording.video) == ("matroska", 48_000, 2, True)
    assert recording.created is None


def test_probe_finds_the_date_a_phone_wrote(make_file, make_tone):
    path = make_file("phone.m4a", make_tone(1), metadata={"creation_time": "2024-05-04T09:30:00Z"})
    assert probe(path).created == datetime(2024, 5, 4, 9, 30, tzinfo=UTC)


@pytest.mark.parametrize("said", ["1904-01-01T00:00:00Z", "1970-01-01T00:00:00Z"])
def test_a_clock_that_was_never_set_is_no_date(said, make_file, make_tone):
    assert probe(make_file("phone.mkv", make_tone(1), metadata={"creation_time": said})).created is None
