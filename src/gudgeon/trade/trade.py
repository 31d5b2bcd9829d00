"""The trade's knowledge in one frozen object, looked up by thread, grade, condition, tool or part."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache

from gudgeon.domain import BadInput
from gudgeon.trade import tables as read
from gudgeon.trade.kinds import Bearing, DriveSize, Friction, Insert, Locker, Material, PartWord, Strength, Thread
from gudgeon.trade.thread_names import ThreadName, read_thread

_LONGEST = 3
"""Words in the longest phrase of part_words.csv."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Trade:
    """All of the trade's tables, read and checked; compared by identity, so that sums can be remembered for it."""

    threads: Mapping[str, Thread]
    strengths: tuple[Strength, ...]
    frictions: Mapping[str, Friction]
    bearings: Mapping[tuple[str, str], Bearing]
    drives: tuple[DriveSize, ...]
    inserts: Mapping[str, Insert]
    lockers: Mapping[str, Locker]
    materials: tuple[Material, ...]
    part_words: Mapping[str, tuple[PartWord, ...]]
    quantities: Mapping[str, str]
    by_size: Mapping[str, tuple[Thread, ...]]

    @classmethod
    def from_tables(cls, tables: Mapping[str, Sequence[str]]) -> Trade:
        """Read the lines of the room's CSV tables (file stem → lines). Raises BadTable naming table, line and column."""
        threads = read.read_threads(tables)
        return cls(
            threads={thread.name: thread for thread in threads},
            by_size={thread.size: tuple(t for t in threads if t.size == thread.size) for thread in threads},
            strengths=read.read_strengths(tables),
            frictions=read.read_frictions(tables),
            bearings=read.read_bearings(tables),
            drives=read.read_drives(tables),
            inserts=read.read_inserts(tables),
            lockers=read.read_lockers(tables),
            materials=read.read_materials(tables),
            quantities=read.read_quantities(tables),
            part_words=_by_words(read.read_part_words(tables)),
        )

    def threads_of(self, name: str) -> tuple[Thread, ...]:
        """The threads a name may mean: the one it names, or coarse and fine of its size, coarse first; made up when the pitch is not listed."""
        if not name:
            return ()
        try:
            said = read_thread(name)
        except BadInput:
            return ()
        if said.pitch_mm is not None and said.diameter_mm is not None:
            listed = [thread for thread in self.by_size.get(said.size, ()) if abs(thread.pitch_mm - said.pitch_mm) < 1e-6]
            return tuple(listed) or (_unlisted(said),)
        wanted = {"UNC": "coarse", "UNF": "fine"}.get(said.text.rpartition(" ")[2])
        return tuple(t for t in self.by_size.get(said.size, ()) if wanted is None or t.series == wanted)

    def strength(self, grade: str | None, thread: Thread) -> Strength | None:
        """What a grade bears at a thread's diameter; None for a grade that is unknown, or not made for that kind of thread."""
        for strength in self.strengths:
            made = strength.family != "inch" or thread.kind in {"unified", "BSW"}
            if made and strength.grade == grade and strength.over_mm < thread.diameter_mm <= strength.up_to_mm:
                return strength
        return None

    def strongest(self, thread: Thread) -> Strength | None:
        """The strongest ordinary grade for a thread: 12.9 on metric, grade 8 on inch threads."""
        return self.strength("8" if thread.kind in {"unified", "BSW"} else "12.9", thread)

    def friction(self, condition: str | None) -> Friction | None:
        """Friction by condition or compound, as named in the table; None for one it does not hold."""
        return self.frictions.get((condition or "").lower())

    def bearing(self, thread: Thread, head: str = "hex") -> Bearing | None:
        """Bearing face and hole of a head on this thread's size; None where the table has none."""
        size = thread.size.removesuffix(" BSW")
        return self.bearings.get((size, head))

    def fits(self, *, width: float, unit: str, drive: str | None = None) -> tuple[DriveSize, ...]:
        """Heads that a wrench or key of this width fits, within a hundredth of a millimetre or a thousandth of an inch."""
        hair = 0.01 if unit == "mm" else 0.001
        return tuple(d for d in self.drives if d.unit == unit and abs(d.width - width) <= hair and (drive is None or d.drive == drive))

    def material(self, name: str | None) -> Material | None:
        """The material a thread is cut in, by any of its words."""
        plain = " ".join((name or "").lower().split())
        return next((m for m in self.materials if plain in m.words), None)

    def locker(self, text: str | None) -> str | None:
        """The strength a thread locker's colour or strength word means, None when the text says neither."""
        words = (text or "").lower().replace("-", " ").split()
        for locker in self.lockers.values():
            if locker.colour in words or locker.strength in words:
                return locker.strength
        return None

    def quantity(self, text: str) -> str:
        """The one name of a measured quantity: a valve gap is a clearance; an unknown name stays as it is, in lower case."""
        plain = " ".join(text.lower().split())
        return self.quantities.get(plain, plain)

    def words_in(self, name: str, kind: str) -> tuple[PartWord, ...]:
        """Words of one kind (safety, often opened, hollow body) in a part's name, whole words, singular or plural."""
        return _words_in(self, name, kind)


@lru_cache(maxsize=16_384)
def _words_in(trade: Trade, name: str, kind: str) -> tuple[PartWord, ...]:
    tokens = [_level(word) for word in name.lower().replace("-", " ").split()]
    phrases = (" ".join(tokens[at : at + length]) for at in range(len(tokens)) for length in range(1, _LONGEST + 1) if at + length <= len(tokens))
    return tuple(word for phrase in phrases for word in trade.part_words.get(phrase, ()) if word.kind == kind)


def _level(word: str) -> str:
    """A word without the plural's s, so that both forms meet."""
    return word[:-1] if len(word) > 3 and word.endswith("s") and not word.endswith("ss") else word


def _by_words(words: Sequence[PartWord]) -> dict[str, tuple[PartWord, ...]]:
    found: dict[str, tuple[PartWord, ...]] = {}
    for word in words:
        phrase = " ".join(_level(part) for part in word.words.replace("-", " ").split())
        found[phrase] = (*found.get(phrase, ()), word)
    return found


def _unlisted(said: ThreadName) -> Thread:
    diameter, pitch = said.diameter_mm or 0.0, said.pitch_mm or 0.0
    return Thread(said.text, said.size, said.kind, "special", diameter, pitch, "computed from its name; not in the table of usual threads")
