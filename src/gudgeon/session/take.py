"""A recording goes in, a session in the record comes out. The stages, in order, a room each:

sound kept, speech gated, heard, facts read, note stored (one transaction a note) — and at the end, or when it is broken off:
entries put together, judged, open items raised. A source that was broken off is carried on where its last note ended.
"""

from __future__ import annotations

from collections import deque
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, field
from itertools import chain

from gudgeon.domain import SAMPLE_RATE, Clip, GudgeonError, Hearing, Note, Session
from gudgeon.record import Sound, StoredNote
from gudgeon.session.readings import with_other_readings
from gudgeon.session.sources import Origin, Start, begin, finish
from gudgeon.session.tools import Samples, SoundKeeper, SoundTools, Step, Taken, Timing, Tools


@dataclass(slots=True)
class Way:
    """A recording on its way: how much sound has come, the clips that wait for their hearing, and where the time went."""

    begun: float
    came: int = 0
    waiting: deque[Clip] = field(default_factory=deque)
    on_sound: float = 0.0
    on_hearing: float = 0.0
    notices: list[str] = field(default_factory=list)

    @property
    def seconds(self) -> float:
        return self.came / SAMPLE_RATE


def take_recording(origin: Origin, tools: Tools, sound: SoundTools, *, progress: Callable[[Step], None]) -> Taken:
    """Take a recording or a video as one session.

    Ctrl-C keeps every note so far and leaves the session ``unfinished``. Raises MissingThing and SoundUnreadable before anything is
    stored; any GudgeonError on the way says what was kept.
    """
    way = Way(sound.seconds_now())
    blocks = sound.decode(origin.path, way.notices.append)
    first = next(blocks, None)  # nothing is stored for a source without any sound in it
    with begin(origin, tools.record, sound.recogniser.name) as start:
        if start.already:
            return Taken(session=start.session, timing=Timing(), already=True)
        return _take_session(chain([] if first is None else [first], blocks), way, start, origin, tools, sound, progress)


def _take_session(
    blocks: Iterable[Samples],
    way: Way,
    start: Start,
    origin: Origin,
    tools: Tools,
    sound: SoundTools,
    progress: Callable[[Step], None],
) -> Taken:
    stopped = False
    try:
        _take_blocks(blocks, way, start, tools, sound, progress)
    except KeyboardInterrupt:
        stopped = True
    except GudgeonError as error:
        finish(tools, start.session, seconds=way.seconds, stopped=True)
        raise _telling_what_was_kept(error, tools, start.session, origin) from error
    session = finish(tools, start.session, seconds=way.seconds, stopped=stopped)
    total = sound.seconds_now() - way.begun
    timing = Timing(audio_s=way.seconds, gate_s=way.on_sound, decode_s=way.on_hearing, total_s=total)
    return Taken(session=session, timing=timing, stopped=stopped, carried_on_from=start.reached, notices=tuple(way.notices))


def _take_blocks(blocks: Iterable[Samples], way: Way, start: Start, tools: Tools, sound: SoundTools, progress: Callable[[Step], None]) -> None:
    """All stages of one recording, note by note."""
    folder = f"sound/{start.session.id}"
    keeper = sound.keeper(tools.record.folder / folder)
    tools.record.add_sound(start.session.id, Sound(file=folder, start=0.0, seconds=keeper.seconds))
    reached = start.reached or 0.0
    kept = keep(blocks, keeper, way)
    clips = _wait(shifted(sound.gate(sound_from(kept, reached)), reached), way, sound.seconds_now)
    hearings = sound.recogniser.hear(clips)
    try:
        while (hearing := _timed(hearings, way, sound.seconds_now)) is not None:
            store(way.waiting.popleft(), hearing, start.session, tools)
            progress(Step(way.seconds, hearing.text))
        progress(Step(way.seconds))
    finally:
        keeper.close()
        tools.record.add_sound(start.session.id, Sound(file=folder, start=0.0, seconds=keeper.seconds))


def keep(blocks: Iterable[Samples], keeper: SoundKeeper, way: Way) -> Iterator[Samples]:
    """Keep the sound that is not kept yet, and pass all of it on."""
    have = round(keeper.seconds * SAMPLE_RATE)
    for block in blocks:
        new = block[max(0, have - way.came) :] if way.came < have else block
        if len(new):
            keeper.add(new)
        way.came += len(block)
        yield block


def sound_from(blocks: Iterable[Samples], seconds: float) -> Iterator[Samples]:
    """The sound from that second on."""
    skip = round(seconds * SAMPLE_RATE)
    for block in blocks:
        if skip < len(block):
            yield block[skip:]
        skip = max(0, skip - len(block))


def shifted(clips: Iterable[Clip], seconds: float) -> Iterator[Clip]:
    """The clips with their times counted from the start of the recording."""
    for clip in clips:
        yield Clip(clip.samples, clip.start + seconds, clip.end + seconds) if seconds else clip


def _wait(clips: Iterator[Clip], way: Way, now: Callable[[], float]) -> Iterator[Clip]:
    """Pass clips to the recogniser, remember them until they are heard, and measure the time that sound took."""
    while True:
        begun = now()
        clip = next(clips, None)
        way.on_sound += now() - begun
        if clip is None:
            return
        way.waiting.append(clip)
        yield clip


def _timed(hearings: Iterator[Hearing], way: Way, now: Callable[[], float]) -> Hearing | None:
    """The next hearing, or None at the end; the time it took, without that of the sound, counts as hearing."""
    begun, on_sound = now(), way.on_sound
    hearing = next(hearings, None)
    way.on_hearing += now() - begun - (way.on_sound - on_sound)
    return hearing


def store(clip: Clip, hearing: Hearing, session: Session, tools: Tools, *, plain: bool = False) -> StoredNote:
    """One note, with its facts, in one transaction; speech that could not be read is a note too, marked ``unheard``. ``plain`` reads no facts."""
    text = hearing.text.strip()
    start, end = round(clip.start, 3), round(clip.end, 3)
    note = Note(text=text, start=start, end=end, confidence=hearing.confidence, unheard=not text, by=session.by, others=hearing.others)
    facts = with_other_readings(text, tools.read(text), hearing.others, tools.read) if text and not plain else ()
    return tools.record.add_note(session.id, note, facts, reached=clip.end)


def _telling_what_was_kept(error: GudgeonError, tools: Tools, session: Session, origin: Origin) -> GudgeonError:
    count = len(tools.record.notes(session.id))
    kept = f"{count} note{'' if count == 1 else 's'} are kept in session {session.id}."
    step = f"{error.next_step} Then take {origin.path} again: it carries on where it stopped.".strip()
    return type(error)(error.happened, kept=kept, next_step=step)
