"""Values taken back in mid-speech: which figure gives way to which."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from gudgeon.facts.lexicon import Hit
from gudgeon.facts.marked import Marked
from gudgeon.facts.wordset import word_set
from gudgeon.notes import Quantity

BEFORE, AFTER = 6, 7
"""Tokens from a strong cue to the figure taken back, and to the one that replaces it."""
FAR = 14
"""Tokens from a strong cue to the same figure said again with another unit."""
NEAR = 2
"""The same for a weak cue ("no", "sorry")."""
CANCELLING = word_set("scrap scratch strike cancel forget scrub ignore leave")
"""Words of a cue that takes a value back even where nothing replaces it: "no, scrap that"."""
STANDS = word_set("stands stays holds remains")
"""Behind a figure: it was told before, and the one just said gives way to it."""
VALUES = ("figure", "thread", "star")
QUOTES = word_set("gives says say said has had wants prints shows reads")
OWN = word_set("takes took gets got had has wants needs is was to at")
"""Words right before the figure that holds for the speaker's own."""
PASSABLE = word_set(
    "the a an it it's 's that is was be were at to on them they should should've have been make uh um er for in not of with about i "
    "i've misread read yes and"
)


@dataclass(slots=True)
class Taken:
    """``by`` maps the token of a value taken back to the token that replaces it (None: nothing does); ``first`` is the way back."""

    by: dict[int, int | None] = field(default_factory=dict)
    first: dict[int, int] = field(default_factory=dict)

    def replaced(self, at: int) -> int | None:
        """The token of the value that the one at ``at`` replaces, the first in a chain."""
        return self.first.get(at)

    def take_back(self, old: int, new: int | None) -> None:
        """Note that ``new`` stands for ``old``; of several in a chain, the first said is what the last replaces."""
        if old in self.by:
            return
        self.by[old] = new
        if new is not None and new not in self.first:
            self.first[new] = self.first.get(old, old)


def find_taken_back(note: Marked, owners: Mapping[int, Quantity]) -> Taken:
    """All values taken back: "twelve no wait ten", "sixteen not eighteen", "wasn't twenty it was twenty three"."""
    taken = Taken()
    if not any(kind in VALUES for kind in note.kinds):
        return taken
    for start, end, strong in _cues(note):
        cancels = strong and not CANCELLING.isdisjoint(note.norms[start:end])
        old, new = _value_before(note, start, strong, FAR if cancels else BEFORE), _value_after(note, end, strong)
        if cancels and old is not None and _unit_of(owners, old) == "torque" and (new is None or note.word(new + 1) in STANDS):
            taken.take_back(old, None)
            continue
        if new is None and strong and old is not None:
            new = _said_again(note, owners, old, end)
        if old is None and note.norms[start] in ("no", "sorry", "oops", "wait"):
            old, new = _ended_then_no(note, owners, start, end)
        other = _quoted_then_own(note, owners, old, end) if old is not None else None
        if other is not None and old is not None:
            taken.take_back(old, other)
            continue
        if old is None or new is None or not _alike(note, owners, old, new):
            continue
        taken.take_back(old, new)
    _mark_not(note, owners, taken)
    return taken


def _cues(note: Marked) -> list[tuple[int, int, bool]]:
    """Cues in a row are one: "no sorry", "scratch that make it"."""
    merged: list[tuple[int, int, bool]] = []
    for hit in note.hits.get("corrections", ()):
        strong = hit.row["strength"] == "strong"
        if merged and _only_passable(note, merged[-1][1], hit.start):
            merged[-1] = (merged[-1][0], hit.end, True)
        else:
            merged.append((hit.start, hit.end, strong))
    return merged


def _only_passable(note: Marked, start: int, end: int) -> bool:
    return end - start <= 4 and all(note.norms[i] in PASSABLE or note.kinds[i] == "punct" or _is_filler(note, i) for i in range(start, end))


def _is_filler(note: Marked, at: int) -> bool:
    return bool(note.starting("fillers", at))


def _value_before(note: Marked, at: int, strong: bool, reach: int) -> int | None:
    words = 0
    for here in range(at - 1, max(-1, at - 1 - reach), -1):
        if note.kinds[here] in VALUES:
            return here if strong or words <= NEAR else None
        words += note.kinds[here] == "word"
        if note.kinds[here] == "punct" and note.norms[here][0] in ".?!;" and note.norms[here] not in ("...", "…") and not strong:
            return None
    return None


