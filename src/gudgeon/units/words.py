"""The list of unit words, and how a run of words is matched against it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from gudgeon.domain import BadInput
from gudgeon.units.rows import SoundRow, UnitRow, read_column, read_sound_codes, read_sound_rows, read_unit_rows
from gudgeon.units.sounds import Sounds, SoundTarget

SEPARATORS = frozenset("-·*.⋅•×‐‑–")
"""Signs that may stand between the words of one unit: N·m, ft-lb, ft.lb."""
OPEN_WORDS = frozenset(
    ["the", "a", "an", "my", "this", "that", "these", "those", "it", "its", "there", "each", "all", "total", "here", "our", "your", "his", "her"],
)
"""Words before which "in" is the preposition: "2 lb in the tin"."""


@dataclass(frozen=True, slots=True)
class UnitHit:
    """Unit words found: canonical ``unit`` (``N*m``, ``mm`` …), how many words they took, and their family.

    ``family`` is one of torque, length, pressure, temperature, volume, angle, mass, turn, speed, voltage, resistance, force.
    ``ambiguous`` is True for words that are no torque unit by themselves: "pounds", "kilos" (``unit`` ``lb``, ``kg``, family mass; a torque in
    them has unit None) and "newtons" (``unit`` ``N*m``, family force: newton metres only where something is tightened); ``reason`` says why.
    ``mended`` keeps the words that were heard when the unit was found by its sound.
    """

    unit: str
    length: int
    family: str
    ambiguous: bool = False
    reason: str = ""
    mended: str | None = None
    row: str = ""
    """The table and row it was read from."""


@dataclass(slots=True)
class _Node:
    """One step in the tree of unit words: what may follow, and the unit that may end here."""

    after: dict[str, _Node] = field(default_factory=dict)
    row: UnitRow | None = None


@dataclass(frozen=True, slots=True)
class UnitWords:
    """All unit words of the house, ready to match; build it with ``from_tables``."""

    root: _Node
    size_words: frozenset[str]
    sounds: Sounds
    mil: str = "mm"

    @classmethod
    def from_tables(cls, tables: Mapping[str, Sequence[str]], *, mil: str = "mm") -> UnitWords:
        """Build from the lines of the room's tables (file stem → lines).

        ``mil`` is what "mil" means to the owner, ``mm`` or ``thou``. Raises BadTable with the row's number, BadInput for another ``mil``.
        """
        if mil not in ("mm", "thou"):
            raise BadInput(f'"mil" cannot mean {mil!r}.', next_step='Set it to "mm" or "thou".')
        root = _Node()
        for row in read_unit_rows(tables["unit_words"]):
            node = root
            for word in row.form.split():
                node = node.after.setdefault(word, _Node())
            node.row = row
        targets = [_target(row) for row in read_sound_rows(tables["unit_sounds"])]
        return cls(root, frozenset(read_column(tables["size_words"], "word")), Sounds(read_sound_codes(tables["sound_codes"]), targets), mil)

    def match(self, words: Sequence[str], at: int) -> UnitHit | None:
        """The longest unit that starts at ``words[at]``, to be asked right after a figure (``words[at - 1]``).

        ``words`` are lower case; dots, stars and hyphens between the words of one unit may be words of their own or be absent.
        """
        if at >= len(words) or words[at] not in self.root.after:
            return None
        node, here, best = self.root, at, None
        while here < len(words):
            step = node.after.get(words[here])
            if step is None:
                if here == at or words[here] not in SEPARATORS:
                    break
                here += 1
                continue
            node, here = step, here + 1
            if node.row is not None and _fits(node.row.care, words, at, here, self.size_words):
                best = self._hit(node.row, here - at)
        return best

    def sounds_like(self, words: Sequence[str], at: int) -> UnitHit | None:
        """A unit misheard at ``words[at]``, right after a figure, found by its sound; None for ordinary talk.

        The sound of one to three words is compared with the sound of each unit in ``unit_sounds.csv``; no slip is listed anywhere.
        """
        found = self.sounds.find(words, at)
        if found is None:
            return None
        target, length = found
        mended = " ".join(words[at : at + length])
        return UnitHit(
            target.unit, length, target.family, ambiguous=target.family == "force", mended=mended, row=f"unit_sounds.csv row {target.line}"
        )

    def _hit(self, row: UnitRow, length: int) -> UnitHit:
        unit = self.mil if row.care == "mil" else row.unit
        ambiguous = row.care in ("alone", "way") or (row.family == "force")
        return UnitHit(unit, length, row.family, ambiguous, row.why if ambiguous else "", row=f"unit_words.csv row {row.line}")


def _fits(care: str, words: Sequence[str], at: int, end: int, size_words: frozenset[str]) -> bool:
    """Whether a unit form that needs care may stand at ``words[at:end]``."""
    if care in ("", "mil", "alone", "way"):
        return True
    after = words[end] if end < len(words) else ""
    if care == "open":
        joined = any(w in SEPARATORS for w in words[at:end])  # "40 lbf.in each"
        return joined or after not in OPEN_WORDS
    if care == "last":
        return not after[:1].isalpha()
    figure = words[at - 1] if at else ""
    written = any(c.isdigit() for c in figure)
    if care == "size":
        return written and (after in size_words or (not figure.isdigit() and after not in OPEN_WORDS))
    return written


def _target(row: SoundRow) -> SoundTarget:
    return SoundTarget(row.unit, row.family, tuple(row.spoken.split()), row.limit, row.loose, row.line)
