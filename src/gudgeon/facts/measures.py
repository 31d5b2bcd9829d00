"""Measured and set sizes, with the quantity they are a size of."""

from __future__ import annotations

from collections.abc import Sequence

from gudgeon.facts.drafts import MeasureDraft
from gudgeon.facts.lexicon import Hit
from gudgeon.facts.wordset import word_set
from gudgeon.facts.work import Work
from gudgeon.notes import Quantity

FAMILIES = word_set("angle length voltage speed volume temperature resistance pressure mass turn")
NEEDS_QUANTITY = frozenset({"angle", "mass", "turn"})
"""Families that are a fact only with a quantity named beside them."""
GAUGES = frozenset({"feeler gauge", "dial indicator", "micrometer", "caliper"})
BEFORE, AFTER, FAR = 14, 7, 30
"""Tokens from the name of a quantity to its figure, and from the figure to a name behind it."""
COMES_TO = frozenset({("out", "at"), ("came", "to"), ("comes", "to"), ("make", "it"), ("made", "it"), ("in", "at"), ("came", "up")})
EACH = frozenset({("each", "side"), ("both", "sides"), ("all", "round"), ("each", "end"), ("both", "ends"), ("per", "side")})
LOOSE_NAMES = frozenset({"down to", "took", "clear", "off the", "up to"})
"""Names of a quantity that give way to one said before them: "backlash … now down to 0.1"."""
FLUIDS = word_set("water oil coolant fluid bearing")
BACK_OFF = word_set("back backed off out slackened eased undone unscrewed")


def find_measures(work: Work) -> list[MeasureDraft]:
    """All sizes measured or set, in order."""
    drafts: list[MeasureDraft] = []
    for at in sorted(work.quantities):
        quantity = work.quantities[at]
        figure_at = quantity.end - 1
        while figure_at > at and work.note.kinds[figure_at] != "figure":
            figure_at -= 1
        if figure_at in work.taken.by or at in work.used or quantity.unsure or _refused(work, at):
            continue
        draft = _read(work, quantity, figure_at, drafts)
        if draft is not None:
            drafts.append(draft)
    return drafts


def _refused(work: Work, at: int) -> bool:
    return bool(work.scopes.unreal(at) or work.scopes.chatter[at] or (work.scopes.negated[at] and work.taken.replaced(at) is None))


def _read(work: Work, quantity: Quantity, figure_at: int, drafts: list[MeasureDraft]) -> MeasureDraft | None:
    unit, family = quantity.unit or (quantity.hit.unit if quantity.hit else None), quantity.family
    if family is None and _is_inch_fraction(work, quantity, figure_at):
        unit, family = "in", "length"
    if unit is None or family is None:
        replaced = work.taken.replaced(figure_at)
        before = work.quantity_of(replaced) if replaced is not None else None
        if before is None or before.family not in FAMILIES:
            return None
        unit, family = before.unit or (before.hit.unit if before.hit else None), before.family
    if family not in FAMILIES or unit is None or _is_not_a_size(work, quantity, family):
        return None
    hit = None if _named_otherwise(work, quantity, family) else _quantity_near(work, quantity, family)
    name, rule = (
        (hit.row["quantity"], f"measures:quantity-named (quantities.csv row {hit.row.line})") if hit else _by_context(work, quantity, family, drafts)
    )
    if name is None:
        return None
    return MeasureDraft(quantity.at, quantity.end, quantity.value, unit, name, rule)


def _is_inch_fraction(work: Work, quantity: Quantity, figure_at: int) -> bool:
    """ "clearance three thirty seconds": a binary fraction right behind the name of a length is in inches."""
    figure = work.note.tokens[figure_at].figure
    if (
        figure is None
        or figure.form not in ("fraction", "mixed")
        or quantity.value * 2 == int(quantity.value * 2)
        or quantity.value * 64 != int(quantity.value * 64)
    ):
        return False
    return any(0 <= quantity.at - h.end <= 2 for h in work.note.of("quantities", family="length"))