def _value_after(note: Marked, at: int, strong: bool) -> int | None:
    reach = AFTER if strong else NEAR
    for here in range(at, min(len(note.tokens), at + reach)):
        if note.kinds[here] in VALUES:
            return here if note.word(here - 1) not in ("more", "than", "number", "stage", "pass", "step") else None
        if note.kinds[here] == "word" and note.norms[here] in ("but", "so", "because"):
            return None
        if note.kinds[here] == "word" and not strong and note.norms[here] not in PASSABLE and not _is_filler(note, here):
            return None
    return None


def _said_again(note: Marked, owners: Mapping[int, Quantity], old: int, at: int) -> int | None:
    """ "ninety newton metres no hang on … ninety newton centimetres": the same figure, far behind the cue, with another unit of its family."""
    before = owners.get(old)
    for here in range(at, min(note.end_of(note.sentence, at - 1), at + FAR)):
        after = owners.get(here)
        if after is None or before is None or after.at < at or before.family is None:
            continue
        if after.value == before.value and after.family == before.family and after.unit != before.unit:
            return here
    return None


def _ended_then_no(note: Marked, owners: Mapping[int, Quantity], start: int, end: int) -> tuple[int | None, int | None]:
    """ "2 nuts, 12 in-lb. No, 14 in-lb.": a value that ended its sentence, and another that is all the next one says."""
    new = end + (note.word(end) == ",")
    after = owners.get(new)
    if note.word(start - 1) != "." or after is None or note.kind(new) != "figure" or note.kind(after.end) not in ("", "punct"):
        return None, None
    before = next((q for q in {id(q): q for q in owners.values()}.values() if q.end == start - 1), None)
    if before is None or before.family != "torque" or after.family not in (None, "torque"):
        return None, None
    return next((i for i in range(before.at, before.end) if note.kinds[i] == "figure"), None), new


def _quoted_then_own(note: Marked, owners: Mapping[int, Quantity], old: int, at: int) -> int | None:
    """ "35 in-lb, no, the card gives 35 for the old one, ours takes 48": the figure again as a source's, and another as what was done."""
    figures = [i for i in range(at, min(len(note.tokens), at + FAR + NEAR)) if note.kinds[i] == "figure"]
    before = owners.get(old)
    if len(figures) < NEAR or before is None or before.family != "torque":
        return None
    again, new = figures[0], figures[1]
    same = note.tokens[again].value == note.tokens[old].value and note.word(again - 1) in QUOTES
    return new if same and note.word(new - 1) in OWN and _alike(note, owners, old, new) else None


def _alike(note: Marked, owners: Mapping[int, Quantity], old: int, new: int) -> bool:
    """Whether one value may stand for the other: both threads, or figures whose units agree or are left out."""
    kinds = {note.kinds[old], note.kinds[new]}
    if len(kinds) > 1:
        return False
    if kinds != {"figure"}:
        return True
    a, b = _unit_of(owners, old), _unit_of(owners, new)
    return a is None or b is None or a == b


def _unit_of(owners: Mapping[int, Quantity], at: int) -> str | None:
    quantity = owners.get(at)
    return quantity.family if quantity is not None else None


def _mark_not(note: Marked, owners: Mapping[int, Quantity], taken: Taken) -> None:
    """ "not twelve" takes twelve back; "sixteen not eighteen" and "not 25 … 18" name what it was."""
    for hit in note.hits.get("negations", ()):
        if hit.row["scope"] != "clause":
            continue
        at = hit.end
        while note.word(at) in ("the", "to", "at", "about", "a") and at - hit.end < 2:
            at += 1
        if note.kind(at) in ("figure", "thread") and at not in taken.by and note.word(at + 1) not in ("of", "percent"):
            taken.take_back(at, _rival(note, hit, at))


def _rival(note: Marked, hit: Hit, at: int) -> int | None:
    """The value that holds instead: right before the "not", or after "it was"."""
    comma = note.word(hit.start - 1) in (",",)
    before = hit.start - 1 - comma
    while before > 0 and note.kind(before) == "unit":
        before -= 1
    if note.kind(before) == note.kinds[at] and before >= 0:
        return before
    for here in range(at + 1, min(at + 6, len(note.tokens))):
        if note.kinds[here] == note.kinds[at] and note.word(here - 1) in ("was", "'s", "is", "were", "but", "to", "at", ","):
            return here
    return None
