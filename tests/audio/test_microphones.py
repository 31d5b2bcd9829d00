"""Microphones: the usual one first, loudspeakers left out, none is no error."""

import sys
from types import SimpleNamespace

import pytest

from gudgeon.audio import microphones


class PortAudioError(Exception):
    pass


def fake(devices, usual):
    def query_devices():
        if devices is None:
            raise PortAudioError("not started")
        return devices

    return SimpleNamespace(query_devices=query_devices, default=SimpleNamespace(device=(usual, 0)), PortAudioError=PortAudioError)


def test_the_usual_one_comes_first_and_loudspeakers_are_left_out(monkeypatch):
    devices = [{"name": name, "max_input_channels": count} for name, count in (("built-in", 2), ("loudspeaker", 0), ("headset", 1))]
    monkeypatch.setitem(sys.modules, "sounddevice", fake(devices, 2))
    assert [(m.number, m.name, m.usual) for m in microphones()] == [(2, "headset", True), (0, "built-in", False)]


@pytest.mark.parametrize("devices", [[], None])
def test_none(devices, monkeypatch):
    monkeypatch.setitem(sys.modules, "sounddevice", fake(devices, -1))
    assert microphones() == ()
