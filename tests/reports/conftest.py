from dataclasses import replace
from datetime import UTC, datetime

import pytest

from gudgeon.domain import (
    AngleDone,
    Caution,
    CompoundUsed,
    Entry,
    Finding,
    Joint,
    Judgement,
    Note,
    OpenItem,
    OtherReading,
    Session,
    SizeMeasured,
    SpecRow,
    ToolUsed,
    TorqueDone,
    Verdict,
)
from gudgeon.record import StoredEntry, StoredItem, StoredNote
from gudgeon.reports import SessionView

CAUTION = Caution("manual", "The maker's manual decides; a value that was judged here is no specification.")
DAY = datetime(2026, 5, 4, 7, 30, tzinfo=UTC)


def stored(number, entry, judgement=None, **more):
    return StoredEntry(id=number, session=3, position=number, entry=entry, reading=entry, judgement=judgement or Judgement(), **more)


def verdict(code, reason, at=0, **more):
    return Verdict(code=code, of="it", reason=reason, torque=at, **more)


LID = stored(
    1,
    Entry(
        part="gearbox lid",
        fastener="bolt",
        count=8,
        thread="M8x1.25",
        grade="8.8",
        torques=(TorqueDone(value=18.0, unit="N*m", nm=18.0, note=0),),
        tool=ToolUsed(tool="socket", size=12.0, size_unit="mm"),
        compound=CompoundUsed(compound="thread locker", strength="medium"),
        complete=True,
        notes=(0, 1),
        how=("the part was named in note 1", "“all eight” closes it"),
    ),
    Judgement(
        verdicts=(verdict("within", "18 N·m is within 17.28 to 18.72 N·m.", reference="line 2 of the spec sheet", sum="18 ± 4 %"),),
        joint=Joint(SpecRow(part="gearbox lid", line=2), 0.95, "part and fastener are the same"),
        cautions=(CAUTION,),
    ),
)
HUB = stored(
    2,
    Entry(
        part="wheel hub",
        place="left",
        fastener="nut",
        torques=(
            TorqueDone(value=90.0, unit="lbf*ft", nm=122.02, stage=1, angle_deg=90.0),
            TorqueDone(value=40.0, unit=None, nm=None, stage=2, hedged=True, heard=(OtherReading(14.0, None, 0.4),)),
        ),
        angles=(AngleDone(angle_deg=45.0),),
        conditions=("stripped",),
        notes=(2,),
    ),
    Judgement(
        verdicts=(
            verdict("over", "122 N·m is above 105.6 N·m, the most the sheet allows for this joint, and needs to be looked at before it is driven."),
            verdict("unit not said", "No unit was said with 40.", at=1),
        ),
        findings=(Finding(code="unit-mix-up", reason="90 would be right in N·m: was the unit mixed up?"),),
        cautions=(CAUTION,),
    ),
)
SHAFT = stored(3, Entry(part="main shaft", measures=(SizeMeasured(quantity="end float", value=0.12, unit="mm"),), notes=(1,)))
NAMELESS = stored(4, Entry(torques=(TorqueDone(value=9.0, unit="N*m", nm=9.0),), unclear="two parts were named before it", notes=(3,)))
STRUCK = stored(5, Entry(part="never shown", torques=(TorqueDone(value=99.0, unit="N*m", nm=99.0),)), struck=True)


def item(number, kind, text, **more):
    return StoredItem(item=OpenItem(kind=kind, text=text, id=number, **more), job="orchard tractor", session=3, raised=DAY, notes=(1,))


ITEMS = (
    item(7, "question", "is it twenty or twenty five?"),
    item(8, "buy", "copper washer", count=4),
    item(9, "fault", "left wheel hub stud stripped", part="wheel hub"),
    item(10, "todo", "bleed the brakes", state="answered", ended_by="bled on Sunday"),
    item(11, "verify", "I think it's forty"),
)
TEXTS = ("eight gearbox lid bolts at eighteen newton metres", "that's all eight", "ninety foot pounds on the left hub then forty", "nine on that", "")
NOTES = tuple(
    StoredNote(id=20 + at, session=3, position=at, note=Note(text=text, start=at * 40.0, end=at * 40 + 5.0, confidence=0.9, unheard=not text))
    for at, text in enumerate(TEXTS)
)
SESSION = Session(id=3, job="orchard tractor", started=DAY, seconds=124.0, source="orchard_session.flac", recogniser="embedded", by="Ada")


@pytest.fixture
def view():
    return SessionView(session=SESSION, notes=NOTES, entries=(LID, HUB, SHAFT, NAMELESS, STRUCK), items=ITEMS)


@pytest.fixture
def empty_view():
    return SessionView(session=replace(SESSION, state="unfinished", reached=62.0), notes=(), entries=(), items=())
