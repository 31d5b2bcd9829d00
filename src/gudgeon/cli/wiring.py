"""The edge of the house: picks the record's folder, the clock, the settings, the reader, the judge and the recogniser, and opens the tables."""

from __future__ import annotations

import os
import time
from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from datetime import UTC, datetime
from functools import cache
from importlib import resources
from pathlib import Path
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from gudgeon.entries import Assembler
    from gudgeon.facts import Reader
    from gudgeon.record import Record
    from gudgeon.session import Commands, Rules, SoundTools, Tools
    from gudgeon.speech import ModelFiles, Recogniser
    from gudgeon.trade import Trade
    from gudgeon.units import UnitWords


def record_folder(option: Path | None) -> Path:
    """Where the record is: the option, else GUDGEON_RECORD, else the user's data folder."""
    if option:
        return option.expanduser()
    if os.environ.get("GUDGEON_RECORD"):
        return Path(os.environ["GUDGEON_RECORD"]).expanduser()
    from platformdirs import user_data_path

    return user_data_path("gudgeon", appauthor=False) / "record"


def model_folders() -> list[Path]:
    """Where recognisers' models are looked for: the clone's ``models``, then the user's data folder."""
    from platformdirs import user_data_path

    clone = Path(__file__).parents[3] / "models"
    named = [Path(part) for part in os.environ.get("GUDGEON_MODELS", "").split(os.pathsep) if part]
    return [*named, *([clone] if clone.is_dir() else []), user_data_path("gudgeon", appauthor=False) / "models"]


def data_folder() -> Path:
    """The user's data folder, for what belongs to no record."""
    from platformdirs import user_data_path

    return user_data_path("gudgeon", appauthor=False)


def cache_folder() -> Path:
    """Where rebuilt models are kept."""
    from platformdirs import user_cache_path

    return user_cache_path("gudgeon", appauthor=False)


def sample(name: str) -> Path:
    """A file of the sample session, in a clone or in the installed package. Raises MissingThing."""
    from gudgeon.domain import MissingThing

    for folder in (Path(__file__).parents[1] / "sample_audio", Path(__file__).parents[3] / "sample_audio"):
        if (folder / name).is_file():
            return folder / name
    raise MissingThing(f"The sample file {name} is not part of this installation.", next_step="Install gudgeon again, or run it from a full clone.")


def clock() -> datetime:
    """Now, in UTC."""
    return datetime.now(UTC)


def tables(room: str) -> Mapping[str, Sequence[str]]:
    """The bundled tables of a room: file stem → lines."""
    folder = resources.files(f"gudgeon.{room}").joinpath("tables")
    files = [file for file in folder.iterdir() if file.name.endswith(".csv")]
    return {file.name.removesuffix(".csv"): file.read_text(encoding="utf-8").splitlines() for file in files}


def setting(name: str) -> Any:
    """One of the owner's settings, or its default."""
    from gudgeon.cli.settings import value_of

    return value_of(name)


def unit_words() -> UnitWords:
    """The unit words, with what the owner means by "mil"."""
    from gudgeon.units import UnitWords

    return UnitWords.from_tables(tables("units"), mil=setting("mil"))


def reader() -> Reader:
    """What reads facts from a note (loads spaCy the first time: a second or two)."""
    return _reader(setting("mil"))


@cache
def _reader(mil: str) -> Reader:
    from gudgeon.facts import Reader
    from gudgeon.units import UnitWords

    return Reader.from_tables(tables("facts"), UnitWords.from_tables(tables("units"), mil=mil))


def commands() -> Commands:
    """What tells spoken commands from notes, for the owner's wake phrase."""
    from gudgeon.session import Commands

    return Commands(tables("session")["commands"], unit_words().sounds, setting("wake"))


@cache
def trade() -> Trade:
    """What the trade knows."""
    from gudgeon.trade import Trade

    return Trade.from_tables(tables("trade"))


@cache
def assembler() -> Assembler:
    """What puts the facts of a session's notes together."""
    from gudgeon.entries import Assembler

    return Assembler.from_tables(tables("entries"), unit_words())


def rules() -> Rules:
    """What makes entries and open items of notes, and what judges them."""
    from functools import partial

    from gudgeon.checks import judge
    from gudgeon.session import Redone, Rules

    made, redone = assembler(), Redone(tables("session")["redone"])
    return Rules(assemble=made.assemble, open_items=made.open_items, judge=partial(judge, trade=trade()), redone=redone.joint)


@contextmanager
def open_record(option: Path | None) -> Iterator[Record]:
    """The record, let go at the end; what the database refuses comes out in plain words."""
    from gudgeon.record import Record

    with Record.open(record_folder(option), clock=clock) as record:
        yield record


