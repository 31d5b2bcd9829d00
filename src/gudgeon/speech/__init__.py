"""A clip goes in, heard text with confidence comes out: one protocol, one file a recogniser."""

from gudgeon.speech.cache import Prepared, prepare, prepared
from gudgeon.speech.embedded import Embedded
from gudgeon.speech.find import Found, SelfTest, find_recognisers, self_test
from gudgeon.speech.model_files import ModelFiles, installed_model, model_in
from gudgeon.speech.phrases import likely, read_instructions, read_phrases, sheet_phrases
from gudgeon.speech.protocol import Recogniser
from gudgeon.speech.scripted import Scripted
from gudgeon.speech.second import WithSecond
from gudgeon.speech.vosk_driver import Vosk, VoskPhrase

__all__ = [
    "Embedded",
    "Found",
    "ModelFiles",
    "Prepared",
    "Recogniser",
    "Scripted",
    "SelfTest",
    "Vosk",
    "VoskPhrase",
    "WithSecond",
    "find_recognisers",
    "installed_model",
    "likely",
    "model_in",
    "prepare",
    "prepared",
    "read_instructions",
    "read_phrases",
    "self_test",
    "sheet_phrases",
]
