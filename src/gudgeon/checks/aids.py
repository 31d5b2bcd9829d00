"""Sums offered beside a question that they can answer: an adapter, a conversion, an insert, what a bolt would take. Never a closed answer."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from gudgeon.checks.sheet_answers import rows_asked, rows_in_words
from gudgeon.domain import BadInput, Entry, SpecSheet
from gudgeon.notes import Quantity, Token, grade_at, quantity_at, read_tokens
from gudgeon.trade import (
    ADAPTER_FORMULA,
    Trade,
    Worked,
    Wrench,
    bolt_of,
    work_adapter,
    work_convert,
    work_insert,
    work_torque,
)
from gudgeon.units import UnitWords, convert, to_nm

OPEN = "The question stays open: this is an aid."
_ADAPTERS = frozenset({"adapter", "adaptor", "crowfoot", "crowsfoot", "crow", "extension"})
_INSERTS = frozenset({"insert", "inserts", "stripped", "strip", "rethread"})
_TAKES = frozenset({"take", "takes", "bear", "bears", "stand", "hold", "handle", "torque", "tight", "tighten", "yield", "max", "maximum"})
_BACK = {"N*m": "lbf*ft", "lbf*ft": "N*m", "lbf*in": "N*m", "kgf*m": "N*m", "kgf*cm": "N*m", "N*cm": "N*m", "thou": "mm", "in": "mm", "psi": "bar"}
_USUAL_GRADES = ("8.8", "10.9")


@dataclass(frozen=True, slots=True)
class Aid:
    """A sum offered beside a question: ``text`` in a sentence or two, the steps, the sources, and the cautions that must be shown."""

    text: str
    steps: tuple[str, ...]
    sources: tuple[str, ...]
    cautions: tuple[str, ...]

    @property
    def answer(self) -> str:
        """The text for somebody who waits for it, without the sentence that the question stays open."""
        return self.text.removesuffix(OPEN).strip()


@dataclass(frozen=True, slots=True)
class _Asked:
    tokens: tuple[Token, ...]
    words: frozenset[str]
    quantities: tuple[Quantity, ...]
    entry: Entry
    trade: Trade
    units: UnitWords
    wrenches: Sequence[Wrench]
    sheet: SpecSheet | None


def aid_for(
    question: str, entry: Entry | None = None, *, trade: Trade, units: UnitWords, wrenches: Sequence[Wrench] = (), sheet: SpecSheet | None = None
) -> Aid | None:
    """The sum, or the row of the sheet, that could help with a question; None when there is none. ``entry`` is what was being worked on."""
    tokens = read_tokens(question, units)
    words = frozenset(token.norm for token in tokens)
    asked = _Asked(tokens, words, _quantities(tokens), entry or Entry(), trade, units, wrenches, sheet)
    for answer in _ANSWERS:
        try:
            aid = answer(asked)
        except BadInput:
            continue
        if aid:
            return _with_safety(aid, question, asked)
    return None


def _quantities(tokens: tuple[Token, ...]) -> tuple[Quantity, ...]:
    found, at = [], 0
    while at < len(tokens):
        quantity = quantity_at(tokens, at)
        if quantity and not quantity.unsure:
            found.append(quantity)
        at = max(at + 1, quantity.end if quantity else 0)
    return tuple(found)


def _adapter(asked: _Asked) -> Aid | None:
    """A crowfoot or adapter: the wanted torque from the question or the entry, reach and length from the question or the owner's wrench."""
    if not asked.words & _ADAPTERS:
        return None
    if "extension" in asked.words and not asked.words & (_ADAPTERS - {"extension"}):
        text = f"A straight extension along the drive's axis does not change the setting; one that makes the wrench longer does ({ADAPTER_FORMULA})."
        return Aid(f"{text} {OPEN}", (), ("a tool maker's handbook page",), ("The maker's manual and the wrench's leaflet decide.",))
    torque = _torque(asked)
    lengths = [convert(q.value, q.unit, "mm") for q in asked.quantities if q.unit and q.family == "length"]
    if torque is None and (bare := _adapter_in_bare_figures(asked)):
        return bare
    if torque is None or not lengths:
        text = f"With the adapter straight on, set {ADAPTER_FORMULA}: L from the square to the middle of the grip, E from the square to the fastener."
        return Aid(f"{text} Square to the handle it needs no correction. {OPEN}", (), ("US Army TM 9-254 and adapter leaflets",), _CARE)
    value, unit = torque
    reach, length = min(lengths), max(lengths) if len(lengths) > 1 else _wrench_length(asked, to_nm(value, unit))
    if length is None:
        text = f"Set {value:g}·L/(L + {reach:g} mm) {unit.replace('*', '·')}: measure L from the square to the middle of the grip."
        return Aid(f"{text} {OPEN}", (), ("US Army TM 9-254 and adapter leaflets",), _CARE)
    return _from_worked(work_adapter(wanted=value, unit=unit, length=length, reach=reach), f"(L {length:g} mm, E {reach:g} mm, straight on)")


