"""Sound goes in as it comes, and each phrase is in the record, judged and shown, before the next one is read.

Keeping the sound and gating it run in a thread of their own, so that reading a phrase never holds them up. A session that was broken off
is carried on: sound that was kept and not read yet is read first.
"""

from __future__ import annotations

from collections import deque
from collections.abc import Callable, Iterable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, field, replace
from queue import Empty, Queue
from threading import Event, Thread

import numpy as np

from gudgeon.domain import Clip, GudgeonError, Hearing, Note, Session
from gudgeon.record import Record, Sound, StoredEntry, StoredItem, StoredNote
from gudgeon.session.settle import settle
from gudgeon.session.sources import Start, finish
from gudgeon.session.take import Way, keep, shifted, sound_from, store
from gudgeon.session.tools import Samples, SoundTools, Taken, Timing, Tools


@dataclass(frozen=True, slots=True)
class Answer:
    """What a spoken command came to: the words to show, whether it was taken, and the words to say when they are others (empty: none).

    ``unread``: the words of the phrase are not its speaker's alone, so a note of it keeps its sound and no words.
    """

    text: str
    taken: bool = True
    aloud: str | None = None
    unread: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Phrase:
    """One phrase that was read: its place in the recording, its words, and what came of them.

    ``note`` is None when the phrase was a command that was taken, or was said in a pause. ``question`` asks about a figure heard unsurely.
    ``closed`` is the running clock when the gate closed.
    """

    start: float
    end: float
    text: str
    note: StoredNote | None
    entries: tuple[StoredEntry, ...] = ()
    items: tuple[StoredItem, ...] = ()
    answer: Answer | None = None
    question: str = ""
    closed: float = 0.0
    typed: bool = False


Obey = Callable[[Clip, Hearing], tuple[Answer | None, bool]]
"""Takes a phrase; gives the answer when it was a command, and whether the phrase is a note (True) or not."""
Ask = Callable[[StoredNote, Sequence[StoredEntry]], str]
"""Takes a note just stored and the entries it went into; gives what to ask about it, or nothing."""


@dataclass(slots=True)
class Reins:
    """How others steer a live session: ``stop`` ends it in order; it is finished when that was ``said_to_end``.

    ``seconds`` is how much sound has come, counted from the session's first sample. What is put in ``typed`` is a note (or a command) too.
    """

    stop: Event = field(default_factory=Event)
    said_to_end: bool = False
    seconds: float = 0.0
    typed: deque[str] = field(default_factory=deque)


MICROPHONE = "microphone"
TYPED = "typed"
LOOK_AGAIN_S = 0.2
"""How often what was typed is looked for."""


def left_off(record: Record, job: str | None) -> Session | None:
    """The job's newest session at a microphone when it was broken off, else None."""
    session = record.session_of_source(_key(job), "open", "unfinished", "finished")
    return session if session and session.state != "finished" else None


@contextmanager
def begin_live(tools: Tools, *, job: str | None, by: str | None, recogniser: str, source: str, carry_on: Session | None) -> Iterator[Start]:
    """A new session at a microphone, or the one to carry on, held for this program alone. Raises Failure when another program fills it."""
    record = tools.record
    session = carry_on or record.begin_session(job=job, started=tools.clock(), source=source, source_key=_key(job), recogniser=recogniser, by=by)
    with record.claim(session.id):
        session = record.session(session.id)
        yield Start(record.mark_session(session.id, state="open"), reached=session.reached if carry_on else None)


def _key(job: str | None) -> str:
    return MICROPHONE + (f" {job}" if job else "")


def listen(
    start: Start,
    blocks: Iterable[Samples],
    tools: Tools,
    sound: SoundTools,
    *,
    show: Callable[[Phrase], None],
    reins: Reins,
    obey: Obey | None = None,
    ask: Ask = lambda note, entries: "",
    ahead: int = 0,
    endless: bool = False,
) -> Taken:
    """Fill a session from sound as it comes. ``blocks`` run from the session's first sample, what is kept already included.

    ``ahead`` is the most clips that may wait (0: any number). A source
    that is not ``endless`` and was stopped half-way is left ``unfinished``. Any GudgeonError leaves it so too, with all notes so far kept.
    """
    way = Way(sound.seconds_now())
    folder = f"sound/{start.session.id}"
    keeper = sound.keeper(tools.record.folder / folder)
    tools.record.add_sound(start.session.id, Sound(file=folder, start=0.0, seconds=keeper.seconds))
    reached = start.reached or 0.0
    kept = _counted(keep(_until(blocks, reins.stop), keeper, way), way, reins)
    heard = sound_from(kept, reached)
    spoken = shifted(sound.gate(heard), reached)
    desk = _Desk(start.session, tools, show, obey, ask)
    clips = _Aside(spoken, sound.seconds_now, ahead, lambda: desk.read_typed(reins))
    broken = True
    try:
        _read(clips, way, sound, desk)
        desk.read_typed(reins)
        broken = reins.stop.is_set() and not endless and not reins.said_to_end
    except KeyboardInterrupt:
        pass
    except GudgeonError as error:
        raise _with_what_was_kept(error, tools, start.session) from error
    finally:
        reins.stop.set()
        clips.let_go()
        keeper.close()
        tools.record.add_sound(start.session.id, Sound(file=folder, start=0.0, seconds=keeper.seconds))
        session = finish(tools, start.session, seconds=way.seconds, stopped=broken)
    total = sound.seconds_now() - way.begun
    timing = Timing(audio_s=way.seconds, decode_s=way.on_hearing, total_s=total)
    return Taken(session=session, timing=timing, stopped=broken, carried_on_from=start.reached)