def _named_otherwise(work: Work, quantity: Quantity, family: str) -> bool:
    """ "bore 82.55, piston 82.47": a part right before the figure whose own size is meant."""
    name = next((n for n in work.names if n.end == quantity.at), None)
    if name is None or any(
        h.end <= quantity.at and work.note.piece[h.start] == work.note.piece[quantity.at] for h in work.note.hits.get("quantities", ())
    ):
        return False
    words = set(name.name.split())
    return any(row["family"] == family and row.words and set(row.words) <= words for row in work.note.lexicon.rows["quantity_defaults"])


def _is_not_a_size(work: Work, quantity: Quantity, family: str) -> bool:
    """Sizes of other things: of a fastener or tool, or a length no torque can have."""
    note, end = work.note, quantity.end
    after = note.word(end)
    if family == "mass" and any(
        h.end <= quantity.at and note.clause[h.start] == note.clause[quantity.at] for h in note.of("reported", role="person")
    ):
        return True
    if family == "length" and after == "drive":
        return True
    if family == "length":
        opens = note.word(end + 1) in ("'s", "is", "are", "was", "were", "got", "to", "at")
        if any(t.start == end and t.kind in ("fastener", "tool") for t in work.things) and after not in ("bore",) and not opens:
            return True
        if any(h.end == quantity.at for h in note.of("connectors", role="apply")) and _just_tightened(work, quantity.at):
            return True
    if after in ("low", "high", "short", "less"):
        return True
    if after in ("hex", "head", "heads", "af", "across", "spanner", "size"):
        return True
    return after in ("per", "an", "ago", "wide", "tall") and family != "length" and after != "wide"


def _just_tightened(work: Work, at: int) -> bool:
    note = work.note
    return any(v.action == "tighten" and note.clause[v.start] == note.clause[at] and v.start < at for v in work.verbs)


def _quantity_near(work: Work, quantity: Quantity, family: str) -> Hit | None:
    """The name of a quantity of this family nearest before the figure in its clause, else right behind it."""
    note, at, end = work.note, quantity.at, quantity.end
    hits = [h for h in note.of("quantities", family=family) if not _is_part_of_name(work, h)]
    sentence = note.sentence[at]
    before = [h for h in hits if h.end <= at and note.sentence[h.start] == sentence and (at - h.end <= BEFORE or _alone(work, h, at))]
    after = [h for h in hits if 0 <= h.start - end <= AFTER and note.sentence[h.start] == sentence and note.clause[h.start] == note.clause[end - 1]]
    close_after = [h for h in after if h.start - end <= 1 or (h.start - end == 2 and note.word(end) in ("of", "on", "in"))]
    if close_after and (not before or note.word(end) == "of" or close_after[0].start - end == 0):
        return close_after[0]
    if before:
        return before[-2] if len(before) > 1 and before[-1].row.phrase in LOOSE_NAMES else before[-1]
    return after[0] if after else None


def _alone(work: Work, hit: Hit, at: int) -> bool:
    """Whether no other figure stands between a far name and its figure."""
    return at - hit.end <= FAR and not any(hit.end <= start < at for start in work.quantities)


def _is_part_of_name(work: Work, hit: Hit) -> bool:
    """ "oil" in "oil pump" names no quantity, nor "crush" in "crush washer"."""
    if any(t.start <= hit.start < t.end and t.kind in ("fastener", "tool") for t in work.things):
        return True
    return any(n.start <= hit.start < n.end and n.end - n.start > 1 for n in work.names)


