"""Microphone, recording or video goes in, speech clips come out: decoding, gating on speech, the sound kept as FLAC, playback."""

__all__: list[str] = []
