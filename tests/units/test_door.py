"""The doors of units and notes: every public name is listed, sorted, and there."""

from types import ModuleType

import pytest

import gudgeon.notes
import gudgeon.units


@pytest.mark.parametrize("room", [gudgeon.units, gudgeon.notes])
def test_door(room: ModuleType) -> None:
    assert room.__all__ == sorted(room.__all__)
    assert all(hasattr(room, name) for name in room.__all__)
    assert room.__doc__ and "\n" not in room.__doc__