def _by_context(work: Work, quantity: Quantity, family: str, drafts: list[MeasureDraft]) -> tuple[str | None, str]:
    note = work.note
    if family == "turn":
        return _back_off(work, quantity)
    if family == "length" and note.word(quantity.end) == "between":
        return "gap", "measures:between"
    if family == "mass" and note.word(quantity.end) in ("each", "apiece") and work.names:
        return "weight", "measures:each"
    if family == "length" and note.word(quantity.at - 1) == "within" and any(v.action in ("align", "adjust") for v in work.verbs):
        return "alignment", "measures:within"
    if drafts and _same_breath(work, drafts[-1], quantity, family):
        return drafts[-1].quantity, "measures:quantity-carried-on"
    if not _about_work(work, quantity.at):
        return None, ""
    sentence = note.sentence[quantity.at]
    words = {note.norms[i] for i in range(len(note.norms)) if note.sentence[i] == sentence}
    for row in work.note.lexicon.rows["quantity_defaults"]:
        if row["family"] == family and (not row.words or set(row.words) <= words) and family not in NEEDS_QUANTITY:
            return row["quantity"], f"measures:quantity-by-default (quantity_defaults.csv row {row.line})"
    if family == "length" and work.names and _comes_to(note.norms, quantity.at):
        return "size", "measures:measured"
    if family == "mass" and work.names and _alone_in_piece(work, quantity):
        return "weight", "measures:words-and-size"
    if family == "length" and _alone_in_piece(work, quantity):
        return "size", "measures:words-and-size"
    if family == "length" and any(v.action == "measure" and 0 <= quantity.at - v.end <= 3 for v in work.verbs):
        return "size", "measures:measured"
    if family == "length" and any(t.kind == "tool" and t.row["tool"] in GAUGES and note.sentence[t.start] == sentence for t in work.things):
        return "size", "measures:gauge-in-hand"
    return None, ""


def _comes_to(norms: Sequence[str], at: int) -> bool:
    """ "came out at nine thou", "reads forty two mil", "I make it point eight": what measuring found."""
    while at and norms[at - 1] in ("about", "around", "roughly", "maybe"):
        at -= 1
    return tuple(norms[max(0, at - 2) : at]) in COMES_TO or (at > 0 and norms[at - 1] in ("reads", "reading", "measures"))


def _alone_in_piece(work: Work, quantity: Quantity) -> bool:
    """ "Key dip 10 mm, …": a written piece of one to four words, a figure and its unit, and nothing else."""
    note = work.note
    start, end = note.start_of(note.piece, quantity.at), note.end_of(note.piece, quantity.at)
    words, behind = range(start, quantity.at), note.kinds[quantity.end : end]
    each = tuple(note.norms[quantity.end : min(end, quantity.end + 2)]) in EACH
    if not 1 <= len(words) <= 4 or (end < len(note.tokens) and not behind) or any(kind != "punct" for kind in behind[2 * each :]):
        return False
    if any(note.kinds[i] != "word" or note.lexicon.common.get(note.norms[i]) not in (None, "noun") for i in words):
        return False
    return not any(start <= t.start < quantity.at and t.kind in ("fastener", "tool", "compound") for t in work.things)


def _back_off(work: Work, quantity: Quantity) -> tuple[str | None, str]:
    near = work.note.norms[max(0, quantity.at - 4) : quantity.at] + work.note.norms[quantity.end : quantity.end + 1]
    if any(word in BACK_OFF for word in near) and quantity.unit == "turn":
        return "back-off", "measures:backed-off"
    return None, ""


def _same_breath(work: Work, last: MeasureDraft, quantity: Quantity, family: str) -> bool:
    from_same = {"length": ("mm", "cm", "in", "thou", "um"), "pressure": ("bar", "psi", "kPa")}.get(family, ())
    if last.unit not in from_same:
        return False
    note = work.note
    gap = note.sentence[quantity.at] - note.sentence[last.at]
    if gap == 0:
        return True
    begins = note.start_of(note.sentence, quantity.at)
    set_again = note.word(quantity.at - 1) in ("to", "now") or any(begins <= v.start < quantity.at and v.action == "adjust" for v in work.verbs)
    return gap == 1 and set_again and not any(note.sentence[n.start] == note.sentence[quantity.at] for n in work.names)


def _about_work(work: Work, at: int) -> bool:
    note = work.note
    sentence = note.sentence[at]
    if any(
        note.sentence[t.start] == sentence and (t.kind in ("noun", "fastener", "compound") or (t.row.table == "tools" and t.row["tool"] in GAUGES))
        for t in work.things
    ):
        return True
    if any(note.sentence[i] == sentence and word in FLUIDS for i, word in enumerate(note.norms)):
        return True
    return any(note.sentence[v.start] == sentence for v in work.verbs) or any(note.sentence[n.start] == sentence for n in work.names)
