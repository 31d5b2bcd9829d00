"""``gudgeon listen``: a live session, from the microphone or from a recording played through the same way."""

from __future__ import annotations

import signal
from collections.abc import Callable, Iterator
from contextlib import ExitStack, contextmanager
from dataclasses import dataclass
from itertools import chain
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

import typer

from gudgeon.cli.live_keys import typing
from gudgeon.cli.live_parts import answering, deaf_to_itself, live_tools, mouth, warm_up, with_words
from gudgeon.cli.live_screen import Notices, screen
from gudgeon.cli.options import AsJson, JobName, RecordDir, Speaker
from gudgeon.cli.show import tell

if TYPE_CHECKING:
    from gudgeon.audio import Gap, Gate
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
Plain = Annotated[bool, typer.Option("--plain", help="One phrase after the other, without colour or movement: for logs and screen readers.")]
Quiet = Annotated[bool, typer.Option("--quiet", help="No tones, and answers are shown only.")]
Aloud = Annotated[bool, typer.Option("--aloud", help="With --from: tones and spoken answers too.")]
CLIPS_AHEAD = 8


@dataclass(frozen=True)
class _Way:
    """How a live session is shown and heard."""

    as_json: bool
    plain: bool
    audible: bool
    notices: Notices


def listen(
    file: From = None,
    microphone: At = None,
    carry_on: CarryOn = False,
    pace: Pace = False,
    job: JobName = None,
    by: Speaker = None,
    recogniser: With = None,
    plain: Plain = False,
    quiet: Quiet = False,
    aloud: Aloud = False,
    as_json: AsJson = False,
    record: RecordDir = None,
) -> None:
    """Listen, and show each phrase with its facts and verdicts as soon as it is spoken.

    Ctrl-C ends the session in order: what was said until then is read first; a second Ctrl-C breaks it off. A session that was broken off is
    carried on. A line that is typed meanwhile is a note too.

    The wake phrase ("hello workshop") makes the rest a command: strike that, make it 25 newton metres, open item WORDS, what is open, how many
    left, read that back, pause, carry on, end session, or a question such as what is the torque for the drain plug. Answers are spoken.

    Example: gudgeon listen --from saturday.m4a --job "orchard tractor"
    """
    from gudgeon.cli import wiring

    for name in ("tones", "answers", "doubts"):
        wiring.setting(name)  # one that cannot be is refused before a session begins
    with wiring.open_record(record) as opened:
        job = wiring.pick_job(opened, job, make=True, tell=tell)
        by = by or wiring.setting("by") or None
        if file is None:
            way = _Way(as_json, plain, not quiet, Notices())
            _listen_at_microphone(microphone, opened, way, job=job, by=by, recogniser=recogniser, carry_on=carry_on)
        else:
            way = _Way(as_json, plain, aloud and not quiet, Notices())
            _listen_to_file(file, opened, way, job=job, by=by, recogniser=recogniser, pace=pace)


def _listen_at_microphone(
    wanted: str | None, record: Record, way: _Way, *, job: str | None, by: str | None, recogniser: str | None, carry_on: bool
) -> None:
    from gudgeon.audio import Capture, KeptGap, choose, gap_words, keep_gap, kept_again, level_words
    from gudgeon.cli import wiring
    from gudgeon.session import Reins, begin_live

    found = choose(wanted or wiring.setting("microphone") or None)
    tools, reins = wiring.tools(record), Reins()
    sound, gate = live_tools(record, job, recogniser, notice=way.notices.tell)
    tools.read("ready")
    warm_up(sound)
    earlier = _earlier(record, job, carry_on)
    begin = begin_live(tools, job=job, by=by, recogniser=sound.recogniser.name, source=f"microphone {found.name}", carry_on=earlier)
    with begin as start, stopping(reins, way.notices.tell):  # from here on, so that Ctrl-C does what is told below
        folder = record.folder / f"sound/{start.session.id}"

        def missing(gap: Gap) -> None:
            keep_gap(folder, KeptGap(reins.seconds, gap.lasted, gap.filled))
            way.notices.warn(gap_words(gap))

        capture = Capture(found, tell=way.notices.tell, gap=missing)
        if wanted:
            _remember(found.name)
        before = chain(kept_again(folder, start.reached or 0.0), _pause() if earlier else ())
        tell(f"Listening at {found.name}. Ctrl-C ends the session, or say: {wiring.setting('wake')}, end session.")

        def status() -> str:
            lost = f" · sound was lost {capture.overruns} times" if capture.overruns else ""
            level = "the microphone is away" if capture.gone else level_words(capture.peak)
            return f"{_clock(reins.seconds)} · {level}{lost}"

        blocks = chain(before, capture.blocks(reins.stop))
        taken = _run(start, blocks, tools, sound, gate, reins, way, status=status, own=True, ahead=0, endless=True)
    if capture.overruns:
        tell(f"Sound was lost {capture.overruns} times, because the computer was too busy.")
    report(taken, record)