def _read(clips: _Aside, way: Way, sound: SoundTools, desk: _Desk) -> None:
    hearings = sound.recogniser.hear(clips)
    while True:
        hearing = next(hearings, None)
        if hearing is None:
            return
        clip, closed = clips.given.popleft()
        way.on_hearing += sound.seconds_now() - clips.given_at
        desk.take(clip, hearing, closed)


@dataclass(frozen=True, slots=True)
class _Desk:
    """Where phrases become notes and are shown, spoken or typed, one at a time."""

    session: Session
    tools: Tools
    show: Callable[[Phrase], None]
    obey: Obey | None
    ask: Ask

    def read_typed(self, reins: Reins) -> None:
        """What was typed meanwhile: a note without a place in the sound, or a command when it begins with the wake phrase."""
        while reins.typed:
            text = " ".join(reins.typed.popleft().split())
            if text:
                clip = Clip(np.zeros(0, dtype=np.float32), reins.seconds, reins.seconds)
                self.take(clip, Hearing(text, 1.0, TYPED), 0.0, typed=True)

    def take(self, clip: Clip, hearing: Hearing, closed: float, *, typed: bool = False) -> None:
        """The note is on the disk before its entries are put together, and both before anything is shown."""
        record, number = self.tools.record, self.session.id
        answer, is_note = self.obey(clip, hearing) if self.obey else (None, True)
        if answer is not None and answer.unread:
            hearing = Hearing("", 0.0, hearing.recogniser)
        text = hearing.text.strip()
        said = Phrase(start=clip.start, end=clip.end, text=text, note=None, answer=answer, closed=closed, typed=typed)
        if not is_note:
            if not typed:
                record.mark_session(number, state="open", reached=clip.end)
            if answer is not None:
                self.show(said)
            return
        plain = answer is not None
        note = self._typed_note(text, plain=plain) if typed else store(clip, hearing, self.session, self.tools, plain=plain)
        entries = settle(record, number, self.tools.rules)
        touched = tuple(entry for entry in entries if note.position in entry.entry.notes and not entry.struck)
        items = tuple(item for item in record.items_of_session(number) if note.id in item.notes)
        question = "" if plain else self.ask(note, touched)
        self.show(replace(said, note=note, entries=touched, items=items, question=question))

    def _typed_note(self, text: str, *, plain: bool) -> StoredNote:
        return self.tools.record.add_note(self.session.id, Note(text=text, by=self.session.by), () if plain else self.tools.read(text))


class _Aside:
    """Runs an iterator of clips in a thread of its own; what went wrong there is raised where the clips are taken.

    While clips are waited for, ``between`` is called again and again by the thread that waits.
    """

    def __init__(self, clips: Iterator[Clip], now: Callable[[], float], ahead: int, between: Callable[[], None]) -> None:
        self._queue: Queue[tuple[Clip, float] | BaseException | None] = Queue(ahead)
        self._now = now
        self._between = between
        self._let_go = False
        self.given: deque[tuple[Clip, float]] = deque()
        self.given_at = 0.0
        self._thread = Thread(target=self._run, args=(clips,), name="gudgeon-sound", daemon=True)
        self._thread.start()

    def _run(self, clips: Iterator[Clip]) -> None:
        try:
            for clip in clips:
                if not self._let_go:
                    self._queue.put((clip, self._now()))
        except BaseException as error:  # handed on to the thread that reads
            self._queue.put(error)
        else:
            self._queue.put(None)

    def __iter__(self) -> Iterator[Clip]:
        while True:
            self._between()
            try:
                came = self._queue.get(timeout=LOOK_AGAIN_S)
            except Empty:
                continue
            if came is None:
                return
            if isinstance(came, BaseException):
                raise came
            self.given.append(came)
            self.given_at = self._now()
            yield came[0]

    def let_go(self) -> None:
        """Waits until the thread has ended; clips that nobody takes any more are dropped (their sound is kept and not marked as read)."""
        self._let_go = True
        while self._thread.is_alive():
            while not self._queue.empty():
                self._queue.get()
            self._thread.join(0.05)


def _until(blocks: Iterable[Samples], stop: Event) -> Iterator[Samples]:
    for block in blocks:
        yield block
        if stop.is_set():
            return


def _counted(blocks: Iterable[Samples], way: Way, reins: Reins) -> Iterator[Samples]:
    for block in blocks:
        reins.seconds = way.seconds
        yield block


def _with_what_was_kept(error: GudgeonError, tools: Tools, session: Session) -> GudgeonError:
    """The error with what was kept of this session."""
    count = len(tools.record.notes(session.id))
    kept = f"{count} note{'' if count == 1 else 's'} and the sound are kept in session {session.id}."
    return type(error)(error.happened, kept=kept, next_step=f"{error.next_step} The next `gudgeon listen` carries it on.".strip())
