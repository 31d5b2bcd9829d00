"""A recording, a text or a typed line goes in, a finished session in the record comes out: one named stage a room."""

from gudgeon.session.answers import Offer, offers, take_offer
from gudgeon.session.bench_reading import Compared, Levels, advice, compare, levels
from gudgeon.session.fixes import mend, mend_entry, mend_words, read_torque, strike_entry, undo_entry, undo_words, undoable
from gudgeon.session.likely_words import job_phrases
from gudgeon.session.live import Answer, Obey, Phrase, Reins, begin_live, left_off, listen
from gudgeon.session.other_talk import other_talk, strike_notes, strike_talk, undo_strike
from gudgeon.session.reactions import Reaction, alarms_of, reaction, said_now
from gudgeon.session.readings import with_other_readings
from gudgeon.session.redone import Redone
from gudgeon.session.settle import job_sheet, settle, settle_all, settle_changed
from gudgeon.session.sources import Origin, Start, begin
from gudgeon.session.take import take_recording
from gudgeon.session.take_text import take_text
from gudgeon.session.texts import TEXT_KINDS, read_text
from gudgeon.session.tools import Rules, SoundTools, Step, Taken, Timing, Tools
from gudgeon.session.typed import add_note
from gudgeon.session.voice_commands import Voice
from gudgeon.session.voice_words import Command, Commands
from gudgeon.session.words_so_far import WordsSoFar

__all__ = [
    "TEXT_KINDS",
    "Answer",
    "Command",
    "Commands",
    "Compared",
    "Levels",
    "Obey",
    "Offer",
    "Origin",
    "Phrase",
    "Reaction",
    "Redone",
    "Reins",
    "Rules",
    "SoundTools",
    "Start",
    "Step",
    "Taken",
    "Timing",
    "Tools",
    "Voice",
    "WordsSoFar",
    "add_note",
    "advice",
    "alarms_of",
    "begin",
    "begin_live",
    "compare",
    "job_phrases",
    "job_sheet",
    "left_off",
    "levels",
    "listen",
    "mend",
    "mend_entry",
    "mend_words",
    "offers",
    "other_talk",
    "reaction",
    "read_text",
    "read_torque",
    "said_now",
    "settle",
    "settle_all",
    "settle_changed",
    "strike_entry",
    "strike_notes",
    "strike_talk",
    "take_offer",
    "take_recording",
    "take_text",
    "undo_entry",
    "undo_strike",
    "undo_words",
    "undoable",
    "with_other_readings",
]
