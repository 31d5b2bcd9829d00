"""A recording brought to the page: taken in as it streams, then read in the background, one after the other, whether the page stays open or not."""

from __future__ import annotations

import re
import shutil
import tempfile
import threading
from collections.abc import Callable
from dataclasses import asdict, dataclass
from datetime import UTC, datetime
from pathlib import Path

from gudgeon.domain import BadInput, Failure, GudgeonError
from gudgeon.pages.house import House
from gudgeon.reports import saying
from gudgeon.session import TEXT_KINDS, Origin, Step, Taken, take_recording, take_text

FOLDER = "incoming"
LARGEST = 2 << 30
KEEP_FREE = 1 << 29
UNSAFE = re.compile(r"[^\w .()+-]", re.ASCII)


@dataclass(slots=True)
class Reading:
    """A brought recording on its way. ``state`` is waiting, reading, done, stopped or failed."""

    number: int
    name: str
    job: str | None
    state: str = "waiting"
    reached: str = ""
    said: str = ""
    session: int | None = None
    stop: bool = False


def safe_name(name: str) -> str:
    """A file name without folders or odd letters, no longer than 80; ``recording`` when nothing is left."""
    last = name.replace("\\", "/").rpartition("/")[2]
    return UNSAFE.sub("_", last).strip(". ")[-80:] or "recording"


def discard(path: Path) -> None:
    """Remove a file that was brought, with the folder made for it."""
    shutil.rmtree(path.parent, ignore_errors=True)


class Bench:
    """The recordings that were brought since the server started."""

    def __init__(self, house: House) -> None:
        self._house = house
        self._one = threading.Lock()
        self._readings: list[Reading] = []

    def place(self, name: str, job: str | None, size: int) -> Path:
        """Where a recording of ``size`` bytes is to be written while it comes. Raises BadInput, Failure."""
        with self._house.open_record() as record:
            if job is not None:
                record.job(job)
            folder = record.folder / FOLDER
        folder.mkdir(exist_ok=True)
        if shutil.disk_usage(folder).free - size < KEEP_FREE:
            raise Failure("There is too little room on the disk.", kept="Nothing was stored.", next_step="Make room, then bring it again.")
        own = Path(tempfile.mkdtemp(prefix=f"{self._house.clock():%Y%m%d-%H%M%S}-", dir=folder))
        target = own / safe_name(name)
        if not target.resolve().is_relative_to(own.resolve()):
            raise BadInput("That is no name for a file.", kept="Nothing was stored.")
        return target

    def begin(self, path: Path, name: str, job: str | None) -> Reading:
        """Read a recording in the background."""
        reading = Reading(len(self._readings) + 1, safe_name(name), job)
        self._readings.append(reading)
        threading.Thread(target=self._read, args=(reading, path), daemon=True).start()
        return reading

    def stop(self, number: int) -> None:
        """Ask a reading to end; what is read stays. Raises BadInput."""
        found = next((reading for reading in self._readings if reading.number == number), None)
        if found is None:
            raise BadInput("There is no such recording.", kept="Nothing was changed.")
        found.stop = True

    def all(self) -> list[dict[str, object]]:
        """All readings, newest first, as JSON rows."""
        return [asdict(reading) for reading in reversed(self._readings)]

    def _read(self, reading: Reading, path: Path) -> None:
        with self._one:
            if reading.stop:
                reading.state, reading.said = "stopped", "It was stopped before it was read."
            else:
                self._take(reading, path)
        discard(path)

    def _take(self, reading: Reading, path: Path) -> None:
        reading.state = "reading"
        try:
            taken = self._taken(reading, path)
        except GudgeonError as error:
            reading.state, reading.said = "failed", " ".join(text for text in (error.happened, error.kept, error.next_step) if text)
        except Exception:
            reading.state, reading.said = "failed", "Something went wrong while it was read. The notes so far are kept."
            raise
        else:
            reading.session = taken.session.id
            reading.state = "stopped" if taken.stopped else "done"
            kept = f"It is session {taken.session.id}."
            again = " Bring the same file again to carry on where it stopped." if taken.stopped else ""
            reading.said = f"This recording was in the record already. {kept}" if taken.already else kept + again

    def _taken(self, reading: Reading, path: Path) -> Taken:
        with self._house.open_record() as record:
            tools = self._house.tools(record)
            origin = Origin(path, started=datetime.fromtimestamp(path.stat().st_mtime, UTC), job=reading.job)
            if path.suffix.lower() in TEXT_KINDS:
                return take_text(origin, tools, progress=_watch(reading, lambda done: saying.counted(int(done), "note")))
            if self._house.hear is None:
                raise Failure("There is no recogniser here.", kept="Nothing was stored.", next_step="See: gudgeon ears.")
            return take_recording(origin, tools, self._house.hear(record, reading.job), progress=_watch(reading, saying.length))


def _watch(reading: Reading, words: Callable[[float], str]) -> Callable[[Step], None]:
    def watch(step: Step) -> None:
        reading.reached = words(step.done)
        if reading.stop:
            raise KeyboardInterrupt  # how a session is broken off: every note so far stays

    return watch