def tools(record: Record) -> Tools:
    """What any session works with. The reader is made when the first note comes."""
    from gudgeon.session import Tools

    made: list[Reader] = []

    def read(text: str) -> Any:
        if not made:
            made.append(reader())
        return made[0].read(text)

    return Tools(record=record, read=read, rules=rules(), clock=clock)


def recogniser(
    name: str | None = None,
    *,
    second: str | None = None,
    phrases: Sequence[str] = (),
    notice: Callable[[str], None] = lambda _: None,
    for_recordings: bool = False,
) -> Recogniser:
    """The recogniser of that name, else the owner's setting, else the embedded one; ``second`` reads again what the first doubts.

    ``phrases`` are likely here, beside the built-in ones: names of the owner's sheet, parts of earlier sessions. One that is made
    ``for_recordings`` reads several clips at once. Raises MissingThing, BadInput.
    """
    from gudgeon.domain import BadInput

    name = name or setting("recogniser")
    first = _recogniser(name, phrases, notice, readers=min(4, os.cpu_count() or 1) if for_recordings else 1)
    if second is None:
        return first
    if second == name:
        raise BadInput(f"{name} cannot be its own second recogniser.", next_step="Name another; gudgeon ears shows which there are.")
    from gudgeon.speech import WithSecond

    return WithSecond(first, _recogniser(second, phrases, notice, readers=1))


def _recogniser(name: str, phrases: Sequence[str], notice: Callable[[str], None], *, readers: int) -> Recogniser:
    from gudgeon.domain import BadInput, MissingThing
    from gudgeon.speech import Embedded, Vosk, find_recognisers, model_in, read_instructions, read_phrases

    for found in find_recognisers(model_dirs=model_folders()):
        if found.name == name and not found.usable:
            raise MissingThing(f"The recogniser {name!r} cannot be used.", next_step=found.what_to_do)
        if found.name == name == "embedded" and found.where:
            opened = tables("speech")
            table = opened["phrases"]
            return Embedded(
                model_in(found.where),
                cache=cache_folder(),
                phrases=[*read_phrases(table), *phrases],
                units=read_phrases(table, kind="torque unit"),
                lead_ins=read_phrases(table, kind="leads to a figure"),
                instructions=read_instructions(opened["instructions"]),
                notice=notice,
                readers=readers,
            )
        if found.name == name == "vosk" and found.where:
            return Vosk(found.where)
    raise BadInput(f"There is no recogniser {name!r}.", next_step="See which there are with `gudgeon ears`.")


def embedded_model() -> ModelFiles:
    """The embedded model's files. Raises MissingThing."""
    from gudgeon.speech import installed_model, model_in

    folders = [folder for top in model_folders() if top.is_dir() for folder in (top, *sorted(top.iterdir())) if folder.is_dir()]
    return next((files for folder in folders if (files := model_in(folder))), None) or installed_model()


def sound_tools(ear: Recogniser) -> SoundTools:
    """What a recording needs."""
    from gudgeon.audio import Keeper, decode, speech_clips
    from gudgeon.session import SoundTools

    return SoundTools(
        recogniser=ear,
        decode=lambda path, notice: decode(path, notice=notice),
        gate=speech_clips,
        keeper=Keeper,
        seconds_now=time.perf_counter,
    )


def pick_job(record: Record, name: str | None, *, make: bool, tell: Callable[[str], None]) -> str | None:
    """The job to use: the one named (made when ``make`` and no other is spelt nearly so), else the setting, else the only open one.

    Where nothing is stored (``make`` false) and several are open, that of the latest session is meant, and it is told.
    """
    from gudgeon.domain import BadInput

    open_jobs = [job.name for job in record.jobs() if job.closed is None]
    if name is None:
        name = setting("job") or (open_jobs[0] if len(open_jobs) == 1 else None)
        if name is None and not make:
            name = _latest_job(record, open_jobs)
            if name is not None:
                tell(f"Taken as {name}, the job of the latest session; --job names another.")
        return name if name in [job.name for job in record.jobs()] else None
    known = {job.name.lower(): job.name for job in record.jobs()}
    if name.lower() in known:
        return known[name.lower()]
    near = _near(name, list(known.values()))
    if near:
        raise BadInput(
            f"There is no job called {name!r}, but there is {near!r}.",
            kept="Nothing was stored.",
            next_step=f'Use that name, or make the new one with: gudgeon job new "{name}"',
        )
    if not make:
        return record.job(name).name
    tell(f"New job: {name}")
    return record.new_job(name).name


def _latest_job(record: Record, open_jobs: Sequence[str]) -> str | None:
    found = [session for job in open_jobs if (session := record.latest_session(job))]
    latest = max(found, key=lambda session: session.id, default=None)
    return latest.job if latest else None


def _near(name: str, known: Sequence[str]) -> str | None:
    from rapidfuzz import fuzz, process

    found = process.extractOne(name.lower(), known, processor=str.lower, scorer=fuzz.ratio, score_cutoff=84)
    return found[0] if found else None
