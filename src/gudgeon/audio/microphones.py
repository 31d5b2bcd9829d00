"""The microphones that are there."""

from __future__ import annotations

from dataclasses import dataclass

from gudgeon.domain import MissingThing


@dataclass(frozen=True, slots=True)
class Microphone:
    """An input for sound: its number and name in PortAudio, how many channels it has, and whether it is the usual one."""

    number: int
    name: str
    channels: int
    usual: bool


def microphones() -> tuple[Microphone, ...]:
    """All inputs, the usual one first; empty when there is none. Raises MissingThing when PortAudio is not installed."""
    try:
        import sounddevice  # noqa: PLC0415 - opens PortAudio, which may be missing and is slow to start
    except OSError as missing:
        raise MissingThing("Microphones cannot be used: PortAudio is not installed.", next_step="Type: sudo apt install libportaudio2") from missing
    try:
        devices = list(sounddevice.query_devices())
        usual = sounddevice.default.device[0]
    except sounddevice.PortAudioError:
        return ()
    inputs = (Microphone(n, str(d["name"]), int(d["max_input_channels"]), n == usual) for n, d in enumerate(devices))
    return tuple(sorted((m for m in inputs if m.channels), key=lambda m: (not m.usual, m.number)))
