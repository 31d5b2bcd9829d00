"""Memory and time of decoding and gating a long recording: the sample session repeated until it lasts as long as asked.

    python benchmarks/long_file.py [--hours 3] [--format flac] [--keep]

Decodes and gates short and long in processes of their own and prints the peak memory of each; ``--keep`` writes the sound again as
it streams through, as ``take`` does. Nothing is recognised.
"""

import argparse
import resource
import subprocess
import sys
import tempfile
import time
from pathlib import Path

import av

SAMPLE = Path(__file__).resolve().parents[1] / "sample_audio" / "orchard_session.flac"
CODECS = {"flac": "flac", "mp3": "libmp3lame", "m4a": "aac", "mkv": "libopus", "wav": "pcm_s16le"}


def main() -> None:
    """Prints a line for a short file and one for the long one."""
    asked = argparse.ArgumentParser(description="Memory of a long recording.")
    asked.add_argument("--hours", type=float, default=3.0)
    asked.add_argument("--format", default="flac", choices=sorted(CODECS))
    asked.add_argument("--keep", action="store_true")
    asked.add_argument("--measure", type=Path, help=argparse.SUPPRESS)
    given = asked.parse_args()
    if given.measure:
        measure(given.measure, keep=given.keep)
        return
    with tempfile.TemporaryDirectory() as folder:
        for seconds in (120.0, given.hours * 3600):
            path = Path(folder) / f"{seconds:.0f}.{given.format}"
            repeat(path, seconds)
            subprocess.run([sys.executable, __file__, "--measure", path, *(["--keep"] if given.keep else [])], check=True)
            path.unlink()


def repeat(path: Path, seconds: float) -> None:
    """The sample session again and again, encoded as the suffix says."""
    written = 0
    with av.open(str(path), "w") as out:
        stream = out.add_stream(CODECS[path.suffix[1:]], rate=48_000 if path.suffix == ".mkv" else 16_000, layout="mono")
        into = av.AudioResampler(format=stream.format.name, layout="mono", rate=stream.rate, frame_size=stream.frame_size or 0)
        while written < seconds * 16_000:
            with av.open(str(SAMPLE)) as sample:
                for frame in sample.decode(audio=0):
                    frame.pts = written
                    written += frame.samples
                    for part in into.resample(frame):
                        out.mux(stream.encode(part))
        for part in into.resample(None):
            out.mux(stream.encode(part))
        out.mux(stream.encode(None))


def measure(path: Path, *, keep: bool) -> None:
    """Decodes and gates; prints seconds, clips, time and peak memory."""
    from gudgeon.audio import Keeper, decode, speech_clips

    begun, clips, spoken = time.perf_counter(), 0, 0.0
    with tempfile.TemporaryDirectory() as folder, Keeper(folder) as keeper:
        blocks = decode(path)
        for clip in speech_clips(keeper.through(blocks) if keep else blocks):
            clips, spoken, end = clips + 1, spoken + clip.seconds, clip.end
    took = time.perf_counter() - begun
    peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
    speed = f"{took:.1f} s ({took / end:.4f} of real time)"
    print(f"{end:8.0f} s of {path.suffix[1:]}: {clips} clips, {spoken:.0f} s of speech, {speed}, peak {peak:.0f} MB", flush=True)


if __name__ == "__main__":
    main()
