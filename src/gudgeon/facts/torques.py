"""Torques: a figure with a unit of torque, or a bare figure that something was tightened to."""

from __future__ import annotations

from gudgeon.facts.drafts import TorqueDraft
from gudgeon.facts.marked import Marked
from gudgeon.facts.work import Work
from gudgeon.notes import Quantity
from gudgeon.units import to_nm

MOST = 100_000.0
"""A torque above this (in its unit) is no reading of a wrench."""
GOING = frozenset("went stopped stopping clicked clicks pulled taken took done did brought settled finished going go goes reached wound".split())
STRONG_APPLY = frozenset({"went to", "went up to", "stopped at", "stopping at", "clicked at", "clicks at", "took them to", "took it to", "pulled to", "those to", "them to", "torqued to"})
GETS = frozenset("got get gets getting had has".split())
ENDS_AFTER = frozenset(
    "and then but with on for so because each all every in as yes i we it the that which who this now too again first second when while after before "
    "there instead evenly dry oiled using no not please today by until apart except or plus followed at they he she maybe probably though".split()
)
"""Words that may follow a bare torque; anything else would be counted by the figure."""


def find_torques(work: Work) -> list[TorqueDraft]:
    """All torques applied, in order."""
    drafts = []
    for at in sorted(work.quantities):
        quantity = work.quantities[at]
        figure_at = _figure_at(work, quantity)
        if figure_at in work.taken.by or quantity.unsure or quantity.value <= 0 or quantity.value > MOST:
            continue
        draft = _read(work, quantity, figure_at)
        if draft is not None and drafts and _sets_the_wrench(work, draft.at):
            continue
        if draft is not None and not _refused(work, draft, figure_at):
            work.used.update(range(draft.at, draft.end))
            drafts.append(draft)
    return drafts


def _figure_at(work: Work, quantity: Quantity) -> int:
    """The token of the last figure in the quantity, the one that a correction speaks of."""
    for at in range(quantity.end - 1, quantity.at - 1, -1):
        if work.note.kinds[at] == "figure":
            return at
    return quantity.at


def _sets_the_wrench(work: Work, at: int) -> bool:
    """ "so set the wrench to sixteen", beside a torque already told: a setting, no torque."""
    wrench = any(t.row["tool"] in ("wrench", "torque wrench") and 0 <= at - t.end <= 3 for t in work.of_kind("tool"))
    return wrench and any(w in ("set", "setting", "dialled", "dialed") for w in work.note.norms[max(0, at - 6) : at])


def _refused(work: Work, draft: TorqueDraft, figure_at: int) -> bool:
    scopes = work.scopes
    if scopes.unreal(draft.at) or scopes.unreal(figure_at):
        return True
    if bool(scopes.negated[draft.at]) and work.taken.replaced(figure_at) is None:
        return True
    return _gave_way_at(work, draft.at)


def _gave_way_at(work: Work, at: int) -> bool:
    """ "stripped one at thirty newton metres": where it failed, not what it was left at."""
    note = work.note
    if note.word(at - 1) not in ("at", "around", "about"):
        return False
    failed = ("stripped", "broken", "cracked", "rounded", "loose")
    return any(h.row["condition"] in failed and 0 < at - h.end <= 5 and note.clause[h.start] == note.clause[at] for h in note.hits.get("conditions", ()))


def _read(work: Work, quantity: Quantity, figure_at: int) -> TorqueDraft | None:
    if quantity.family == "torque" and quantity.unit is not None:
        rule = "torques:unit-by-sound" if quantity.mended else "torques:figure-unit"
        return _draft(work, quantity, figure_at, quantity.unit, rule)
    replaced = work.taken.replaced(figure_at)
    if quantity.family is None and replaced is not None:
        before = _quantity_of(work, replaced)
        if before is not None and before.family == "torque":
            return _draft(work, quantity, figure_at, before.unit, "torques:corrected-takes-unit")
    if quantity.family in ("mass", "force") and quantity.hit is not None and quantity.hit.ambiguous and _is_tightened(work, quantity, strict=True):
        if quantity.hit.unit == "N*m":
            return _draft(work, quantity, figure_at, "N*m", "torques:newtons-where-tightened")
        return _draft(work, quantity, figure_at, None, f"torques:unit-not-said ({quantity.hit.reason})")
    if quantity.family is None and (shared := _shared_unit(work, quantity, figure_at)) is not None:
        return _draft(work, quantity, figure_at, shared, "torques:unit-of-the-same-sentence")
    if quantity.family is None and _is_bare(work, quantity, figure_at, replaced):
        return _draft(work, quantity, figure_at, None, "torques:tightened-to-figure (no unit was said)")
    return None


