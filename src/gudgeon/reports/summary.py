"""What one session did: by part, each value with its verdict, what needs a look first; then what stays open."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import tzinfo

from gudgeon.domain import Session, Verdict
from gudgeon.record import TYPED, StoredEntry, StoredItem, StoredNote
from gudgeon.reports import saying
from gudgeon.reports.lines import Line, fit, heading, wrapped

BAD = ("over", "under", "unlikely")
UNSURE = ("unit not said",)
SECTIONS = (("fault", "Faults"), ("question", "Questions"), ("verify", "Guesses to verify"), ("todo", "To do"), ("buy", "To buy"))


@dataclass(frozen=True, slots=True, kw_only=True)
class SessionView:
    """All that a summary is made from; ``sheet`` is the name of the spec sheet that values were held against, None when there was none.

    ``missing`` is where sound of it never came: (second of the sound, how many seconds).
    """

    session: Session
    notes: Sequence[StoredNote]
    entries: Sequence[StoredEntry]
    items: Sequence[StoredItem]
    sheet: str | None = None
    missing: Sequence[tuple[float, float]] = ()


def summary(view: SessionView, *, width: int = 80, why: bool = False, zone: tzinfo | None = None) -> list[Line]:
    """The summary of a session; with ``why`` also how each entry was put together and each verdict's sum."""
    width = fit(width)
    live = [entry for entry in view.entries if not entry.struck]
    look = sorted((entry for entry in live if needs_a_look(entry)), key=_urgency)
    rest = [entry for entry in live if not needs_a_look(entry)]
    lines = _head(view, width, zone)
    for title, entries in (("Look at these first", look), ("Done", rest)):
        if entries:
            lines += heading(title)
            lines += _by_part(entries, view, width, why)
    if not live:
        lines += [Line(""), *wrapped(_nothing(view), width)]
    lines += _items(view, width)
    lines += _pictures(view, width)
    lines += _unheard(view, width)
    return lines + _cautions(live, width)


def needs_a_look(entry: StoredEntry) -> bool:
    """Whether a person should look at an entry: a value out of bounds, unsure or guessed, no part named, or something found."""
    verdicts = entry.judgement.verdicts
    return (
        any(verdict.code in BAD + UNSURE for verdict in verdicts)
        or bool(entry.judgement.findings)
        or entry.entry.unclear is not None
        or any(torque.hedged or torque.heard for torque in entry.entry.torques)
    )


def _urgency(entry: StoredEntry) -> int:
    """Values out of bounds before those without a unit, those before everything else."""
    codes = {verdict.code for verdict in entry.judgement.verdicts}
    return 0 if codes & set(BAD) else 1 if codes & set(UNSURE) else 2


def _head(view: SessionView, width: int, zone: tzinfo | None) -> list[Line]:
    session = view.session
    words = [f"Session {session.id}", session.job or "no job", saying.day(session.started, zone)]
    if session.seconds:
        words.append(saying.length(session.seconds))
    lines = wrapped(" · ".join(words), width, tone="heading")
    heard = f", heard by {session.recogniser}" if session.recogniser else ""
    came = "typed" if session.source == TYPED else f"from {saying.source(session.source)}"
    by = f", spoken by {session.by}" if session.by else ""
    lines += wrapped(f"{saying.counted(len(view.notes), 'note')} {came}{heard}{by}", width, tone="faint")
    text = f"held against {view.sheet}" if view.sheet else "no spec sheet is loaded for it, so no value is held against one (gudgeon spec load FILE)"
    lines += wrapped(text, width, tone="faint")
    if session.state == "unfinished":
        where = saying.clock(session.reached)
        lines += wrapped(f"This session was broken off at {where}; take the same file again to carry on.", width, tone="unsure")
    return lines


def _nothing(view: SessionView) -> str:
    if not view.notes:
        return "No speech was found in it."
    return "Nothing was said that makes an entry: no torque, angle, size or condition."


