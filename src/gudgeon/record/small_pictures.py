"""A picture made small enough to be shown in a list: a JPEG of a bounded size, the same way up, with nothing else said in it."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

from gudgeon.domain import BadInput
from gudgeon.record.picture_files import bare, way_up_of, with_way_up

LIGHT = 40_000
"""A picture of so many bytes is shown as it is."""
MOST_PIXELS = 60_000_000
"""A picture of more is not opened here: its pixels alone would take a quarter of a gigabyte."""
DECODERS = {"jpeg": "mjpeg", "png": "png", "webp": "webp"}
QUALITIES = ("6", "10", "16", "31")
"""FFmpeg's quantisers of the small JPEG, 2 (best) to 31; the first that makes it light is taken, else the last."""


def small(data: bytes, form: str, most: int) -> bytes:
    """A JPEG (or the picture itself when it is light) whose longer side has at most ``most`` pixels. Raises BadInput when it cannot be opened."""
    import av  # noqa: PLC0415 - slow to load, and only pictures need it

    given = bare(data, form)
    if len(given) <= LIGHT:
        return given
    try:
        reader: Any = av.CodecContext.create(DECODERS[form], "r")
        reader.options = {"max_pixels": str(MOST_PIXELS)}
        frames = [*reader.decode(av.Packet(given)), *reader.decode(None)]
        frame = frames[0]
        share = min(1.0, most / max(frame.width, frame.height))
        width, height = (max(2, round(side * share / 2) * 2) for side in (frame.width, frame.height))
        frame = frame.reformat(width=width, height=height, format="yuvj420p")
        made = b""
        for quality in QUALITIES:
            made = _jpeg(frame, quality)
            if len(made) <= LIGHT:
                break
    except (av.FFmpegError, IndexError, ValueError, MemoryError) as error:
        raise BadInput("This picture cannot be opened here.", kept="It is kept as it came.", next_step="Open the file itself.") from error
    return with_way_up(bare(made, "jpeg"), way_up_of(given, form))


def _jpeg(frame: Any, quality: str) -> bytes:
    import av  # noqa: PLC0415 - see above

    writer = av.CodecContext.create("mjpeg", "w")
    writer.width, writer.height, writer.pix_fmt, writer.time_base = frame.width, frame.height, "yuvj420p", Fraction(1, 1)
    writer.options = {"qmin": quality, "qmax": quality}
    frame.pts = 0
    return b"".join(bytes(packet) for packet in (*writer.encode(frame), *writer.encode(None)))
