"""Which notes of a session are to be listened to first."""

import pytest

from gudgeon.domain import AngleDone, Entry, Judgement, OtherReading, SizeMeasured, TorqueDone
from gudgeon.pages.views import unsure_notes
from gudgeon.record import StoredEntry

OTHER = (OtherReading(19.0, "deg", 0.1),)


def stored(**values):
    return StoredEntry(id=1, session=1, position=0, entry=Entry(part="lid", **values), judgement=Judgement(), reading=Entry())


CASES = [
    ({"torques": (TorqueDone(value=40.0, unit="N*m", nm=40.0, note=3),)}, set()),
    ({"torques": (TorqueDone(value=40.0, unit="N*m", nm=40.0, note=3, heard=OTHER),)}, {3}),
    ({"torques": (TorqueDone(value=40.0, unit="N*m", nm=40.0, angle_deg=90.0, note=3, angle_heard=OTHER),)}, {3}),
    ({"angles": (AngleDone(angle_deg=90.0, note=4, heard=OTHER), AngleDone(angle_deg=60.0, note=5))}, {4}),
    ({"measures": (SizeMeasured(quantity="end float", value=0.15, unit="mm", note=6, heard=OTHER),)}, {6}),
]


@pytest.mark.parametrize(("values", "expected"), CASES)
def test_notes_whose_figures_were_heard_unsurely(values, expected):
    assert unsure_notes([], [stored(**values)]) == expected
