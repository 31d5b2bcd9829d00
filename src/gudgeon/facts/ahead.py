"""A bare figure said ahead of what it was put on, or guessed of it: "thirty eight on the hub bolts", "the drain plug, I'm guessing fifty".

A marked note and a quantity come in; whether the figure is a torque goes out. It is one only where hardly anything else can be meant: nothing but
a plain lead before it, "on" and a fastener behind it, nothing said of that fastener after it, and more than there would be fasteners.
"""

from __future__ import annotations

from gudgeon.facts.marked import Marked
from gudgeon.facts.wordset import word_set
from gudgeon.facts.work import Work
from gudgeon.notes import Quantity

LEADS = word_set(
    "so right ok okay and then now done put did gave that's thats that 's is i i've we've we 've got had been it's it just only all uh um er"
)
"""What may stand between the beginning of a clause and the figure."""
MET = word_set("the these those all each every both them my its it's his her our of and a")
"""What may stand between "on" and the fastener, beside its name."""
GOES_ON = word_set("and then with now too again done as so but using first last next all both each today")
"""What may follow the fastener; a verb there would say something else of it: "twenty on the hub bolts is too much"."""
MOST_FASTENERS = 16
"""So many of a kind are counted ("twelve on the lid bolts"): a figure up to it is no torque where the fastener is said in the plural."""
FAR = 7


def is_ahead_of_bolts(work: Work, quantity: Quantity) -> bool:
    """Whether the figure leads a clause and goes on to the fastener that it was put on."""
    note = work.note
    if quantity.value < 2 or note.word(quantity.end) != "on" or not _leads(note, quantity.at):
        return False
    for thing in work.of_kind("fastener"):
        if not 0 < thing.start - quantity.end <= FAR or note.sentence[thing.start] != note.sentence[quantity.at]:
            continue
        named = {i for n in work.names for i in range(n.first, n.end)} | set(range(thing.start, thing.end))
        between = range(quantity.end + 1, thing.start)
        if not all(i in named or note.norms[i] in MET or note.starting("places", i) or note.kinds[i] == "figure" for i in between):
            return False
        plural = note.norms[thing.end - 1].endswith("s")
        return _ends(note, thing.end) and (quantity.value > MOST_FASTENERS or not plural)
    return False


def is_guessed_of_bolts(work: Work, quantity: Quantity) -> bool:
    """ "the gearbox drain plug, I'm guessing fifty": a guess at the end of a sentence that named a fastener, and no other figure, before it."""
    note = work.note
    guess = next((h for h in note.hits.get("hedges", ()) if h.end == quantity.at and any("guess" in word for word in h.row.words)), None)
    if guess is None or quantity.value < 2 or note.kind(quantity.end) not in ("punct", "") or note.word(quantity.end) == "?":
        return False
    start = note.start_of(note.sentence, quantity.at)
    named = [thing for thing in work.of_kind("fastener") if start <= thing.start and thing.end <= guess.start]
    if not named or any(note.kinds[i] == "figure" and not any(t.start <= i < t.end for t in named) for i in range(start, guess.start)):
        return False
    return quantity.value > MOST_FASTENERS or not note.norms[named[-1].end - 1].endswith("s")


def _leads(note: Marked, at: int) -> bool:
    """Whether only a plain lead or a hedge stands before the figure in its clause."""
    hedged = {i for hit in note.hits.get("hedges", ()) for i in range(hit.start, hit.end)}
    start = note.start_of(note.clause, at)
    return all(note.norms[i] in LEADS or i in hedged or note.starting("fillers", i) or note.kinds[i] == "punct" for i in range(start, at))


def _ends(note: Marked, at: int) -> bool:
    return (
        at >= len(note.tokens)
        or (note.kinds[at] == "punct" and note.norms[at] != "?")
        or note.norms[at] in GOES_ON
        or bool(note.starting("tools", at))
    )
