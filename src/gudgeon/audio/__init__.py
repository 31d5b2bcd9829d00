"""Microphone, recording or video goes in, speech clips come out: decoding, gating on speech, the sound kept as FLAC, playback."""

from gudgeon.audio.cutting import cut
from gudgeon.audio.decoding import Recording, decode, probe
from gudgeon.audio.gaps import Block, Gap, KeptGap, Late, Moment, Watch, gap_words, keep_gap, kept_gaps
from gudgeon.audio.gating import Gate, speech_clips
from gudgeon.audio.keeping import Keeper, kept_seconds
from gudgeon.audio.microphone import Capture, choose, kept_again, level_words
from gudgeon.audio.microphones import Microphone, microphones
from gudgeon.audio.packing import mp3
from gudgeon.audio.playing import play
from gudgeon.audio.speaking import AGAIN, Mouth, Whose, has_voice, own_times, spoken
from gudgeon.audio.tones import TONES, VOLUMES, tone
from gudgeon.audio.writing import write_flac, write_wav

__all__ = [
    "AGAIN",
    "TONES",
    "VOLUMES",
    "Block",
    "Capture",
    "Gap",
    "Gate",
    "Keeper",
    "KeptGap",
    "Late",
    "Microphone",
    "Moment",
    "Mouth",
    "Recording",
    "Watch",
    "Whose",
    "choose",
    "cut",
    "decode",
    "gap_words",
    "has_voice",
    "keep_gap",
    "kept_again",
    "kept_gaps",
    "kept_seconds",
    "level_words",
    "microphones",
    "mp3",
    "own_times",
    "play",
    "probe",
    "speech_clips",
    "spoken",
    "tone",
    "write_flac",
    "write_wav",
]
