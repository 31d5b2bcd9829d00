"""Opens a recording or video and finds its sound track, or says in plain words why that cannot be done."""

from __future__ import annotations

from pathlib import Path

import av
from av.audio.stream import AudioStream
from av.container import InputContainer

from gudgeon.domain import MissingThing, SoundUnreadable

# Only kinds that hold sound, and only from disk: a playlist must not reach for other files or the network.
_KINDS = "aac,ac3,aiff,amr,asf,au,avi,caf,flac,flv,matroska,webm,mov,mp3,mpeg,mpegts,ogg,w64,wav,wv"
_OPTIONS = {"protocol_whitelist": "file", "format_whitelist": _KINDS}
_LEFT_ALONE = "Nothing was kept from it, and the file was left as it is."
_WHAT_CAN = "Recordings can be wav, flac, mp3, m4a or ogg, videos mp4, mov or mkv."


def open_sound(path: Path) -> tuple[InputContainer, AudioStream]:
    """The opened file and its first sound track; the caller closes the container.

    Raises MissingThing when there is no such file, SoundUnreadable when it is empty, no recording, or has no sound track.
    """
    _refuse_hopeless(path)
    try:
        container = av.open(f"file:{path}", options=dict(_OPTIONS), metadata_errors="replace")
    except PermissionError as refused:
        raise SoundUnreadable(f"{path} may not be read by you.", kept=_LEFT_ALONE, next_step="Give yourself the right to read it.") from refused
    except (av.error.FFmpegError, OSError, ValueError) as broken:
        raise SoundUnreadable(
            f"{path} is no recording or video that can be read, or it was cut off before its index was written.",
            kept=_LEFT_ALONE,
            next_step=f"{_WHAT_CAN} If it plays elsewhere, save it there as one of these.",
        ) from broken
    tracks = [track for track in container.streams.audio if track.codec_context is not None]
    if tracks:
        return container, tracks[0]
    unknown = " that can be read" if container.streams.audio else ""
    container.close()
    raise SoundUnreadable(f"{path} has no sound track{unknown}.", kept=_LEFT_ALONE, next_step="Choose a file that has sound in it.")


def is_cut_wav(path: Path) -> bool:
    """True for a wav file that is shorter than its header says (the decoder passes over that in silence)."""
    with path.open("rb") as file:
        head = file.read(12)
    stated = int.from_bytes(head[4:8], "little") + 8
    unknown = stated in (8, 0xFFFFFFFF + 8)  # a recorder that streamed it
    return head[:4] == b"RIFF" and head[8:] == b"WAVE" and not unknown and stated > path.stat().st_size + 1


def nothing_decoded(path: Path) -> SoundUnreadable:
    """The error for a file that opens as sound, yet gives none."""
    return SoundUnreadable(f"No sound could be read from {path}: it is damaged or holds something else.", kept=_LEFT_ALONE, next_step=_WHAT_CAN)


def _refuse_hopeless(path: Path) -> None:
    if path.is_dir():
        raise SoundUnreadable(f"{path} is a folder, not a recording.", next_step="Name the files in it.")
    if not path.exists():
        raise MissingThing(f"There is no file {path}.", next_step="Check its name and folder.")
    if path.is_file() and path.stat().st_size == 0:
        raise SoundUnreadable(f"{path} is empty.", kept=_LEFT_ALONE, next_step="Copy it again from where it was recorded.")
