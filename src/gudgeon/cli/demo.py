"""``gudgeon demo``: the main job on the sample session."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from gudgeon.cli.options import AsJson, Why
from gudgeon.cli.show import tell

JOB = "orchard tractor"
Keep = Annotated[Path | None, typer.Option("--keep", metavar="DIR", help="Keep the record there, to look around in it.")]


def demo(keep: Keep = None, why: Why = False, as_json: AsJson = False) -> None:
    """Do the main job on the sample session: recording to record to summary, in a throw-away record.

    Where no speech model is installed the sample's written words are read instead of its sound.

    Example: gudgeon demo --keep try-it
    """
    import tempfile

    if keep is not None:
        _run(keep, why, as_json)
        tell(f"\nThe record is kept. Look around in it, for example:\n  gudgeon find gearbox --record {keep}\n  gudgeon open --record {keep}")
        return
    with tempfile.TemporaryDirectory(prefix="gudgeon-demo-") as folder:
        _run(Path(folder) / "record", why, as_json)


def _run(folder: Path, why: bool, as_json: bool) -> None:
    from gudgeon.checks import read_spec
    from gudgeon.cli import wiring
    from gudgeon.cli.take import made, report, take_origin
    from gudgeon.session import Origin, read_text

    recording, sheet = wiring.sample("orchard_session.flac"), wiring.sample("orchard_spec.csv")
    with wiring.open_record(folder) as record:
        if JOB not in [job.name for job in record.jobs()]:
            record.new_job(JOB)
        text = read_text(sheet)
        record.put_sheet(name=sheet.name, text=text, sheet=read_spec(text.split("\n")), job=JOB)
        if _can_listen():
            tell(f"Listening to {recording.name}, a made-up session read by synthetic voices …")
        else:
            recording = wiring.sample("orchard_session.txt")
            tell(f"No speech model is installed (gudgeon ears says how to get one), so the words of {recording.name} are read.")
        taken = take_origin(Origin(recording, made(recording), job=JOB), wiring.tools(record), {})
        report(taken, record, as_json=as_json, why=why)
        if taken.stopped:
            raise typer.Exit(1)
        if not (as_json or taken.already):
            timing = taken.timing
            if not timing.audio_s:
                return
            tell(f"\n{timing.audio_s:.0f} s of sound in {timing.total_s:.0f} s, on this computer alone.")


def _can_listen() -> bool:
    """Whether the recogniser of the settings is there, its model too."""
    from gudgeon.cli import wiring
    from gudgeon.speech import find_recognisers

    wanted = wiring.setting("recogniser")
    of_it = [found for found in find_recognisers(model_dirs=wiring.model_folders()) if found.name == wanted]
    return not of_it or any(found.usable for found in of_it)