def _pause() -> Iterator[Samples]:
    """Silence between what was kept before a session was broken off and what comes now: no phrase goes on over it."""
    import numpy as np

    from gudgeon.domain import SAMPLE_RATE

    yield np.zeros(SAMPLE_RATE, dtype=np.float32)


def _remember(name: str) -> None:
    from gudgeon.cli import wiring
    from gudgeon.cli.settings import remember

    if wiring.setting("microphone") != name:
        remember("microphone", name)
        tell(f"{name} is the microphone from now on; another with --microphone.")


def _clock(seconds: float) -> str:
    from gudgeon.reports import saying

    return saying.clock(seconds)


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


def _listen_to_file(file: Path, record: Record, way: _Way, *, job: str | None, by: str | None, recogniser: str | None, pace: bool) -> None:
    from gudgeon.audio import decode
    from gudgeon.cli import wiring
    from gudgeon.cli.take import made
    from gudgeon.session import Origin, Reins, begin

    tools = wiring.tools(record)
    origin = Origin(file, made(file), job=job, by=by)
    sound, gate = live_tools(record, job, recogniser, notice=way.notices.tell)
    with begin(origin, record, sound.recogniser.name) as start:
        if start.already:
            tell(f"{file} is in the record already, as session {start.session.id}. Nothing was read again.")
            return
        blocks = decode(file, notice=way.notices.tell)
        reins = Reins()
        blocks = paced(blocks, reins) if pace else blocks
        taken = _run(start, blocks, tools, sound, gate, reins, way, status=lambda: _clock(reins.seconds), ahead=CLIPS_AHEAD)
    report(taken, record)


def _run(
    start: Start,
    blocks: Iterator[Samples],
    tools: Tools,
    sound: SoundTools,
    gate: Gate,
    reins: Reins,
    way: _Way,
    *,
    status: Callable[[], str],
    own: bool = False,
    **how: Any,
) -> Taken:
    """One live session from its first block to its end, shown and answered as it goes. With ``own`` the microphone may hear the answers."""
    from gudgeon.cli import wiring
    from gudgeon.session import Voice
    from gudgeon.session import listen as run

    tools.read("ready")
    session, record = start.session, tools.record
    asks = wiring.setting("doubts") == "asked"
    voice = Voice(tools, session.id, reins, wiring.unit_words(), wiring.trade(), wiring.commands(), asks)
    sheet = record.sheet(session.job) is not None
    shown = screen(as_json=way.as_json, plain=way.plain, sheet=sheet, notes=lambda: record.notes(session.id), status=status, notices=way.notices)
    speaks = mouth(record, session.id, reins, audible=way.audible, busy=lambda: own and gate.is_open, tell=way.notices.tell)
    with ExitStack() as stack:
        stack.callback(speaks.close)
        way.notices.aloud = speaks.warn
        stack.enter_context(stopping(reins, way.notices.tell))
        out = stack.enter_context(shown)
        stack.enter_context(typing(reins.typed.append, seen=out.typed))
        heard = stack.enter_context(with_words(blocks, sound, gate, out.partial))
        obey = deaf_to_itself(voice.obey, speaks, lambda: voice.paused) if own else voice.obey
        show = answering(out.phrase, speaks)
        taken = run(start, heard, tools, sound, show=show, reins=reins, obey=obey, ask=voice.ask_about, **how)
        speaks.close()  # the last answer is heard while the screen is still there
    return taken


@contextmanager
def stopping(reins: Reins, tell: Callable[[str], None] = tell) -> Iterator[None]:
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
