"""What a picture file is, told by its content, and the same picture without what it says of its place, time and camera.

Sources: JPEG segments, ITU-T T.81 annex B; Exif orientation, CIPA DC-008; PNG chunks, W3C PNG (third edition); WebP chunks, RFC 9649.
"""

from __future__ import annotations

import struct
import zlib
from collections.abc import Iterator

from gudgeon.domain import BadInput

MOST_BYTES = 40_000_000
"""The most that a picture may have."""
ENDINGS = {"jpeg": ".jpg", "png": ".png", "webp": ".webp"}

SOI, EOI, SOS, APP1 = 0xD8, 0xD9, 0xDA, 0xE1
JPEG_KEPT_APPS = {0xE0, 0xE2, 0xEE}
"""Application segments that a picture needs to be shown: JFIF, the colour profile (ICC, in APP2), and how colours are coded (APP14)."""
PNG_KEPT = {b"IHDR", b"PLTE", b"IDAT", b"IEND", b"tRNS", b"cHRM", b"gAMA", b"iCCP", b"sBIT", b"sRGB", b"cICP", b"bKGD", b"pHYs"}
WEBP_KEPT = {b"VP8 ", b"VP8L", b"VP8X", b"ALPH", b"ANIM", b"ANMF", b"ICCP"}
HEIC_BRANDS = {b"heic", b"heix", b"hevc", b"heim", b"heis", b"mif1", b"msf1"}
"""What a HEIF file says of itself at its start (ISO/IEC 23008-12)."""
EXIF_HEAD = b"Exif\0\0"
ORIENTATION = 0x0112


def form_of(data: bytes, name: str) -> str:
    """``jpeg``, ``png`` or ``webp``, by content; ``name`` is for the error. Raises BadInput for anything else, too big, or not whole."""
    if len(data) > MOST_BYTES:
        raise BadInput(
            f"The picture {name} has more than {MOST_BYTES / 1e6:.0f} MB.",
            kept="Nothing was stored.",
            next_step="Save it smaller, then try again.",
        )
    form = _form(data)
    if form is None and data[4:8] == b"ftyp" and data[8:12] in HEIC_BRANDS:
        raise BadInput(
            f"{name} is a HEIC picture, which cannot be kept yet: browsers and printed records cannot show it.",
            kept="Nothing was stored.",
            next_step="Save it as a JPEG (a telephone usually does so itself when it sends a picture through the pages), then try again.",
        )
    if form is None:
        raise BadInput(
            f"{name} is no picture that can be kept: it is neither JPEG, PNG nor WebP.",
            kept="Nothing was stored.",
            next_step="Save it as a JPEG, then try again.",
        )
    try:
        bare(data, form)
    except (ValueError, IndexError, struct.error, zlib.error) as error:
        raise BadInput(f"The picture {name} is not whole.", kept="Nothing was stored.", next_step="Copy it again, then try again.") from error
    return form


def _form(data: bytes) -> str | None:
    if data.startswith(b"\xff\xd8\xff"):
        return "jpeg"
    if data.startswith(b"\x89PNG\r\n\x1a\n"):
        return "png"
    return "webp" if data[:4] == b"RIFF" and data[8:12] == b"WEBP" else None


def bare(data: bytes, form: str) -> bytes:
    """The same picture, pixel for pixel and the same way up, without place, time, camera and texts. Raises ValueError when it is not whole."""
    return {"jpeg": _bare_jpeg, "png": _bare_png, "webp": _bare_webp}[form](data)


def _bare_jpeg(data: bytes) -> bytes:
    """All segments but application data and comments; of the Exif data only which way up. What follows the end of the picture goes too."""
    kept, way_up = [data[:2]], None
    for code, segment in _jpeg_segments(data):
        if code == APP1 and segment[4:].startswith(EXIF_HEAD):
            way_up = way_up or _way_up(segment[4 + len(EXIF_HEAD) :])
        elif (code in JPEG_KEPT_APPS and (code != 0xE2 or segment[4:].startswith(b"ICC_PROFILE\0"))) or (not 0xE0 <= code <= 0xEF and code != 0xFE):
            kept.append(segment)
    if way_up and way_up != 1:
        at = 2 if len(kept) > 1 and kept[1][1] == 0xE0 else 1
        kept.insert(at, _exif_segment(way_up))
    return b"".join(kept)


def _exif_segment(way_up: int) -> bytes:
    exif = EXIF_HEAD + _exif(way_up)
    return struct.pack(">BBH", 0xFF, APP1, len(exif) + 2) + exif


def way_up_of(given: bytes, form: str) -> int:
    """Which way up a picture from ``bare`` says it is, as Exif counts (1 to 8; 1 when it says nothing)."""
    at = given.find(_exif(1)[:16])
    return (_way_up(given[at:]) or 1) if at >= 0 else 1