def _by_part(entries: Sequence[StoredEntry], view: SessionView, width: int, why: bool) -> list[Line]:
    lines: list[Line] = []
    for part in dict.fromkeys(saying.joint(entry.entry) for entry in entries):
        of_it = [entry for entry in entries if saying.joint(entry.entry) == part]
        alone = len(of_it) == 1
        if not alone:
            lines += wrapped(part, width, indent=2)
        for entry in of_it:
            lines += entry_lines(entry, view.notes, width, why=why, sheet=view.sheet is not None, named=alone)
    return lines


def entry_lines(
    stored: StoredEntry, notes: Sequence[StoredNote], width: int, *, why: bool = False, sheet: bool = True, named: bool = False
) -> list[Line]:
    """One entry: its fasteners, tool and compound on one line (``named``: its part before them), then each value with its verdict.

    Without a ``sheet`` it goes without saying why a value has no reference.
    """
    entry = stored.entry
    facts = [saying.joint(entry)] if named else []
    facts += [saying.fasteners(entry)]
    facts += [saying.tool(entry.tool)] if entry.tool else []
    facts += [saying.compound(entry.compound)] if entry.compound else []
    facts += [entry.state if named else f"{entry.part or 'part'} {entry.state}"] if entry.state else []
    facts += list(entry.conditions)
    facts += ["all done"] if entry.complete else []
    facts += ["changed by hand"] if stored.fixed else []
    spoken = " · ".join(fact for fact in facts if fact)
    lines = wrapped(f"{spoken}  [{_where(stored, notes)}]".strip(), width, indent=2 if named else 4)
    lines += _values(stored, width, sheet)
    if entry.unclear:
        lines += wrapped(f"not clear: {entry.unclear}", width, indent=6, tone="unsure")
    for finding in stored.judgement.findings:
        lines += wrapped(f"! {finding.reason}", width, indent=6, tone="unsure")
    return lines + (_why(stored, notes, width) if why else [])


def _where(stored: StoredEntry, notes: Sequence[StoredNote]) -> str:
    start = next((notes[at].note.start for at in stored.entry.notes if at < len(notes) and notes[at].note.start is not None), None)
    return f"entry {stored.id}" + (f", {saying.clock(start)}" if start is not None else "")


def _values(stored: StoredEntry, width: int, sheet: bool) -> list[Line]:
    lines: list[Line] = []
    found = {finding.code for finding in stored.judgement.findings}
    of_torque = {verdict.torque: verdict for verdict in stored.judgement.verdicts if verdict.torque is not None}
    for at, torque in enumerate(stored.entry.torques):
        lines += _value(saying.torque(torque), of_torque.get(at), width, sheet)
        if torque.mended and "unit-mended" not in found:
            lines += wrapped(f"heard as “{torque.mended}”; the unit was mended by its sound", width, indent=8, tone="faint")
        if torque.heard and "heard-unsurely" not in found:
            others = " or ".join(f"{saying.number(r.value)} {saying.unit(r.unit)}".strip() for r in torque.heard)
            lines += wrapped(f"it may have been {others}: the sound does not tell", width, indent=8, tone="unsure")
    lines += [line for angle in stored.entry.angles for line in _value(saying.angle(angle), None, width, sheet)]
    of_measure = {verdict.measure: verdict for verdict in stored.judgement.verdicts if verdict.measure is not None}
    for at, size in enumerate(stored.entry.measures):
        lines += _value(saying.size(size), of_measure.get(at), width, sheet)
    return lines


def _value(said: str, verdict: Verdict | None, width: int, sheet: bool) -> list[Line]:
    """A value, its verdict's word at a fixed column where there is room, and the reason when it is not within."""
    if verdict is None:
        return wrapped(said, width, indent=6)
    shout = verdict.code.upper() if verdict.code in BAD + UNSURE else verdict.code
    lines = (
        wrapped(f"{said:<28}  {shout}", width, indent=6, tone=tone_of(verdict)) if len(said) < 29 else wrapped(f"{said}  {shout}", width, indent=6)
    )
    if verdict.code == "within" or (verdict.code == "no reference" and not sheet):
        return lines
    return lines + wrapped(verdict.reason, width, indent=8, hang=0)