def _adapter_in_bare_figures(asked: _Asked) -> Aid | None:
    """A hundred with fifty millimetres on a four hundred wrench: the torque's unit is left open, the wrench's length is in the reach's unit."""
    bare = [q for q in asked.quantities if q.unit is None]
    lengths = [q for q in asked.quantities if q.family == "length" and q.unit]
    on_wrench = [q for q in asked.quantities if q.end < len(asked.tokens) and asked.tokens[q.end].norm in _WRENCHES]
    wanted = next((q for q in bare if q not in on_wrench), None)
    if wanted is None or len(on_wrench) != 1 or len(bare) + len(lengths) != 3 or not 1 <= len(lengths) <= 2:
        return None
    reach = next((q for q in lengths if q is not on_wrench[0]), None)
    if reach is None or reach.unit is None:
        return None
    length, e = convert(on_wrench[0].value, on_wrench[0].unit or reach.unit, "mm"), convert(reach.value, reach.unit, "mm")
    worked = work_adapter(wanted=wanted.value, unit="N*m", length=length, reach=e)
    figure = f"{worked.values['setting']:.4g}"
    text = (
        f"Set {figure} to get {wanted.value:g} at the fastener, both in one unit of torque: none was said. (L {length:g} mm, E {e:g} mm, straight on)"
    )
    steps = (f"T_W = {wanted.value:g}·{length:g}/({length:g} + {e:g}) = {figure}",)
    return Aid(f"{text} {OPEN}", steps, worked.sources, worked.cautions)


_WRENCHES = frozenset({"wrench", "long", "handle", "arm", "bar"})
_CARE = ("This setting is computed: the leaflets of the wrench and the adapter, and the maker's manual, decide.",)


def _torque(asked: _Asked) -> tuple[float, str] | None:
    said = next(((q.value, q.unit) for q in asked.quantities if q.unit and q.family == "torque"), None)
    if said:
        return said
    return next(((t.value, t.unit) for t in reversed(asked.entry.torques) if t.unit), None)


def _wrench_length(asked: _Asked, nm: float) -> float | None:
    fits = [w for w in asked.wrenches if w.length_mm and to_nm(w.low, w.unit) <= nm <= to_nm(w.high, w.unit)]
    return fits[0].length_mm if len(fits) == 1 else None


def _insert(asked: _Asked) -> Aid | None:
    """An insert for a stripped thread: the thread from the question, else from the entry."""
    if not asked.words & _INSERTS:
        return None
    thread = _thread(asked)
    return _from_worked(work_insert(asked.trade, thread=thread)) if thread else None


def _thread(asked: _Asked) -> str | None:
    said = [token.thread.name for token in asked.tokens if token.thread]
    return said[0] if len(said) == 1 else asked.entry.thread if not said else None


def _conversion(asked: _Asked) -> Aid | None:
    """One figure with its unit and another unit asked for, or "convert"."""
    with_unit = [q for q in asked.quantities if q.unit]
    if len(with_unit) != 1:
        return None
    quantity = with_unit[0]
    norms = [token.norm for token in asked.tokens]
    wanted = _unit_asked(asked, norms, quantity)
    if wanted is None and asked.words & {"convert", "conversion", "metric", "imperial"}:
        wanted = _BACK.get(quantity.unit or "")
    if wanted is None or quantity.unit is None:
        return None
    return _from_worked(work_convert(value=quantity.value, unit_from=quantity.unit, unit_to=wanted))


def _unit_asked(asked: _Asked, norms: list[str], quantity: Quantity) -> str | None:
    for at, norm in enumerate(norms):
        outside = not quantity.at <= at < quantity.end
        if outside and norm in {"in", "to", "into", "many"} and at + 1 < len(norms):
            hit = asked.units.match(norms, at + 1)
            if hit and hit.unit and hit.family == quantity.family and not hit.ambiguous:
                return hit.unit
    return None


def _from_sheet(asked: _Asked) -> Aid | None:
    """The torque of a joint that the owner's sheet has."""
    rows = rows_asked([token.norm for token in asked.tokens], asked.sheet) if asked.sheet else ()
    if not rows:
        return None
    return Aid(f"The owner's sheet has it: {rows_in_words(rows)}. {OPEN}", (), ("the owner's spec sheet",), ("The maker's manual decides.",))


def _bolt(asked: _Asked) -> Aid | None:
    """What a bolt would take: its thread, and its grade when it was said, else the two usual ones."""
    if not asked.words & _TAKES:
        return None
    thread = _thread(asked)
    if thread is None:
        return None
    grade = _grade(asked) or asked.entry.grade
    inch = thread[0].isdigit()
    grades = (grade,) if grade else ("5", "8") if inch else _USUAL_GRADES
    worked = [work_torque(bolt_of(asked.trade, thread=thread, grade=each)) for each in grades]
    if grade:
        return _from_worked(worked[0])
    text = " ".join(each.answer for each in worked)
    first = worked[0]
    return Aid(f"The grade was not said. {text} {OPEN}", first.steps, first.sources, first.cautions)


def _grade(asked: _Asked) -> str | None:
    at = next((n for n, token in enumerate(asked.tokens) if token.thread), None)
    places = [at + 1] if at is not None else []
    places += [n + 1 for n, token in enumerate(asked.tokens) if token.norm in {"grade", "class"}]
    return next((found[0] for place in places if (found := grade_at(asked.tokens, place))), None)


def _from_worked(worked: Worked, how: str = "") -> Aid:
    text = " ".join(part for part in (worked.answer, how, OPEN) if part)
    return Aid(text, worked.steps, worked.sources, worked.cautions)


def _with_safety(aid: Aid, question: str, asked: _Asked) -> Aid:
    name = " ".join(word for word in (question, asked.entry.place, asked.entry.part, asked.entry.fastener) if word)
    texts = tuple(dict.fromkeys(word.text for word in asked.trade.words_in(name, "safety")))
    return Aid(aid.text, aid.steps, aid.sources, (*texts, *aid.cautions))


_ANSWERS: tuple[Callable[[_Asked], Aid | None], ...] = (_adapter, _insert, _conversion, _from_sheet, _bolt)
"""What is tried, in order; the first that has something to offer is taken."""
