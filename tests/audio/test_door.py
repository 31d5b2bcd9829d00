"""The door of the room."""

import gudgeon.audio as room


def test_all_is_sorted_and_there():
    assert sorted(room.__all__) == room.__all__
    assert all(hasattr(room, name) for name in room.__all__)
