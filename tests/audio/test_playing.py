"""Playing: what happens without PortAudio, without a loudspeaker, and with both."""

import sys
from types import SimpleNamespace

import numpy as np
import pytest

from gudgeon.audio import play
from gudgeon.domain import MissingThing


class PortAudioError(Exception):
    pass


def test_it_plays_at_the_houses_rate_and_waits(monkeypatch):
    played = []
    fake = SimpleNamespace(play=lambda sound, rate, blocking: played.append((len(sound), rate, blocking)), PortAudioError=PortAudioError)
    monkeypatch.setitem(sys.modules, "sounddevice", fake)
    play(np.zeros(100, np.float32))
    assert played == [(100, 16_000, True)]


def test_without_a_loudspeaker(monkeypatch):
    def refuse(*_, **__):
        raise PortAudioError("no device")

    monkeypatch.setitem(sys.modules, "sounddevice", SimpleNamespace(play=refuse, PortAudioError=PortAudioError))
    with pytest.raises(MissingThing, match="no loudspeaker"):
        play(np.zeros(100, np.float32))


def test_without_portaudio(monkeypatch):
    class NoLibrary:
        def find_spec(self, name, *_):
            if name == "sounddevice":
                raise OSError("PortAudio library not found")

    monkeypatch.delitem(sys.modules, "sounddevice", raising=False)
    monkeypatch.setattr(sys, "meta_path", [NoLibrary(), *sys.meta_path])
    with pytest.raises(MissingThing, match="PortAudio") as missing:
        play(np.zeros(100, np.float32))
    assert "libportaudio2" in missing.value.next_step
