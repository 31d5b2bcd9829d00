"""``gudgeon listen``: a live session, from the microphone or from a recording played through the same way."""

from __future__ import annotations

import signal
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from itertools import chain
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

import typer

from gudgeon.cli.options import AsJson, JobName, RecordDir, Speaker
from gudgeon.cli.show import tell

if TYPE_CHECKING:
    from gudgeon.domain import Session
    from gudgeon.record import Record
    from gudgeon.session import Reins, SoundTools, Start, Taken, Tools
    from gudgeon.session.tools import Samples

From = Annotated[Path | None, typer.Option("--from", metavar="FILE", help="A recording instead of the microphone.")]
At = Annotated[
    str | None, typer.Option("--microphone", metavar="NAME", help="The microphone, by its number or part of its name; a wrong one lists them all.")
]
CarryOn = Annotated[bool, typer.Option("--carry-on", help="Carry on the session that was broken off, without asking.")]
Pace = Annotated[bool, typer.Option("--pace", help="With --from: no faster than it was spoken.")]
With = Annotated[str | None, typer.Option("--recogniser", metavar="NAME", help="What reads the sound (see: gudgeon ears).")]
Second = Annotated[
    str | None, typer.Option("--second", metavar="NAME", help="A recogniser that reads doubtful phrases again; both readings are kept.")
]
FOR_LIVE_PAUSE_S = 0.48
"""A pause that ends a phrase: 0.48 s, so that the verdict comes soon."""
CLIPS_AHEAD = 8


def listen(
    file: From = None,
    microphone: At = None,
    carry_on: CarryOn = False,
    pace: Pace = False,
    job: JobName = None,
    by: Speaker = None,
    recogniser: With = None,
    second: Second = None,
    as_json: AsJson = False,
    record: RecordDir = None,
) -> None:
    """Listen, and show each phrase with its facts and verdicts as soon as it is spoken.

    Ctrl-C ends the session in order: what was said until then is read first; a second Ctrl-C breaks it off. A session that was broken off is
    carried on.

    The wake phrase ("hello workshop") makes the rest a command: strike that, make it 25 newton metres, open item WORDS, what is open, how many
    left, read that back, pause, carry on, end session, or a question such as what is the torque for the drain plug.

    Example: gudgeon listen --from saturday.m4a --job "orchard tractor"
    """
    from gudgeon.cli import wiring

    with wiring.open_record(record) as opened:
        job = wiring.pick_job(opened, job, make=True, tell=tell)
        by = by or wiring.setting("by") or None
        if file is None:
            wanted = microphone or wiring.setting("microphone") or None
            _listen_at_microphone(wanted, opened, job=job, by=by, recogniser=recogniser, second=second, carry_on=carry_on, as_json=as_json)
        else:
            _listen_to_file(file, opened, job=job, by=by, recogniser=recogniser, second=second, pace=pace, as_json=as_json)


def _listen_at_microphone(
    wanted: str | None, record: Record, *, job: str | None, by: str | None, recogniser: str | None, second: str | None, carry_on: bool, as_json: bool
) -> None:
    from gudgeon.audio import Capture, choose, kept_again, level_words
    from gudgeon.cli import wiring
    from gudgeon.session import Reins, begin_live

    found = choose(wanted)
    tools, sound, reins = wiring.tools(record), live_tools(record, job, recogniser, second), Reins()
    tools.read("ready")
    earlier = _earlier(record, job, carry_on)
    with begin_live(tools, job=job, by=by, recogniser=sound.recogniser.name, source=f"microphone {found.name}", carry_on=earlier) as start:
        capture = Capture(found, tell=tell)
        before = kept_again(record.folder / f"sound/{start.session.id}", start.reached or 0.0)
        tell(f"Listening at {found.name}. Ctrl-C ends the session, or say: {wiring.setting('wake')}, end session.")

        def status() -> str:
            lost = f" · sound was lost {capture.overruns} times" if capture.overruns else ""
            return ("the microphone is away" if capture.gone else level_words(capture.peak)) + lost

        blocks = chain(before, capture.blocks(reins.stop))
        taken = _run(start, blocks, tools, sound, reins, as_json=as_json, status=status, ahead=0, endless=True)
    if capture.overruns:
        tell(f"Sound was lost {capture.overruns} times, because the computer was too busy.")
    report(taken, record)


def _earlier(record: Record, job: str | None, carry_on: bool) -> Session | None:
    """The session to carry on: the one broken off, when the owner wants that."""
    import sys

    from gudgeon.session import left_off

    session = left_off(record, job)
    if session is None:
        return None
    count = len(record.notes(session.id))
    text = f"Session {session.id} was broken off after {count} note{'' if count == 1 else 's'}."
    if carry_on or (sys.stdin.isatty() and typer.confirm(f"{text} Carry it on?", default=True, err=True)):
        return session
    tell(f"{text} It is left as it is; to carry it on: gudgeon listen --carry-on")
    return None


