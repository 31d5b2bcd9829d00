"""Small pictures made with FFmpeg's encoders, and Exif data laid out as CIPA DC-008 has it. Not a test itself."""

import struct
import zlib
from fractions import Fraction
from io import BytesIO

import av
import numpy as np

PLACE = b"GPS 59.3293 N 18.0686 E"
CODECS = {"jpeg": ("mjpeg", "yuvj444p"), "png": ("png", "rgb24"), "webp": ("libwebp", "yuv420p")}


def encoded(form, shade=0):
    codec, layout = CODECS[form]
    context = av.CodecContext.create(codec, "w")
    context.width, context.height, context.pix_fmt, context.time_base = 64, 48, layout, Fraction(1, 1)
    y, x = np.mgrid[0:48, 0:64]
    frame = av.VideoFrame.from_ndarray(np.dstack([x * 4, y * 5, x + y + shade]).astype(np.uint8), "rgb24").reformat(format=layout)
    return b"".join(bytes(packet) for packet in (*context.encode(frame), *context.encode(None)))


def photo(form, width, height):
    """A picture with much in it: blocks of every colour with grain, so that it is heavy."""
    codec, layout = CODECS[form]
    context = av.CodecContext.create(codec, "w")
    context.width, context.height, context.pix_fmt, context.time_base = width, height, layout, Fraction(1, 1)
    luck = np.random.default_rng(1)
    blocks = luck.integers(0, 230, (height // 20, width // 20, 3), dtype=np.uint8).repeat(20, 0).repeat(20, 1)
    frame = av.VideoFrame.from_ndarray(blocks + luck.integers(0, 25, blocks.shape, dtype=np.uint8), "rgb24").reformat(format=layout)
    return b"".join(bytes(packet) for packet in (*context.encode(frame), *context.encode(None)))


def pixels(data):
    """The picture as FFmpeg decodes it."""
    with av.open(BytesIO(data)) as container:
        return next(container.decode(video=0)).to_ndarray(format="rgb24")


def exif(way_up, order=">"):
    """A first directory with the orientation and a pointer to a GPS directory that holds a place."""
    mark = b"MM" if order == ">" else b"II"
    first = struct.pack(order + "H", 2) + struct.pack(order + "HHIHH", 0x0112, 3, 1, way_up, 0) + struct.pack(order + "HHII", 0x8825, 4, 1, 38)
    second = struct.pack(order + "H", 1) + struct.pack(order + "HHII", 27, 7, len(PLACE), 56) + struct.pack(order + "I", 0)
    return mark + struct.pack(order + "HI", 42, 8) + first + struct.pack(order + "I", 0) + second + PLACE


def with_place(form, way_up=6, order=">", shade=0):
    """A picture that says where it was taken, in every way its form has."""
    data = encoded(form, shade)
    return {"jpeg": _jpeg, "png": _png, "webp": _webp}[form](data, exif(way_up, order))


def _jpeg(data, told):
    def segment(code, body):
        return struct.pack(">BBH", 0xFF, code, len(body) + 2) + body

    xmp = segment(0xE1, b"http://ns.adobe.com/xap/1.0/\0" + PLACE)
    return data[:2] + segment(0xE1, b"Exif\0\0" + told) + xmp + segment(0xED, PLACE) + segment(0xFE, PLACE) + data[2:] + b"a film: " + PLACE


def _png(data, told):
    def chunk(kind, body):
        return struct.pack(">I", len(body)) + kind + body + struct.pack(">I", zlib.crc32(kind + body))

    return data[:33] + chunk(b"eXIf", told) + chunk(b"tEXt", b"Comment\0" + PLACE) + data[33:]


def _webp(data, told):
    def chunk(kind, body):
        return kind + struct.pack("<I", len(body)) + body + b"\0" * (len(body) % 2)

    head = chunk(b"VP8X", struct.pack("<I", 0x0C) + (63).to_bytes(3, "little") + (47).to_bytes(3, "little"))
    body = b"WEBP" + head + data[12:] + chunk(b"EXIF", told) + chunk(b"XMP ", PLACE)
    return b"RIFF" + struct.pack("<I", len(body)) + body
