import pytest

from gudgeon.domain import RecogniserFailed
from gudgeon.speech.tokens import Tokens


def write(path, pieces):
    out = bytearray()
    for piece in pieces:
        if len(piece) >= 128:
            out += bytes([len(piece) % 128 + 128, len(piece) // 128])
        else:
            out.append(len(piece))
        out += piece
    path.write_bytes(out)
    return path


def pieces():
    singles = [bytes([n]) for n in range(256)]
    return [b"<unk>", b"<s>", b"</s>", *singles, "\u2581nut".encode(), b"s", b"x" * 300]


def test_pieces_come_back_as_they_were_written(tmp_path):
    read = Tokens.read(write(tmp_path / "t.bin", pieces()))
    assert list(read.pieces) == pieces()


def test_text_of_tokens(tmp_path):
    read = Tokens.read(write(tmp_path / "t.bin", pieces()))
    assert read.text([1, 259, 260, 259, 2]) == "nuts nut"
    assert read.text([]) == ""
    assert read.text([3 + 0xC2, 3 + 0xB0]) == "°"
    assert read.text([9999]) == ""


def test_a_damaged_file_is_told_plainly(tmp_path):
    path = write(tmp_path / "t.bin", pieces())
    path.write_bytes(path.read_bytes()[:-4])
    with pytest.raises(RecogniserFailed, match="damaged"):
        Tokens.read(path)
    path.write_bytes(b"")
    with pytest.raises(RecogniserFailed, match="damaged"):
        Tokens.read(path)
