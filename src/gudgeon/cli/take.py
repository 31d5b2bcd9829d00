"""``gudgeon take``: a recording, a video or a text goes into the record."""

from __future__ import annotations

from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from gudgeon.cli.breaking import heed
from gudgeon.cli.options import AsJson, JobName, RecordDir, Speaker, Why
from gudgeon.cli.show import print_lines, progress, tell, width

if TYPE_CHECKING:
    from gudgeon.record import Record
    from gudgeon.session import Origin, SoundTools, Taken, Tools

Files = Annotated[list[Path], typer.Argument(metavar="FILE", help="Recordings, videos, or texts (.txt, .srt, .vtt).")]
At = Annotated[str | None, typer.Option("--at", metavar="TIME", help="When it began, such as 2026-05-04T09:30 (else the file's own date).")]
Again = Annotated[bool, typer.Option("--again", help="Read a file anew that is in the record already, as another session.")]
With = Annotated[str | None, typer.Option("--recogniser", metavar="NAME", help="What reads the sound (see: gudgeon ears).")]
Second = Annotated[
    str | None, typer.Option("--second", metavar="NAME", help="A recogniser that reads doubtful stretches again; both readings are kept.")
]


def take(
    files: Files,
    job: JobName = None,
    at: At = None,
    by: Speaker = None,
    recogniser: With = None,
    second: Second = None,
    again: Again = False,
    why: Why = False,
    as_json: AsJson = False,
    record: RecordDir = None,
) -> None:
    """Take recordings, videos or texts into the record, one session each.

    A file that was broken off (Ctrl-C, a power cut) is carried on where it stopped.

    Example: gudgeon take saturday.m4a --job "orchard tractor"
    """
    from gudgeon.cli import wiring
    from gudgeon.domain import GudgeonError
    from gudgeon.session import Origin

    started = parse_moment(at) if at else None
    with wiring.open_record(record) as opened:
        tools = wiring.tools(opened)
        job = wiring.pick_job(opened, job, make=True, tell=tell)
        by = by or wiring.setting("by") or None
        ears: dict[str, SoundTools] = {}
        failures = 0
        for path in files:
            try:
                origin = Origin(path, started or made(path), job=job, by=by, again=again)
                taken = take_origin(origin, tools, ears, recogniser, second)
            except GudgeonError as error:
                if len(files) == 1:
                    raise
                tell(str(error))
                failures += 1
                continue
            report(taken, opened, as_json=as_json, why=why)
            if taken.stopped:
                raise typer.Exit(1)
    if failures:
        raise typer.Exit(1)


def take_origin(origin: Origin, tools: Tools, ears: dict[str, SoundTools], recogniser: str | None = None, second: str | None = None) -> Taken:
    """Take one source with a progress bar; the recogniser is made when the first recording comes, and kept in ``ears``."""
    from gudgeon.cli import wiring
    from gudgeon.session import TEXT_KINDS, Step, job_phrases, take_recording, take_text

    text = origin.path.suffix.lower() in TEXT_KINDS
    total = None if text else _length(origin.path)
    with progress(origin.path.name, total, "notes" if text else "s") as update:

        def show(step: Step) -> None:
            update(step.done, step.text)
            heed()

        if text:
            return take_text(origin, tools, progress=show)
        if "ear" not in ears:
            likely = job_phrases(tools.record, origin.job)
            ears["ear"] = wiring.sound_tools(wiring.recogniser(recogniser, second=second, phrases=likely, notice=tell, for_recordings=True))
        return take_recording(origin, tools, ears["ear"], progress=show)


def report(taken: Taken, record: Record, *, as_json: bool, why: bool) -> None:
    """Say what came of a source, then print its summary or its JSON."""
    session = taken.session
    for notice in taken.notices:
        tell(notice)
    if taken.already:
        tell(f"{session.source} is in the record already, as session {session.id}. Nothing was read again. To read it anew, add --again.")
    if taken.carried_on_from is not None:
        tell(f"Session {session.id} was broken off before; it was carried on.")
    if taken.stopped:
        count = len(record.notes(session.id))
        tell(f"Stopped. {count} note{'' if count == 1 else 's'} are kept in session {session.id}. Take the same file again to carry on.")
    from gudgeon.cli.summary import show_session

    show_session(record, session.id, as_json=as_json, why=why, timing=taken.timing)
    if not as_json and not taken.already:
        _offer_answers(record, session.id)


def _offer_answers(record: Record, session: int) -> None:
    """Say which open items of earlier talk the new values may answer."""
    from gudgeon.cli import wiring
    from gudgeon.reports import offer_lines
    from gudgeon.session import offers

    for offer in offers(record, session, wiring.reader().read):
        print_lines(offer_lines(offer.item, offer.values, width=width()))


def parse_moment(text: str) -> datetime:
    """A time as typed, in the owner's zone when it names none. Raises BadInput."""
    from gudgeon.domain import BadInput

    try:
        return datetime.fromisoformat(text).astimezone()
    except ValueError as error:
        raise BadInput(f"{text!r} is no time.", kept="Nothing was stored.", next_step="Write it like 2026-05-04 or 2026-05-04T09:30.") from error


def made(path: Path) -> datetime:
    """When a file says it was made, else when it was last written, less its length. Raises MissingThing."""
    from gudgeon.domain import BadInput, MissingThing

    if path.is_dir():
        raise BadInput(f"{path} is a folder.", kept="Nothing was stored.", next_step="Name the recordings in it.")
    if not path.is_file():
        raise MissingThing(f"There is no file {path}.", kept="Nothing was stored.", next_step="Check the name.")
    from datetime import UTC, timedelta

    written = datetime.fromtimestamp(path.stat().st_mtime, UTC)
    from gudgeon.session import TEXT_KINDS

    if path.suffix.lower() in TEXT_KINDS:
        return written
    from gudgeon.audio import probe

    found = probe(path)
    return found.created.astimezone() if found.created else written - timedelta(seconds=found.seconds or 0.0)


def _length(path: Path) -> float | None:
    from gudgeon.audio import probe

    return probe(path).seconds
