"""The build record as a document: joints in the spec sheet's order, sizes, what was guessed or repaired, what is open, cautions, method."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field, replace
from datetime import datetime, tzinfo
from functools import partial
from typing import TYPE_CHECKING

from gudgeon.domain import SpecSheet
from gudgeon.record import StoredItem
from gudgeon.reports import saying
from gudgeon.reports.document import Document, Section
from gudgeon.reports.entry_blocks import Work, works_of
from gudgeon.reports.joint_bands import joints_section, not_done, sizes_section
from gudgeon.reports.notable import notable_sections
from gudgeon.reports.open_points import answered_section, open_section
from gudgeon.reports.origins import SessionPart
from gudgeon.reports.session_rows import sessions_section
from gudgeon.reports.superseded import later_within, which

if TYPE_CHECKING:
    from gudgeon.checks import Progress

CODES = ("within", "over", "under", "unlikely", "unit not said", "no reference")
METHOD = (
    "What was said at work was heard by a speech recogniser on the owner's own computer, or typed. Written rules, and no guessing by a "
    "language model, found the values in the words. Each value was held against the spec sheet as it was loaded, against earlier sessions, and "
    "against what the fastener can bear; the column “judged” says with what result.",
    "The confidence of a note is the recogniser's own measure, from 0 to 1, of how clear the words were. It does not say that a value is right: "
    "where a value matters, read the words beside it, or play its sound.",
    "Newton metres are converted from the unit that was said. A value said without a unit is never given one. What was not said is not here: an "
    "empty place does not mean that a joint was left loose, and a value here does not prove that it was tightened so.",
    "This record is no specification and no inspection. The maker's manual decides.",
)


@dataclass(frozen=True, slots=True, kw_only=True)
class BuildView:
    """All that a build record is made from. ``sheet`` and ``progress`` are None when the job has no spec sheet; ``maker`` is the program."""

    job: str | None
    parts: Sequence[SessionPart]
    items: Sequence[StoredItem]
    made: datetime
    maker: str
    sheet: SpecSheet | None = None
    sheet_name: str | None = None
    progress: Progress | None = None
    zone: tzinfo | None = field(default=None)


def build_record(view: BuildView) -> Document:
    """The build record of a job."""
    works = works_of(view.parts, view.zone)
    makers = (
        partial(sessions_section, view.parts, view.zone),
        partial(look_first, works),
        partial(joints_section, works, view.sheet, view.progress),
        partial(sizes_section, works, view.progress),
        partial(not_done, view.progress),
    )
    sections = [section for make in makers if (section := make())]
    sections += notable_sections(works, view.parts, view.zone)
    sections += [section for section in (open_section(view.items, view.zone), answered_section(view.items, view.zone), cautions(works)) if section]
    sections.append(Section(title="How this was made, and its limits", text=METHOD))
    return Document(
        title="Build record",
        subject=view.job or "Sessions without a job",
        made=view.made.astimezone(view.zone).date().isoformat(),
        maker=view.maker,
        facts=tuple(_facts(view, works)),
        sections=tuple(sections),
    )


def _facts(view: BuildView, works: Sequence[Work]) -> Iterator[tuple[str, str]]:
    yield "Sessions", _when(view)
    speakers = dict.fromkeys(by for part in view.parts for by in (part.session.by, *(note.note.by for note in part.notes)) if by)
    yield "Spoken by", ", ".join(speakers) or "not named"
    yield "Spec sheet", view.sheet_name or "none: no value was held against one"
    if view.progress:
        yield "Done of the sheet", f"{view.progress.done} of {view.progress.total} joints and sizes"
    yield "Values", _counts(works)
    still = sum(item.item.state == "open" for item in view.items)
    yield "Open items", f"{still} open, {len(view.items) - still} closed"
    yield "Made", f"{saying.date(view.made, view.zone)} by {view.maker}"


def _when(view: BuildView) -> str:
    if not view.parts:
        return "none"
    days = sorted(part.session.started for part in view.parts)
    first, last = saying.date(days[0], view.zone), saying.date(days[-1], view.zone)
    return f"{len(days)}, {first}" + (f" to {last}" if first != last else "")


def _counts(works: Sequence[Work]) -> str:
    """``15 judged: 12 within, 1 over, 1 unit not said``; every verdict of every entry is counted once."""
    codes = Counter(verdict.code for work in works for verdict in work.stored.judgement.verdicts)
    told = ", ".join(f"{codes[code]} {code}" for code in CODES if codes[code])
    return f"{sum(codes.values())} judged: {told}" if codes else "none judged"


def look_first(works: Sequence[Work]) -> Section | None:
    """Values out of bounds or without a unit, values that differ between sessions, and values that may have been misheard."""
    later = later_within(works)
    found = []
    for work in works:
        for verdict, item in work.alarms():
            since = later.get(which(work, verdict)) if verdict else None
            told = replace(item, text=f"{item.text} Since then: {since}.") if since else item
            found.append(((since is not None, work.urgency()), told))
    found.sort(key=lambda one: one[0])  # what was put right since comes last, and is not left out: that may have been other fasteners
    items = tuple(item for _, item in found)
    if not items:
        return None
    return Section(title="Look at these first", text=("Settle these before the machine runs.",), items=items)


def cautions(works: Sequence[Work]) -> Section | None:
    """Every caution of the judged values, once."""
    texts = dict.fromkeys(caution.text for work in works for caution in work.stored.judgement.cautions)
    return Section(title="Take care", text=tuple(texts)) if texts else None
