"""A picture is kept as it came and given away without its place; what is none, or not whole, is refused."""

import hashlib
import importlib.util
import json
import stat
from pathlib import Path

import pytest

from gudgeon.domain import BadInput, Entry, Judgement, MissingThing, Note
from gudgeon.record import MOST_PICTURE_BYTES, Record, Search, picture_files

_SPEC = importlib.util.spec_from_file_location("pictures", Path(__file__).with_name("pictures.py"))
made = importlib.util.module_from_spec(_SPEC)
_SPEC.loader.exec_module(made)
PLACE, encoded, photo, pixels, with_place = made.PLACE, made.encoded, made.photo, made.pixels, made.with_place
FORMS = ("jpeg", "png", "webp")


@pytest.fixture
def note(record, session):
    return record.add_note(session, Note(text="cracked hub")).id


@pytest.mark.parametrize("form", FORMS)
def test_kept_as_it_came(record, note, form):
    data = with_place(form)
    picture = record.add_picture(note, data, "/home/ada/hub.JPG")
    path = record.folder / picture.file
    assert path.read_bytes() == data and stat.S_IMODE(path.stat().st_mode) == 0o600
    assert (picture.form, picture.name, picture.size, picture.sha256) == (form, "hub.JPG", len(data), hashlib.sha256(data).hexdigest())
    assert record.pictures(note) == (picture,) == record.notes(1)[0].pictures
    assert record.picture_bytes(picture, location=True) == data
    assert not [trouble for trouble in record.check() if not trouble.harmless]


@pytest.mark.parametrize("order", [">", "<"])
@pytest.mark.parametrize("form", FORMS)
def test_given_away_without_its_place(record, note, form, order):
    data = with_place(form, order=order)
    assert PLACE in data
    given = record.picture_bytes(record.add_picture(note, data, "hub"))
    assert PLACE not in given and b"GPS" not in given and b"film" not in given
    assert (pixels(given) == pixels(encoded(form))).all()
    assert picture_files.bare(given, form) == given


@pytest.mark.parametrize("form", FORMS)
@pytest.mark.parametrize("way_up", range(1, 9))
def test_the_same_way_up(form, way_up):
    given = picture_files.bare(with_place(form, way_up), form)
    assert given.count(b"MM\0*") == (way_up != 1)
    if way_up != 1:
        tiff = given[given.index(b"MM\0*") :]
        assert tiff[8:22] == bytes([0, 1, 0x01, 0x12, 0, 3, 0, 0, 0, 1, 0, way_up, 0, 0])  # CIPA DC-008: one entry, tag 0112, one SHORT


@pytest.mark.parametrize("form", FORMS)
def test_cut_anywhere(record, note, form):
    """A picture that is cut is refused, wherever that is, and leaves nothing behind."""
    data = encoded(form)
    for end in range(0, len(data) - 1, 7):
        with pytest.raises(BadInput):
            record.add_picture(note, data[:end], "hub")
    assert record.pictures(note) == () and not (record.folder / "photos").exists()


@pytest.mark.parametrize(
    "data", [b"", b"hello", b"GIF89a" + bytes(40), b"\x89PNG\r\n\x1a\n" + bytes(40), b"RIFF\xff\xff\xff\xffWEBPVP8 ", b"\xff\xd8\xff"]
)
def test_no_picture(record, note, data):
    with pytest.raises(BadInput) as told:
        record.add_picture(note, data, "hub.jpg")
    assert "hub.jpg" in told.value.happened and told.value.next_step


def test_too_big(record, note):
    with pytest.raises(BadInput, match="more than 40 MB"):
        record.add_picture(note, encoded("jpeg") + bytes(MOST_PICTURE_BYTES), "hub.jpg")


def test_a_damaged_chunk(record, note):
    data = bytearray(encoded("png"))
    data[60] ^= 1
    with pytest.raises(BadInput, match="not whole"):
        record.add_picture(note, bytes(data), "hub.png")


def test_the_same_twice_is_one(record, note):
    data = encoded("jpeg")
    assert record.add_picture(note, data, "a.jpg") == record.add_picture(note, data, "b.jpg")


def test_no_such_note(record):
    with pytest.raises(MissingThing, match="no note 9"):
        record.add_picture(9, encoded("jpeg"), "a.jpg")


def test_found_by_the_words_of_its_note(record, session, note):
    plain = record.add_note(session, Note(text="hub nut")).id
    record.add_picture(note, encoded("jpeg"), "a.jpg")
    slots = record.place_readings(session, [Entry(part="hub", conditions=("cracked",), notes=(0,)), Entry(part="hub", fastener="nut", notes=(1,))])
    record.put_entries(session, [(slot, Judgement()) for slot in slots])
    (hit,) = record.find(Search(words=("hub",), pictured=True))
    assert [picture.name for picture in hit.pictures] == ["a.jpg"]
    assert [hit.note for hit in record.find(Search(pictured=True))] == [note] and plain != note
    assert len(record.find(Search(words=("hub",)))) == 2


