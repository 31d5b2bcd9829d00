"""The door of the room."""

import gudgeon.audio as room


def test_all_is_sorted_and_there():
    assert sorted(room.__all__, key=lambda name: (not name.isupper(), not name[0].isupper(), name)) == room.__all__  # constants, classes, functions
    assert all(hasattr(room, name) for name in room.__all__)
