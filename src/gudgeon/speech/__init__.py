"""A clip goes in, heard text with confidence comes out: one protocol, one file a recogniser."""

from gudgeon.speech.embedded import Embedded
from gudgeon.speech.protocol import Recogniser
from gudgeon.speech.scripted import Scripted

__all__ = ["Embedded", "Recogniser", "Scripted"]