def tone_of(verdict: Verdict) -> str:
    """The tone of a verdict's line."""
    if verdict.code in BAD:
        return "bad"
    if verdict.code in UNSURE:
        return "unsure"
    return "good" if verdict.code == "within" else "plain"


def _why(stored: StoredEntry, notes: Sequence[StoredNote], width: int) -> list[Line]:
    lines: list[Line] = []
    for at in stored.entry.notes:
        if at < len(notes):
            lines += wrapped(f"said: “{notes[at].note.text}”", width, indent=8, tone="faint")
    for step in (*stored.entry.how, *stored.entry.history):
        lines += wrapped(f"why: {step}", width, indent=8, tone="faint")
    for verdict in stored.judgement.verdicts:
        told = [f"{verdict.of}: {verdict.reason}", verdict.reference and f"Against: {verdict.reference}.", verdict.sum and f"Sum: {verdict.sum}."]
        lines += wrapped("judged: " + " ".join(text for text in told if text), width, indent=8, tone="faint")
    joint = stored.judgement.joint
    if joint:
        lines += wrapped(f"joint: line {joint.row.line} of the spec sheet; {joint.why}", width, indent=8, tone="faint")
    return lines


def _items(view: SessionView, width: int) -> list[Line]:
    lines: list[Line] = []
    for kind, title in SECTIONS:
        found = [item for item in view.items if item.item.kind == kind]
        if found:
            lines += heading(title)
            lines += [line for item in found for line in item_lines(item, width)]
    return lines


def item_lines(stored: StoredItem, width: int, *, more: str = "") -> list[Line]:
    """One open item with its number; its part when the words do not say it, how it ended when it has, and what ``more`` is to be said."""
    item = stored.item
    about = f"{item.part}: " if item.part and item.part.casefold() not in item.text.casefold() else ""
    count = f" ({item.count})" if item.count and item.kind == "buy" else ""
    ended = "" if item.state == "open" else f" — {item.state}: {item.ended_by or ''}".rstrip(": ")
    text = f"{item.id:>4}  {about}{item.text}{count}{ended}{more}"
    return wrapped(text, width, hang=6, tone="plain" if item.state == "open" else "faint")


def _pictures(view: SessionView, width: int) -> list[Line]:
    """Each picture with the words of its note, and where its file is."""
    lines: list[Line] = []
    for note in view.notes:
        for picture in note.pictures:
            where = f"forgotten {saying.day(picture.forgotten)}" if picture.forgotten else picture.file
            lines += wrapped(f"{picture.name} · “{note.note.text}”  [{where}]", width, indent=2, hang=4)
    return [*heading("Pictures"), *lines] if lines else []


def _unheard(view: SessionView, width: int) -> list[Line]:
    missed = [note for note in view.notes if note.note.unheard]
    told = []
    if missed:
        times = ", ".join(saying.clock(note.note.start) for note in missed)
        told.append(f"Speech at {times} could not be read; its sound is kept.")
    for at, lasted in view.missing:
        told.append(f"No sound came at {saying.clock(at)}, for {saying.length(lasted)}: what was said then is not in the record.")
    lines = [line for text in told for line in wrapped(text, width, indent=2, hang=0, tone="unsure")]
    return [*heading("Not heard"), *lines] if lines else []


def _cautions(entries: Sequence[StoredEntry], width: int) -> list[Line]:
    texts = dict.fromkeys(caution.text for entry in entries for caution in entry.judgement.cautions)
    if not texts:
        return []
    return [*heading("Take care"), *(line for text in texts for line in wrapped(text, width, indent=2, hang=0))]
