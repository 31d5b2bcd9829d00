"""The brief: what is to be known before starting."""

from datetime import UTC, datetime

from gudgeon.checks import progress, read_spec
from gudgeon.cli import wiring
from gudgeon.domain import Entry, Session, SizeMeasured
from gudgeon.reports import BriefView, brief

SHEET = read_spec(["part,place,quantity,min,max,unit", "chain,,slack,8,12,mm", "hub,rear,end float,0.02,0.08,mm"])
NOW = datetime(2026, 5, 9, 10, tzinfo=UTC)


def briefed(*slack):
    entries = [Entry(part="chain", measures=(SizeMeasured(quantity="slack", value=value, unit="mm"),)) for value in slack]
    last = Session(id=1, started=NOW, source="typed", job="bicycle", seconds=None, recogniser=None)
    made = progress(entries, SHEET, trade=wiring.trade())
    view = BriefView(job="bicycle", last=last, last_notes=(), entries=(), items=(), progress=made, now=NOW)
    return "\n".join(line.text for line in brief(view))


def test_a_size_outside_is_named_and_not_counted_as_done():
    text = briefed(18)
    assert "Sizes not right\n  chain slack · 8 to 12 mm · slack 18 mm: over" in text
    assert "0 of 2 rows of the spec sheet are done; 1 not started" in text


def test_a_size_put_right_is_named_no_more():
    text = briefed(18, 10)
    assert "Sizes not right" not in text
    assert "1 of 2 rows of the spec sheet are done; 1 not started" in text