def test_gone_or_changed_is_told(record, note):
    one, two = (record.add_picture(note, encoded("jpeg", shade), f"{shade}.jpg") for shade in (0, 9))
    (record.folder / one.file).unlink()
    (record.folder / two.file).write_bytes(b"x")
    assert sorted(trouble.code for trouble in record.check() if not trouble.harmless) == ["picture-changed", "picture-missing"]
    with pytest.raises(MissingThing):
        record.picture_bytes(one)


def test_forgotten(record, note):
    picture = record.add_picture(note, encoded("jpeg"), "a.jpg")
    assert record.forget_pictures(1) == 1
    assert not (record.folder / picture.file).exists() and record.pictures(note)[0].forgotten is not None
    assert record.history("session", 1)[0].action == "picture forgotten"
    assert record.notes(1)[0].note.text == "cracked hub" and not [trouble for trouble in record.check() if not trouble.harmless]
    assert record.forget_pictures() == 0
    assert record.find(Search(pictured=True)) == ()


@pytest.mark.parametrize("location", [False, True])
def test_exported_and_back(record, note, tmp_path, location):
    data = with_place("jpeg")
    record.add_picture(note, data, "a.jpg")
    lines = [json.dumps(row) for row in record.export_lines(location=location)]
    with Record.open(tmp_path / "other") as other:
        assert other.import_lines(lines)["picture"] == 1
        (picture,) = other.pictures(1)
        kept = (other.folder / picture.file).read_bytes()
        assert (kept == data) is location and (PLACE in kept) is location
        assert [json.dumps(row) for row in other.export_lines(location=location)][1:] == lines[1:]
        assert other.import_lines(lines)["picture"] == 0
        assert not [trouble for trouble in other.check() if not trouble.harmless]


def test_in_a_backup(record, note, tmp_path):
    data = encoded("webp")
    picture = record.add_picture(note, data, "a.webp")
    record.backup(tmp_path / "b.zip")
    Record.restore(tmp_path / "b.zip", tmp_path / "back")
    assert (tmp_path / "back" / picture.file).read_bytes() == data


@pytest.mark.parametrize("form", FORMS)
def test_small_enough_for_a_list(record, note, form):
    picture = record.add_picture(note, photo(form, 1600, 1200), "hub")
    small = record.picture_small(picture)
    assert picture_files.form_of(small, "small") == "jpeg"
    assert len(small) <= 40_000
    assert pixels(small).shape == (360, 480, 3)
    assert pixels(record.picture_small(picture, most=100)).shape == (76, 100, 3)


@pytest.mark.parametrize("form", ["jpeg", "png"])
@pytest.mark.parametrize("way_up", range(1, 9))
def test_small_is_the_same_way_up_and_has_no_place(record, note, form, way_up, monkeypatch):
    monkeypatch.setattr("gudgeon.record.small_pictures.LIGHT", 100)
    small = record.picture_small(record.add_picture(note, with_place(form, way_up), "hub"))
    assert PLACE not in small
    assert picture_files.way_up_of(small, "jpeg") == way_up
    assert picture_files.bare(small, "jpeg") == small
    assert abs(pixels(small).astype(int) - pixels(encoded(form)).astype(int)).mean() < 12


def test_a_light_one_is_itself(record, note):
    assert record.picture_small(record.add_picture(note, with_place("webp"), "hub")) == picture_files.bare(with_place("webp"), "webp")


def test_more_pixels_than_memory_is_good_for_are_not_opened(record, note, monkeypatch):
    monkeypatch.setattr("gudgeon.record.small_pictures.LIGHT", 100)
    monkeypatch.setattr("gudgeon.record.small_pictures.MOST_PIXELS", 1000)
    for form in FORMS:
        with pytest.raises(BadInput, match="cannot be opened"):
            record.picture_small(record.add_picture(note, encoded(form), form))


@pytest.mark.parametrize("brand", [b"heic", b"mif1"])
def test_a_heic_picture_is_told_by_its_name(record, note, brand):
    with pytest.raises(BadInput, match="is a HEIC picture") as told:
        record.add_picture(note, b"\0\0\0\x18ftyp" + brand + b"\0\0\0\0mif1heic", "IMG_1.HEIC")
    assert "JPEG" in told.value.next_step
    assert record.pictures(note) == ()
