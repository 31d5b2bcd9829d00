"""``gudgeon find``: any value ever used."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import TYPE_CHECKING, Annotated

import typer

from gudgeon.cli.options import AsJson, JobName, RecordDir
from gudgeon.cli.show import print_json, print_lines, tell, width

if TYPE_CHECKING:
    from gudgeon.record import Hit, Record

Words = Annotated[list[str] | None, typer.Argument(metavar="WORDS", help="Words to look for; slips of spelling are understood.")]
Part = Annotated[str | None, typer.Option("--part", metavar="PART", help="Only at this part.")]
TorqueRange = Annotated[str | None, typer.Option("--torque", metavar="RANGE", help='Only torques like 20..30, "15..20 lb ft" or 48.')]
ToolName = Annotated[str | None, typer.Option("--tool", metavar="TOOL", help="Only with this tool.")]
Thread = Annotated[str | None, typer.Option("--thread", metavar="THREAD", help="Only this thread, such as M8.")]
Since = Annotated[str | None, typer.Option("--since", metavar="DATE", help="Only sessions since then, such as 2026-05-04.")]
Verdict = Annotated[str | None, typer.Option("--verdict", metavar="VERDICT", help="Only values with this verdict, such as over.")]
Limit = Annotated[int, typer.Option("--limit", metavar="N", min=1, max=1000, help="How many at most.")]
Pictured = Annotated[bool, typer.Option("--pictured", help="Only what has a picture.")]
Play = Annotated[bool, typer.Option("--play", help="Play the sound of the best one.")]


def find(
    words: Words = None,
    part: Part = None,
    torque: TorqueRange = None,
    tool: ToolName = None,
    thread: Thread = None,
    verdict: Verdict = None,
    job: JobName = None,
    since: Since = None,
    pictured: Pictured = False,
    limit: Limit = 10,
    play: Play = False,
    as_json: AsJson = False,
    record: RecordDir = None,
) -> None:
    """Find any value ever used, with where it was said.

    Example: gudgeon find gearbox lid --torque 15..20
    """
    from gudgeon.cli import wiring
    from gudgeon.cli.quantities import torque_range
    from gudgeon.cli.take import parse_moment
    from gudgeon.domain import BadInput
    from gudgeon.record import Search

    low, high = torque_range(torque) if torque else (None, None)
    if not any([words, part, torque, tool, thread, verdict, since, job, pictured]):
        raise BadInput("Nothing was asked for.", next_step="Give words, for example: gudgeon find drain plug")
    asked = Search(
        words=tuple(words or ()), part=part, low_nm=low, high_nm=high, tool=tool, thread=thread, verdict=verdict, pictured=pictured, limit=limit
    )
    with wiring.open_record(record) as opened:
        hits = opened.find(replace(asked, job=job and opened.job(job).name, since=parse_moment(since) if since else None))
        _show(hits, opened, as_json=as_json)
        if play and hits:
            _play(hits[0], opened)


def _show(hits: Sequence[Hit], record: Record, *, as_json: bool) -> None:
    from gudgeon.cli import shapes
    from gudgeon.reports import hits_lines

    if not as_json:
        print_lines(hits_lines(hits, width=width()))
    for hit in hits if as_json else ():
        print_json(shapes.hit_json(hit, record.notes(hit.session.id)))


def _play(hit: Hit, record: Record) -> None:
    from gudgeon.audio import cut, play

    kept = [sound for sound in record.sounds(hit.session.id) if sound.forgotten is None]
    if hit.start is None or hit.end is None or not kept:
        gone = record.sounds(hit.session.id) and not kept
        tell("Its sound was forgotten." if gone else "There is no sound of it: it was typed, or taken from a text.")
        return
    play(cut(record.folder / kept[0].file, hit.start, hit.end))
