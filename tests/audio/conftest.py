"""Files in every kind of container, made here, and real speech for the gate."""

from importlib.util import find_spec
from pathlib import Path

import av
import numpy as np
import pytest

CODECS = {
    "wav": "pcm_s16le",
    "flac": "flac",
    "mp3": "libmp3lame",
    "m4a": "aac",
    "ogg": "libopus",
    "mp4": "aac",
    "mkv": "libopus",
    "mov": "pcm_s24le",
}
VIDEOS = {"mp4", "mkv", "mov"}
LAYOUTS = {1: "mono", 2: "stereo", 6: "5.1"}


def tone(seconds: float, rate: int = 16_000, hertz: float = 440.0) -> np.ndarray:
    return (0.4 * np.sin(2 * np.pi * hertz * np.arange(round(seconds * rate)) / rate)).astype(np.float32)


def write_file(path: Path, sound: np.ndarray, *, rate: int = 16_000, channels: int = 1, options=None, metadata=None, audio: bool = True) -> Path:
    """Encodes ``sound`` (n,) into the kind of file that the suffix names; videos get a picture track too."""
    kind = path.suffix[1:]
    with av.open(str(path), "w", options=options or {}) as out:
        out.metadata.update(metadata or {})
        video = out.add_stream("mpeg4", rate=10, width=64, height=48, pix_fmt="yuv420p") if kind in VIDEOS else None
        stream = out.add_stream(CODECS[kind], rate=rate, layout=LAYOUTS[channels]) if audio else None
        if video:
            for _ in range(max(1, round(len(sound) / rate * 10))):
                out.mux(video.encode(av.VideoFrame(64, 48, "yuv420p")))
            out.mux(video.encode(None))
        if stream:
            frame = av.AudioFrame.from_ndarray(np.tile(sound, (channels, 1)).astype(np.float32), format="fltp", layout=LAYOUTS[channels])
            frame.sample_rate = rate
            frame.pts = 0
            resampler = av.AudioResampler(format=stream.format.name, layout=stream.layout.name, rate=rate, frame_size=stream.frame_size or 0)
            for part in [*resampler.resample(frame), *resampler.resample(None)]:
                out.mux(stream.encode(part))
            out.mux(stream.encode(None))
    return path


@pytest.fixture
def make_file(tmp_path):
    def make(name: str, sound: np.ndarray, **how) -> Path:
        return write_file(tmp_path / name, sound, **how)

    return make


@pytest.fixture
def make_tone():
    return tone


@pytest.fixture(scope="session")
def human_recording() -> Path:
    """44 s of a person reading, 48 kHz."""
    spec = find_spec("moonshine_voice")
    assert spec and spec.origin
    return Path(spec.origin).parent / "assets" / "two_cities.wav"