def _draft(work: Work, quantity: Quantity, figure_at: int, unit: str | None, rule: str) -> TorqueDraft:
    unit = _corrected_unit(work, quantity.end) or unit if unit else None
    draft = TorqueDraft(quantity.at, quantity.end, quantity.end, quantity.value, unit, rule, low=quantity.low, high=quantity.high)
    draft.nm = to_nm(quantity.value, unit) if unit else None
    draft.mended = quantity.mended
    replaced = work.taken.replaced(figure_at)
    if replaced is not None and not _said_not(work, replaced):
        before = _quantity_of(work, replaced)
        draft.replaces = before.value if before else work.note.tokens[replaced].value
    return draft


def _shared_unit(work: Work, quantity: Quantity, figure_at: int) -> str | None:
    """The unit said with another torque of the sentence, for "first pass ten, second pass thirty newton metres", "forty then sixty newton metres",
    "the clamp to six newton metres and the rails to twelve"."""
    note = work.note
    figure = note.tokens[figure_at].figure
    if figure is None or figure.form not in ("cardinal", "decimal", "mixed") or quantity.value < 1:
        return None
    others = [q for start, q in work.quantities.items() if q.family == "torque" and q.unit and note.sentence[start] == note.sentence[quantity.at]]
    if not others or any(start <= figure_at < q.end for start, q in work.quantities.items() if q.family == "torque"):
        return None
    nearest = min(others, key=lambda q: abs(q.at - quantity.at))
    if any(h.end == quantity.at for h in note.hits.get("stages", ())):
        return nearest.unit
    if note.norms[quantity.end : quantity.end + 1] in (["then"], ["and"]) and nearest.at - quantity.end in (1, 2) and note.norms[nearest.at - 1] == "then":
        return nearest.unit
    tail = _may_end_after(note, quantity.end)
    if tail and quantity.at > nearest.end and any(0 <= quantity.at - 1 - n.end <= 1 and note.norms[quantity.at - 1] in ("to", "at", "got") for n in work.names):
        return nearest.unit
    return nearest.unit if tail and _of_plural(work, quantity.at) else None


def _of_plural(work: Work, at: int) -> bool:
    """ "the tens are twenty five": sizes in the plural before the figure."""
    note = work.note
    if note.word(at - 1) not in ("are", "get", "got", "at", "to", "had", "were"):
        return False
    token = note.tokens[at - 2] if at >= 2 else None
    return token is not None and ((token.figure is not None and token.figure.form == "plural") or (token.thread is not None and token.text.endswith("s")))


def _corrected_unit(work: Work, end: int) -> str | None:
    """ "twelve newton metres sorry foot pounds": another unit of torque right after a cue."""
    note = work.note
    at = end
    while at < len(note.tokens) and at - end < 5:
        hits = note.starting("corrections", at) or note.starting("fillers", at)
        if hits:
            at = hits[0].end
        elif note.kinds[at] == "punct" or note.norms[at] in ("not", "it's", "the"):
            at += 1
        else:
            break
    if at == end or at >= len(note.tokens):
        return None
    hit = work.units.match(note.norms, at)
    return hit.unit if hit is not None and hit.family == "torque" else None


def _said_not(work: Work, at: int) -> bool:
    """ "not forty, it's fifty two": a value denied before the right one was never the speaker's."""
    after = work.taken.by.get(at)
    return work.note.word(at - 1) == "not" and after is not None and after > at


def _quantity_of(work: Work, at: int) -> Quantity | None:
    return next((q for start, q in work.quantities.items() if start <= at < q.end), None)


def _is_bare(work: Work, quantity: Quantity, figure_at: int, replaced: int | None) -> bool:
    figure = work.note.tokens[figure_at].figure
    if figure is None or figure.form not in ("cardinal", "decimal", "mixed", "digits") or quantity.value < 1:
        return False
    if not _may_end_after(work.note, quantity.end) or work.note.word(quantity.at - 1) in ("number", "stage", "pass", "step", "grade", "by", "x"):
        return False
    if _is_tightened(work, quantity, strict=False) or _of_plural(work, quantity.at):
        return True
    return _corrects(work, quantity, figure_at, replaced)