def with_way_up(jpeg: bytes, way_up: int) -> bytes:
    """A JPEG from ``bare`` that says nothing of it, saying which way up it is."""
    at = 2 + (2 + struct.unpack_from(">H", jpeg, 4)[0] if jpeg[3] == 0xE0 else 0)
    return jpeg if way_up == 1 else jpeg[:at] + _exif_segment(way_up) + jpeg[at:]


def _jpeg_segments(data: bytes) -> Iterator[tuple[int, bytes]]:
    """(code, bytes) of each segment after the start, the coded image with its scan header; the last one is the end of the picture."""
    at = 2
    while True:
        if data[at] != 0xFF:
            raise ValueError(f"byte {at} is no marker")
        while data[at + 1] == 0xFF:  # fill bytes
            at += 1
        code = data[at + 1]
        if code == EOI:
            yield code, data[at : at + 2]
            return
        end = at + 2 + struct.unpack_from(">H", data, at + 2)[0]
        if code == SOS:
            end = _scan_end(data, end)
        if end > len(data):
            raise ValueError("it ends too soon")
        yield code, data[at:end]
        at = end


def _scan_end(data: bytes, at: int) -> int:
    """Where the coded image ends: at a marker that is no escaped byte and no restart."""
    while True:
        at = data.index(b"\xff", at)
        if data[at + 1] != 0 and not 0xD0 <= data[at + 1] <= 0xD7:
            return at
        at += 2


def _way_up(tiff: bytes) -> int | None:
    """The orientation, 1 to 8, from Exif's first directory; None when it says none or cannot be read."""
    order = {b"II": "<", b"MM": ">"}.get(tiff[:2])
    if order is None or len(tiff) < 8:
        return None
    try:
        at = struct.unpack_from(order + "I", tiff, 4)[0]
        for entry in range(struct.unpack_from(order + "H", tiff, at)[0]):
            tag, kind, _, value = struct.unpack_from(order + "HHIH", tiff, at + 2 + 12 * entry)
            if tag == ORIENTATION and kind == 3 and 1 <= value <= 8:
                return int(value)
    except struct.error:
        return None
    return None


def _exif(way_up: int) -> bytes:
    """Exif data that say which way up and nothing else."""
    return struct.pack(">2sHIHHHIHHI", b"MM", 42, 8, 1, ORIENTATION, 3, 1, way_up, 0, 0)


def _bare_png(data: bytes) -> bytes:
    kept, at, kind = [data[:8]], 8, b""
    way_up = None
    while kind != b"IEND":
        length = struct.unpack_from(">I", data, at)[0]
        kind, chunk = data[at + 4 : at + 8], data[at : at + 12 + length]
        if len(chunk) < 12 + length or zlib.crc32(chunk[4:-4]) != struct.unpack(">I", chunk[-4:])[0]:
            raise ValueError(f"a chunk at byte {at} is damaged")
        if kind == b"eXIf":
            way_up = _way_up(chunk[8:-4])
        elif kind in PNG_KEPT:
            kept.append(chunk)
        at += len(chunk)
    if way_up and way_up != 1:
        body = b"eXIf" + _exif(way_up)
        kept.insert(2, struct.pack(">I", len(body) - 4) + body + struct.pack(">I", zlib.crc32(body)))
    return b"".join(kept)


def _bare_webp(data: bytes) -> bytes:
    end = 8 + struct.unpack_from("<I", data, 4)[0]
    if end > len(data):
        raise ValueError("it ends too soon")
    chunks, at, way_up = [], 12, None
    while at + 8 <= end:
        kind, length = data[at : at + 4], struct.unpack_from("<I", data, at + 4)[0]
        chunk = data[at : at + 8 + length + length % 2]
        if len(chunk) < 8 + length:
            raise ValueError(f"a chunk at byte {at} is cut")
        if kind == b"EXIF":
            way_up = _way_up(chunk[8:].removeprefix(EXIF_HEAD))
        elif kind in WEBP_KEPT:
            chunks.append(chunk)
        at += len(chunk)
    if not chunks:
        raise ValueError("it holds no image")
    turned = way_up is not None and way_up != 1
    if chunks[0][:4] == b"VP8X":  # its flags say whether Exif (8) and XMP (4) follow
        chunks[0] = chunks[0][:8] + bytes([chunks[0][8] & ~0x0C | (8 if turned else 0)]) + chunks[0][9:]
        if turned and way_up:
            exif = _exif(way_up)
            chunks.append(b"EXIF" + struct.pack("<I", len(exif)) + exif)
    body = b"WEBP" + b"".join(chunks)
    return b"RIFF" + struct.pack("<I", len(body)) + body
