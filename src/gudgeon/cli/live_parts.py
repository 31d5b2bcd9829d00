"""What a live session is put together from: the ear and its gate, the voice that answers, the words as they come."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from gudgeon.audio import Gate, Mouth
    from gudgeon.domain import Clip, Hearing
    from gudgeon.record import Record
    from gudgeon.session import Answer, Obey, Phrase, Reins, SoundTools
    from gudgeon.session.tools import Samples

FOR_LIVE_PAUSE_S = 0.48
"""A pause that ends a phrase: 0.48 s, so that the verdict comes soon."""


WARM_UP_S = 14.5
"""Of the sample session: about as long as a clip can be, so that the memory it takes is taken before anybody speaks."""


def live_tools(record: Record, job: str | None, recogniser: str | None, *, notice: Callable[[str], None]) -> tuple[SoundTools, Gate]:
    """What hears, gates and keeps the sound of a live session, and its gate."""
    from dataclasses import replace
    from functools import partial

    from gudgeon.audio import Gate, Keeper, speech_clips
    from gudgeon.cli import wiring
    from gudgeon.session import job_sheet
    from gudgeon.speech import sheet_phrases

    sheet = job_sheet(record, job)
    phrases = [*(sheet_phrases(sheet) if sheet else ()), *wiring.commands().phrases]
    ear = wiring.recogniser(recogniser, phrases=phrases, notice=notice)
    gate = Gate(pause_s=FOR_LIVE_PAUSE_S)
    return replace(wiring.sound_tools(ear), gate=partial(speech_clips, gate=gate), keeper=partial(Keeper, durable=True)), gate


def warm_up(sound: SoundTools) -> None:
    """Lets the recogniser read one long clip, so that the first phrase does not wait for its model, and later ones take no more memory."""
    from gudgeon.audio import cut
    from gudgeon.cli import wiring
    from gudgeon.domain import Clip

    samples = cut(wiring.sample("orchard_session.flac"), 0.0, WARM_UP_S)
    for _ in sound.recogniser.hear([Clip(samples, 0.0, WARM_UP_S)]):
        return


def mouth(record: Record, session: int, reins: Reins, *, audible: bool, busy: Callable[[], bool], tell: Callable[[str], None]) -> Mouth:
    """The voice of a session, as loud as the owner wants; without ``audible`` it is silent, and still knows when it spoke before."""
    from gudgeon.audio import VOLUMES, Mouth, has_voice
    from gudgeon.cli import wiring

    wanted = audible and wiring.setting("answers") == "spoken"
    if wanted and not has_voice():
        tell("Answers are shown, not spoken: espeak-ng is not installed. To hear them: sudo apt install espeak-ng")
    volume = VOLUMES[wiring.setting("tones")] if audible else 0.0
    folder = record.folder / f"sound/{session}"
    return Mouth(folder, now=lambda: reins.seconds, tell=tell, volume=volume, aloud=wanted and has_voice(), busy=busy)


def answering(show: Callable[[Phrase], None], mouth: Mouth) -> Callable[[Phrase], None]:
    """Shows each phrase, and lets the mouth react to it."""
    from gudgeon.cli import wiring
    from gudgeon.reports import aloud, read_aloud
    from gudgeon.session import reaction

    words = read_aloud(wiring.tables("reports")["aloud"])

    def both(phrase: Phrase) -> None:
        show(phrase)
        heard = reaction(phrase)
        if heard.tone:
            mouth.tone(heard.tone)
        mouth.say(aloud(heard.say, words))

    return both


SPOKEN_INTO = "Spoken into an answer: its sound is kept as a note to listen to, and nothing is read from it. Please say it again."


def deaf_to_itself(obey: Obey, mouth: Mouth, paused: Callable[[], bool]) -> Obey:
    """Takes phrases as ``obey`` does, but for the program's own voice, which is nothing, and for what was spoken into it: a note without words."""
    from gudgeon.audio import AGAIN, Whose
    from gudgeon.session import Answer

    def take(clip: Clip, hearing: Hearing) -> tuple[Answer | None, bool]:
        typed = clip.end <= clip.start
        whose = Whose.ANOTHER if typed else mouth.whose(clip, hearing.text)
        if whose is Whose.ANOTHER:
            return obey(clip, hearing)
        if whose is Whose.ITS_OWN or paused():
            return None, False
        # Asked aloud only when somebody spoke beside it for long: a doubtful voice must not answer itself again and again.
        return Answer(SPOKEN_INTO, taken=False, aloud=AGAIN if whose is Whose.BOTH_LONG else "", unread=True), True

    return take


@contextmanager
def with_words(blocks: Iterator[Samples], sound: SoundTools, gate: Gate, show: Callable[[str], None]) -> Iterator[Iterator[Samples]]:
    """The blocks; where the recogniser can read while somebody speaks, its words so far are shown."""
    from gudgeon.session import WordsSoFar
    from gudgeon.speech import Vosk

    ear = sound.recogniser
    if not isinstance(ear, Vosk):
        yield blocks
        return
    words = WordsSoFar(lambda: gate.is_open, ear.phrase, show)
    try:
        yield words.through(blocks)
    finally:
        words.close()