def _may_end_after(note: Marked, end: int) -> bool:
    if end >= len(note.tokens):
        return True
    if note.kinds[end] == "punct":
        return note.norms[end][0] not in "%°/:"
    return note.norms[end] in ENDS_AFTER or any(note.starting(t, end) for t in ("hedges", "fillers", "corrections", "turns"))


def _is_tightened(work: Work, quantity: Quantity, *, strict: bool) -> bool:
    """Whether words right before the figure say that something was brought to it."""
    note = work.note
    start = quantity.at
    while start > 0 and (note.starting("fillers", start - 1) or _is_hedge_word(note, start - 1)):
        start -= 1
    phrases = [h for h in note.of("connectors", role="apply") if h.end == start]
    tightened = any(v.action == "tighten" and note.sentence[v.start] == note.sentence[start] and v.start < start for v in work.verbs)
    for hit in phrases:
        phrase = hit.row.phrase
        if phrase in STRONG_APPLY:
            return True
        if tightened and (phrase.split()[-1] in ("to", "at", "'s") or phrase in GETS):
            return not _place_between(work, hit.start)
        if _bears_bolts(work, hit.start, phrase, strict=strict):
            return True
    if strict and any(0 <= quantity.at - t.end <= 2 and note.sentence[t.start] == note.sentence[quantity.at] for t in work.of_kind("fastener")):
        return True
    return strict and (tightened or _leads_to_fastener(work, quantity.end))


def _leads_to_fastener(work: Work, at: int) -> bool:
    """ "eighteen newtons on the lever clamp bolt"."""
    note = work.note
    if note.word(at) not in ("on", "for"):
        return False
    return any(0 < t.start - at <= 6 and note.clause[t.start] == note.clause[at] for t in work.of_kind("fastener"))


def _is_hedge_word(note: Marked, at: int) -> bool:
    return any(h.end == at + 1 for h in note.hits.get("hedges", ())) or note.norms[at] in ("only", "just")


def _place_between(work: Work, at: int) -> bool:
    return False


def _bears_bolts(work: Work, at: int, phrase: str, *, strict: bool) -> bool:
    """ "the bolts got thirty three", "wheel nuts at ninety", "bolts are at forty": a fastener right before."""
    if phrase in GETS or phrase in ("have had", "has had", "'s had", "'ve had", "are at", "is at", "at", "all at", "now at", "set to", "goes to", "go to", "going to"):
        if phrase in ("at", "all at", "now at") and work.note.kind(at - 1) == "figure" and work.note.word(at - 2) == "all":
            return True
        if phrase in GETS and work.note.word(at - 1) in ("rest", "others", "ones") and bool(work.things):
            return True
        for thing in work.of_kind("fastener"):
            if 0 <= at - thing.end <= 1 and work.note.sentence[thing.start] == work.note.sentence[at]:
                return True
    return False


def _corrects(work: Work, quantity: Quantity, figure_at: int, replaced: int | None) -> bool:
    """A bare figure in a note that sets an earlier value right: "those were sixteen not eighteen", "that bracket got thirty three"."""
    note = work.note
    if quantity.value < 2:
        return False
    before = note.word(quantity.at - 1)
    if replaced is not None and _quantity_of(work, replaced) is not None and note.kinds[replaced] == "figure":
        plain = _quantity_of(work, replaced)
        if plain is not None and plain.family is None and (before in ("was", "were", "be", ",", "is", "'s", "got", "had") or note.word(quantity.at - 2) in ("was", "were")):
            return _speaks_of_joint(work) and _no_size_word(work)
    correcting = any(hit.start <= 3 for hit in note.hits.get("corrections", ()))
    return correcting and (before in GETS or note.word(quantity.at - 2) in GETS) and not work.scopes.chatter[quantity.at]


def _speaks_of_joint(work: Work) -> bool:
    if any(work.scopes.chatter):
        return False
    note = work.note
    return bool(work.names or work.of_kind("fastener")) or any(w in ("those", "that", "they", "it", "these") for w in note.norms)


def _no_size_word(work: Work) -> bool:
    return "quantities" not in work.note.hits and not any(t.kind == "tool" and t.row["tool"] != "torque wrench" for t in work.things)