def _listen_to_file(
    file: Path, record: Record, *, job: str | None, by: str | None, recogniser: str | None, second: str | None, pace: bool, as_json: bool
) -> None:
    from gudgeon.audio import decode
    from gudgeon.cli import wiring
    from gudgeon.cli.take import made
    from gudgeon.session import Origin, Reins, begin

    tools = wiring.tools(record)
    origin = Origin(file, made(file), job=job, by=by)
    sound = live_tools(record, job, recogniser, second)
    with begin(origin, record, sound.recogniser.name) as start:
        if start.already:
            tell(f"{file} is in the record already, as session {start.session.id}. Nothing was read again.")
            return
        blocks = decode(file, notice=tell)
        reins = Reins()
        taken = _run(start, paced(blocks, reins) if pace else blocks, tools, sound, reins, as_json=as_json)
    report(taken, record)


def live_tools(record: Record, job: str | None, recogniser: str | None, second: str | None = None) -> SoundTools:
    """What hears, gates and keeps the sound of a live session; the recogniser and the reader are warmed up before anybody speaks."""
    from dataclasses import replace
    from functools import partial

    from gudgeon.audio import Gate, Keeper, speech_clips
    from gudgeon.cli import wiring
    from gudgeon.session import job_phrases

    phrases = [*job_phrases(record, job), *wiring.commands().phrases]
    ear = wiring.recogniser(recogniser, second=second, phrases=phrases, notice=tell)
    gate = partial(speech_clips, gate=Gate(pause_s=FOR_LIVE_PAUSE_S))
    return replace(wiring.sound_tools(ear), gate=gate, keeper=partial(Keeper, durable=True))


def _run(
    start: Start,
    blocks: Iterator[Samples],
    tools: Tools,
    sound: SoundTools,
    reins: Reins,
    *,
    as_json: bool,
    status: Callable[[], str] = lambda: "",
    **how: Any,
) -> Taken:
    """One live session from its first block to its end, shown as it goes."""
    from gudgeon.cli import wiring
    from gudgeon.cli.live_screen import screen
    from gudgeon.session import Voice
    from gudgeon.session import listen as run

    tools.read("ready")
    sheet = tools.record.sheet(start.session.job) is not None
    how.setdefault("ahead", CLIPS_AHEAD)
    voice = Voice(tools, start.session.id, reins, wiring.unit_words(), wiring.trade(), wiring.commands())
    with stopping(reins), screen(as_json=as_json, sheet=sheet, notes=lambda: tools.record.notes(start.session.id), status=status) as show:
        return run(start, blocks, tools, sound, show=show, reins=reins, obey=voice.obey, **how)


@contextmanager
def stopping(reins: Reins) -> Iterator[None]:
    """Ctrl-C (or a polite kill) asks the session to end; asked twice, it is broken off."""

    def asked(number: int, frame: Any) -> None:
        if reins.stop.is_set():
            raise KeyboardInterrupt
        reins.stop.set()
        tell("Ending: what was said until now is still read. Ctrl-C again breaks off.")

    before = {number: signal.signal(number, asked) for number in (signal.SIGINT, signal.SIGTERM)}
    try:
        yield
    finally:
        for number, handler in before.items():
            signal.signal(number, handler)


def paced(blocks: Iterator[Samples], reins: Reins) -> Iterator[Samples]:
    """Blocks no faster than they were spoken, a tenth of a second at a time."""
    import time

    from gudgeon.domain import SAMPLE_RATE

    begun, came, step = time.monotonic(), 0, SAMPLE_RATE // 10
    for block in blocks:
        for at in range(0, len(block), step):
            part = block[at : at + step]
            came += len(part)
            reins.stop.wait(max(0.0, begun + came / SAMPLE_RATE - time.monotonic()))
            yield part


def report(taken: Taken, record: Record) -> None:
    """Say how a live session ended."""
    session, count = taken.session, len(record.notes(taken.session.id))
    notes = f"{count} note{'' if count == 1 else 's'}"
    if taken.carried_on_from is not None:
        tell(f"Session {session.id} was broken off before; it was carried on.")
    if taken.stopped:
        tell(f"Broken off at {taken.session.reached:.0f} s. {notes} are kept in session {session.id}; the same command carries it on.")
        raise typer.Exit(1)
    tell(f"Session {session.id} is finished: {notes}. See it with: gudgeon summary {session.id}")
