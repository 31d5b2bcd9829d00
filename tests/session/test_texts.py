"""Text files as people have them: encodings, subtitles, lines with times."""

import pytest

from gudgeon.domain import BadInput, MissingThing
from gudgeon.session import read_text
from gudgeon.session.texts import notes_of

SAMPLE = "part,note\nlid,“café” 18 N·m\n"


@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "utf-16", "utf-16-le", "utf-16-be", "cp1252"])
def test_usual_encodings(tmp_path, encoding):
    (tmp_path / "s.csv").write_bytes(SAMPLE.encode(encoding))
    assert read_text(tmp_path / "s.csv") == SAMPLE


@pytest.mark.parametrize("ending", ["\r\n", "\r", "\n"])
def test_line_endings(tmp_path, ending):
    (tmp_path / "s.csv").write_bytes(b"a,b" + ending.encode() + b"1,2")
    assert read_text(tmp_path / "s.csv") == "a,b\n1,2"


def test_no_text_at_all(tmp_path):
    (tmp_path / "s.csv").write_bytes(bytes(range(256)) * 4)
    with pytest.raises(BadInput, match="no text file"):
        read_text(tmp_path / "s.csv")


def test_missing_and_folder(tmp_path):
    with pytest.raises(MissingThing, match="no file"):
        read_text(tmp_path / "none.csv")
    with pytest.raises(BadInput, match="is a folder"):
        read_text(tmp_path)


SRT = (
    "1\n00:00:01,500 --> 00:00:03,000\n<i>lid bolts</i>\nat eighteen\n\n"
    "2\n00:01:00,000 --> 00:01:02,250\n\n\n3\n01:00:00,000 --> 01:00:01,000\nall eight\n"
)
VTT = "WEBVTT\n\nNOTE made by hand\n\nintro\n00:01.500 --> 00:03.000 align:start\n<v Ada>lid bolts at eighteen\n"


@pytest.mark.parametrize(
    ("text", "kind", "expected"),
    [
        (SRT, ".srt", [("lid bolts at eighteen", 1.5, 3.0), ("all eight", 3600.0, 3601.0)]),
        (VTT, ".vtt", [("lid bolts at eighteen", 1.5, 3.0)]),
        ("one\n\ntwo  words\n", ".txt", [("one", None, None), ("two words", None, None)]),
        ("[0:05] one\n[1:00:10.5] two\n", ".txt", [("one", 5.0, 3610.5), ("two", 3610.5, None)]),
        ("0:05 one\n0:09 two\n", ".txt", [("one", 5.0, 9.0), ("two", 9.0, None)]),
        ("10:30 tea\nlid bolts\n", ".txt", [("10:30 tea", None, None), ("lid bolts", None, None)]),
        ("", ".srt", []),
        ("no cues here", ".vtt", []),
    ],
)
def test_notes_of_texts(text, kind, expected):
    assert [(note.text, note.start, note.end) for note in notes_of(text, kind)] == expected
