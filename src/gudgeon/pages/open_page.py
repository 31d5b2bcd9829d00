"""Open items as a page shows them: a few of each kind, or one kind page by page, so that a thousand are as light as ten."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import tzinfo
from typing import Any
from urllib.parse import parse_qs, urlencode

from gudgeon.pages import views
from gudgeon.record import Record, StoredItem
from gudgeon.reports import saying

FEW = 20
"""How many of each kind stand on the page of all kinds, and how many ended ones below."""
PAGE = 100
"""How many stand on a page of one kind."""
LATEST = 1 << 40
"""No list is longer; a page asked for behind it is the last."""


@dataclass(frozen=True, slots=True)
class Asked:
    """What of the open items is asked for: a job ("" for all), a kind ("" for a few of each, or ``ended``), and from which one on."""

    job: str = ""
    kind: str = ""
    begin: int = 0

    def query(self, **other: object) -> str:
        """This as the query of an address, with something else in it; what is not said is left out."""
        fields = {"job": self.job, "kind": self.kind, "begin": self.begin} | other
        return urlencode({name: value for name, value in fields.items() if value})


def asked(text: str) -> Asked:
    """What a query asked for, from a form that carries it back; nothing of it when it is none."""
    found = {name: values[0] for name, values in parse_qs(text[:500]).items()}
    begin = found.get("begin", "")
    return known(found.get("job", ""), found.get("kind", ""), int(begin) if begin.isascii() and begin.isdigit() and len(begin) < 10 else 0)


def known(job: str, kind: str, begin: int) -> Asked:
    """What is asked for, with an unknown kind left out."""
    return Asked(job, kind if kind in (*dict(views.KINDS), "ended") else "", min(begin, LATEST))


def open_page(record: Record, want: Asked, zone: tzinfo | None) -> dict[str, Any]:
    """What the template shows. Raises MissingThing for an unknown job."""
    job = record.job(want.job).name if want.job else None
    counts, over = record.count_items(job=job), record.count_items(job=job, state="ended")
    ended_count = sum(over.values())
    shown: list[StoredItem] = []
    ended: tuple[StoredItem, ...] = ()
    if not want.kind:
        for kind, _ in views.KINDS:
            shown += record.items(job=job, kind=kind, limit=FEW) if kind in counts else ()
        ended = record.items(job=job, state="ended", limit=FEW)
    elif want.kind == "ended":
        ended = record.items(job=job, state="ended", limit=PAGE, begin=want.begin)
    else:
        shown += record.items(job=job, kind=want.kind, limit=PAGE, begin=want.begin)
    total = ended_count if want.kind == "ended" else counts.get(want.kind, 0)
    days, kinds = _days(record, [*shown, *ended], zone), {title: kind for kind, title in views.KINDS}
    return {
        "want": want,
        "jobs": [found.name for found in record.jobs()],
        "kinds": [(kind, title, counts[kind]) for kind, title in views.KINDS if kind in counts],
        "all": sum(counts.values()),
        "ended_count": ended_count,
        "few": FEW,
        "items": [(kinds[title], title, counts[kinds[title]], rows) for title, rows in views.items_by_kind(shown, days)],
        "ended": views.items_by_kind(ended, days),
        "turns": [(at, min(at + PAGE, total)) for at in range(0, total, PAGE)] if want.kind and total > PAGE else [],
    }


def _days(record: Record, items: Sequence[StoredItem], zone: tzinfo | None) -> Mapping[int, str]:
    """The day of each session that the items are from."""
    numbers = {item.session for item in items if item.session}
    return {number: saying.day(record.session(number).started, zone) for number in numbers}
