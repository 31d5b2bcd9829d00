"""Text files: bytes in any usual encoding to text, and text with or without times to notes."""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path

from gudgeon.domain import BadInput, MissingThing, Note

TEXT_KINDS = (".txt", ".srt", ".vtt")
MARKS = ((b"\xef\xbb\xbf", "utf-8-sig"), (b"\xff\xfe", "utf-16"), (b"\xfe\xff", "utf-16"))
CLOCK = r"(?:(\d+):)?(\d{1,2}):(\d{2})(?:[.,](\d{1,3}))?"
CUE = re.compile(rf"{CLOCK}\s*-->\s*{CLOCK}")
BRACKETED = re.compile(rf"\s*\[\s*{CLOCK}\s*\]\s*(.*)")
LEADING = re.compile(rf"\s*{CLOCK}\s+(.*)")
TAG = re.compile(r"<[^<>]*>|\{\\[^{}]*\}")


def read_text(path: Path) -> str:
    """The text of a file in UTF-8, UTF-16 or the old western encoding, with or without a byte-order mark. Raises MissingThing, BadInput."""
    if path.is_dir():
        raise BadInput(f"{path} is a folder.", next_step="Name a file in it.")
    try:
        raw = path.read_bytes()
    except FileNotFoundError as error:
        raise MissingThing(f"There is no file {path}.", kept="Nothing was stored.", next_step="Check the name.") from error
    except OSError as error:
        raise MissingThing(
            f"The file {path} cannot be read: {error.strerror}.", kept="Nothing was stored.", next_step="Check who may read it."
        ) from error
    return decode_text(raw, str(path))


def decode_text(raw: bytes, name: str) -> str:
    """Bytes as text. Raises BadInput when they are no text."""
    encoding = next((encoding for mark, encoding in MARKS if raw.startswith(mark)), None) or _guess(raw)
    try:
        text = raw.decode(encoding)
    except UnicodeDecodeError:
        text = raw.decode("cp1252", errors="replace")
    if "\0" in text:
        raise BadInput(f"{name} is no text file.", kept="Nothing was stored.", next_step="Save it as plain text (UTF-8) or CSV.")
    return text.replace("\r\n", "\n").replace("\r", "\n")


def _guess(raw: bytes) -> str:
    """UTF-16 without its mark has a zero in every other byte; anything else is tried as UTF-8."""
    head = raw[:400]
    if len(head) >= 4 and head[1::2].count(0) > len(head) // 5 and head[0::2].count(0) == 0:
        return "utf-16-le"
    if len(head) >= 4 and head[0::2].count(0) > len(head) // 5 and head[1::2].count(0) == 0:
        return "utf-16-be"
    return "utf-8"


def notes_of(text: str, kind: str) -> tuple[Note, ...]:
    """The notes of a text: one a cue of ``.srt`` and ``.vtt``, one a line of ``.txt`` (with times when its lines begin with them)."""
    return tuple(_cues(text) if kind in (".srt", ".vtt") else _lines(text))


def _cues(text: str) -> Iterator[Note]:
    for block in re.split(r"\n\s*\n", text):
        lines = block.strip().split("\n")
        for at, line in enumerate(lines):
            times = CUE.search(line)
            if times:
                said = " ".join(" ".join(TAG.sub("", spoken) for spoken in lines[at + 1 :]).split())
                if said:
                    yield Note(text=said, start=_seconds(times.groups()[:4]), end=_seconds(times.groups()[4:]))
                break


def _lines(text: str) -> Iterator[Note]:
    lines = [line for line in text.split("\n") if line.strip()]
    pattern = next((p for p in (BRACKETED, LEADING) if lines and all(p.fullmatch(line) for line in lines)), None)
    if pattern is None:
        yield from (Note(text=" ".join(line.split())) for line in lines)
        return
    found = [match.groups() for line in lines if (match := pattern.fullmatch(line))]
    starts = [_seconds(cells[:4]) for cells in found]
    for cells, start, end in zip(found, starts, [*starts[1:], None], strict=True):
        if cells[4].strip():
            yield Note(text=" ".join(cells[4].split()), start=start, end=end if end is not None and end >= start else None)


def _seconds(clock: tuple[str | None, ...]) -> float:
    hours, minutes, seconds, fraction = clock
    return int(hours or 0) * 3600 + int(minutes or 0) * 60 + int(seconds or 0) + int((fraction or "0").ljust(3, "0")) / 1000
