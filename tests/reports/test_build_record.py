"""The build record: everything it must hold, each thing in its place, and nothing that was never said."""

from dataclasses import replace
from datetime import UTC, datetime

import pytest

from gudgeon.domain import Action, Entry, Finding, Joint, Judgement, SizeMeasured, SpecRow, SpecSheet, TorqueDone, Verdict
from gudgeon.record import StoredEntry
from gudgeon.reports import Attachment, BuildView, SessionPart, build_record

SHEET = SpecSheet(
    rows=(
        SpecRow(part="wheel hub", place="left", fastener="nut", line=2, torque=100.0, unit="N*m", source="the book, page 4"),
        SpecRow(
            part="gearbox lid", fastener="bolt", count=8, thread="M8x1.25", line=3, torque=18.0, unit="N*m", tolerance_percent=4.0, one_time=True
        ),
        SpecRow(part="water pump", fastener="bolt", count=4, line=4, low=18.0, high=22.0, unit="N*m"),
    )
)


@pytest.fixture
def part(view):
    return SessionPart(session=view.session, notes=view.notes, entries=view.entries)


@pytest.fixture
def made(part, view):
    """The record of the shared session, or of one that is changed."""

    def make(changed=part, items=view.items, **more):
        return build_record(
            BuildView(job="orchard tractor", parts=[changed], items=items, made=datetime(2026, 6, 9, tzinfo=UTC), maker="gudgeon 9", zone=UTC, **more)
        )

    return make


def texts(document):
    """Every text of a document, in order."""
    for name, value in document.facts:
        yield from (name, value)
    for section in document.sections:
        yield section.title
        yield from section.text
        for item in section.items:
            yield from (item.text, item.remark)
        for band in section.table.bands if section.table else ():
            yield from (band.title, *band.lines)
            for block in band.blocks:
                yield block.lead
                yield from (cell for row in block.rows for cell in row.cells)
                yield from block.under


def section(document, title):
    return next(section for section in document.sections if section.title == title)


def test_title_page(made):
    document = made(sheet_name="tractor.csv")
    assert (document.title, document.subject, document.made, document.maker) == ("Build record", "orchard tractor", "2026-06-09", "gudgeon 9")
    facts = dict(document.facts)
    assert facts["Sessions"] == "1, 4 May 2026"
    assert facts["Spoken by"] == "Ada"
    assert facts["Spec sheet"] == "tractor.csv"
    assert facts["Values"] == "3 judged: 1 within, 1 over, 1 unit not said"
    assert facts["Open items"] == "4 open, 1 closed"
    assert facts["Made"] == "9 June 2026 by gudgeon 9"


def test_each_value_has_all_that_is_known_of_it(made):
    lid = next(band for band in section(made(), "Joints").table.bands if band.title == "gearbox lid")
    (block,) = lid.blocks
    assert block.lead == "8 bolts M8x1.25, grade 8.8\n12 mm socket, thread locker, medium strength, all said to be done\nentry 1"
    (row,) = block.rows
    said, nm, judged, by = row.cells
    assert (said, nm, judged) == ("18 N·m", "18", "within\n18 ± 4 %")
    assert by == "Ada\n4 May 2026\nsession 3 at 0:00\nheard, confidence 0.90"
    assert block.under == ("Said: “eight gearbox lid bolts at eighteen newton metres” “that's all eight”",)


def test_newton_metres_beside_the_value_as_said(made):
    hub = next(band for band in section(made(), "Joints").table.bands if band.title.startswith("wheel hub"))
    first, second, turn = hub.blocks[0].rows
    assert first.cells[0].endswith("90 lb·ft + 90°") and first.cells[1] == "122"
    assert second.cells[0].endswith("40 (no unit said), a guess") and second.cells[1] == "—", "no unit, so no newton metres"
    assert turn.cells[0] == "45° further"
    assert first.cells[2].startswith("over\n122 N·m is above") and first.tone == "bad"


def test_joints_stand_in_the_order_of_the_sheet(made, part):
    def on(row, stored):
        return replace(stored, judgement=replace(stored.judgement, joint=Joint(row, 0.9, "named the same")))

    entries = (on(SHEET.rows[1], part.entries[0]), on(SHEET.rows[0], part.entries[1]), *part.entries[2:])
    bands = section(made(replace(part, entries=entries), sheet=SHEET), "Joints").table.bands
    assert [band.title for band in bands] == ["wheel hub, left · nut", "gearbox lid · 8 bolts M8x1.25", "part not named"]
    assert bands[0].lines == ("Sheet, line 2: 100 N·m; source: the book, page 4",)
    assert bands[1].lines == ("Sheet, line 3: 18 N·m ± 4 %, use once",)
    assert bands[2].lines == ("Not on the spec sheet.",)


def test_an_entry_taken_for_a_joint_of_another_name_keeps_its_own(made, part):
    lid = replace(part.entries[0], judgement=Judgement(joint=Joint(SHEET.rows[2], 0.8, "like it")))
    (band,) = section(made(replace(part, entries=(lid,)), sheet=SHEET), "Joints").table.bands
    assert band.title.startswith("water pump")
    assert band.blocks[0].lead.startswith("gearbox lid\n")


def test_sizes_have_a_table_of_their_own(made):
    (block,) = section(made(), "Measured sizes").table.bands[0].blocks
    assert block.lead == "main shaft\nentry 3"
    assert block.rows[0].cells[:2] == ("end float 0.12 mm", "not judged")
    assert "main shaft" not in [band.title for band in section(made(), "Joints").table.bands]


def test_what_is_out_of_bounds_comes_first(made):
    items = section(made(), "Look at these first").items
    assert [item.text.split(" — ")[1].split(":")[0] for item in items] == ["over", "unit not said"]
    assert items[0].remark == "session 3, 4 May 2026 at 1:20"


def test_what_may_have_been_misheard_comes_first_and_is_told_once_beside_its_value(made, part):
    """Whoever gets the record must not have to find it among the joints."""
    hub = part.entries[1]
    unsure = Finding(code="heard-unsurely", reason="40 may have been 14 (40%): play the sound.")
    document = made(replace(part, entries=(replace(hub, judgement=replace(hub.judgement, findings=(unsure,))),)))
    first = [item.text for item in section(document, "Look at these first").items]
    assert first[-1] == "wheel hub, left [entry 2] — heard unsurely: 40 may have been 14 (40%): play the sound."
    assert not [each for each in document.sections if each.title == "Never verified"]
    (block,) = section(document, "Joints").table.bands[0].blocks
    assert [line for line in block.under if "may have been" in line] == [unsure.reason]
    bare = made(replace(part, entries=(replace(hub, judgement=replace(hub.judgement, findings=())),)))
    assert "stage 2: 40 (no unit said), a guess may have been 14: the sound does not tell." in texts(bare)


def test_a_mended_unit_is_told_once(made, part):
    lid = part.entries[0]
    mended = replace(lid.entry, torques=(replace(lid.entry.torques[0], mended="newton matters"),))
    told = Finding(code="unit-mended", reason="“newton matters” was heard and taken as the unit of 18 N·m.")
    for findings in ((), (told,)):
        document = made(replace(part, entries=(replace(lid, entry=mended, judgement=replace(lid.judgement, findings=findings)),)))
        (block,) = section(document, "Joints").table.bands[0].blocks
        assert len([line for line in block.under if "newton matters" in line]) == 1


def test_guesses_damage_and_the_unverified_have_places_of_their_own(made, part):
    loose = Judgement(
        verdicts=(Verdict(code="no reference", of="9 N·m", reason="Nothing to hold it against.", torque=0),),
        findings=(Finding(code="match-loose", reason="Taken as line 4."), Finding(code="one-time-reused", reason="It was used before.")),
    )
    document = made(replace(part, entries=(*part.entries[:3], replace(part.entries[3], judgement=loose))))
    assert [item.text for item in section(document, "Guessed").items] == ["wheel hub, left [entry 2]: stage 2: 40 (no unit said), a guess"]
    assert [item.text for item in section(document, "Found damaged").items] == ["wheel hub, left [entry 2]: nut stripped"]
    assert [item.text for item in section(document, "Used again").items] == ["part not named [entry 4]: It was used before."]
    assert [item.text for item in section(document, "Never verified").items] == [
        "part not named [entry 4]: 9 N·m. Nothing to hold it against.",
        "part not named [entry 4]: Taken as line 4.",
    ]


def test_repairs_and_new_parts(made, part):
    notes = list(part.notes)
    notes[3] = replace(notes[3], facts=(Action(action="repair", status="done", span=(0, 4)),))
    notes[2] = replace(notes[2], facts=(Action(action="replace", status="todo", span=(0, 4)),))
    lid = replace(part.entries[0], entry=replace(part.entries[0].entry, state="new"))
    items = section(made(replace(part, notes=notes, entries=(lid,))), "Repaired or replaced").items
    assert [item.text for item in items] == ["“nine on that”", "gearbox lid [entry 1]: new"], "what is still to be replaced is not"


def test_open_items_and_questions_with_their_answers(made):
    document = made()
    assert [item.text for item in section(document, "Open items").items] == [
        "Fault: left wheel hub stud stripped",
        "Question: is it twenty or twenty five?",
        "Guess to verify: I think it's forty",
        "To buy: copper washer (4)",
    ]
    (ended,) = section(document, "Questions and their answers").items
    assert ended.text == "bleed the brakes — answered: bled on Sunday" and ended.remark == "item 10, todo"


def test_what_is_not_finished_is_said(made, part):
    from gudgeon.checks import JointProgress, Progress, StageProgress

    def joint(name, state, values, counted, **more):
        stage = StageProgress(stage=1, line=2, wanted="20 N·m", expected=4, counted=counted, values=values, verdict="within")
        return JointProgress(name=name, state=state, stages=(stage,), skipped=(), outside=more.get("outside", ()), never_said=more.get("never", ()))

    joints = (
        joint("pump bolt", "not started", (), None),
        joint("flange nut", "not started", (), None, outside=("21 (no unit) was said without its unit",)),
        joint("lid bolt", "part done", ("20 N·m",), 3),
        joint("cap bolt", "part done", ("20 N·m",), None, never=("60°",)),
        joint("head nut", "done", ("20 N·m",), 4),
    )
    items = section(made(progress=Progress(joints=joints, sizes=(), done=1, total=5)), "On the sheet and not finished").items
    assert [item.text for item in items] == [
        "pump bolt: no value was said.",
        "flange nut: 21 (no unit) was said without its unit.",
        "lid bolt: 3 of 4 were said to be done.",
        "cap bolt: 60° was not said.",
        "cap bolt: how many of the 4 were done was not said.",
    ]


def test_cautions_and_method(made):
    assert section(made(), "Take care").text == ("The maker's manual decides; a value that was judged here is no specification.",)
    assert "This record is no specification and no inspection." in section(made(), "How this was made, and its limits").text[-1]


def test_struck_entries_are_nowhere(made):
    assert not [text for text in texts(made()) if "never shown" in text or "99" in text]


def test_a_folder_is_not_told(made, part):
    """A record is handed on: the owner's folder names are not."""
    away = replace(part, session=replace(part.session, source="/home/someone/private/session.flac"))
    told = list(texts(made(away)))
    assert not [text for text in told if "/home" in text or "private" in text]
    assert [text for text in told if text.startswith("session.flac")]


def test_changes_by_hand_and_unfinished_sessions_are_told(made, part):
    changed = replace(part, session=replace(part.session, state="unfinished", reached=62.0), changes={1: ("torques, 16 N·m → 18 N·m, 5 May 2026",)})
    told = list(texts(made(changed)))
    assert "Changed by hand: torques, 16 N·m → 18 N·m, 5 May 2026" in told
    assert "This session is unfinished at 1:02." in told
    assert "Speech at 2:40 could not be read." in told


def test_a_value_that_a_hand_set_is_not_told_as_heard(made, part):
    first = part.entries[0]
    mended = replace(first, fixed=True, entry=replace(first.entry, torques=(TorqueDone(value=20.0, unit="N*m", nm=20.0),)))
    told = list(texts(made(replace(part, entries=(mended,)))))
    assert "Ada\n4 May 2026\nsession 3 at 0:00\nchanged by hand" in told
    named = replace(first, fixed=True, entry=replace(first.entry, part="gearbox cover"))
    assert "Ada\n4 May 2026\nsession 3 at 0:00\nheard, confidence 0.90" in list(texts(made(replace(part, entries=(named,)))))


def test_pictures_go_with_the_entry_of_their_note(made, part):
    picture = Attachment("picture", "lid.jpg", part.notes[1].id, 1)
    document = made(replace(part, attached={part.notes[1].id: (picture,)}))
    blocks = [block for band in section(document, "Joints").table.bands for block in band.blocks if block.attached]
    assert [(block.lead.split("\n")[-1], block.attached) for block in blocks] == [("entry 1", (picture,))]


def test_typed_notes_and_entries_made_by_hand(made, part):
    typed = [replace(note, note=replace(note.note, start=None, confidence=None)) for note in part.notes]
    by_hand = replace(part.entries[0], entry=Entry(part="lid", torques=(TorqueDone(value=9.0, unit="N*m", nm=9.0),)))
    told = list(texts(made(replace(part, notes=typed, entries=(*part.entries, by_hand)))))
    assert "Ada\n4 May 2026\nsession 3\nwritten, not heard" in told
    assert "by hand\n4 May 2026\nsession 3" in told


def test_nothing_at_all():
    document = build_record(BuildView(job=None, parts=[], items=(), made=datetime(2026, 6, 9, tzinfo=UTC), maker="gudgeon 9", zone=UTC))
    assert document.subject == "Sessions without a job"
    assert [section.title for section in document.sections] == ["How this was made, and its limits"]


def size(quantity, value, code):
    verdict = Verdict(code=code, of=f"{quantity} {value:g} mm", reason=f"{value:g} mm is {code}.", measure=0)
    return SizeMeasured(quantity=quantity, value=value, unit="mm"), Judgement(verdicts=(verdict,))


def stored(number, entry, judgement):
    return StoredEntry(id=number, session=1, position=number, entry=entry, reading=entry, judgement=judgement, struck=False, fixed=False)


@pytest.mark.parametrize(
    ("quantity", "code", "told"),
    [
        ("end float", "within", "Since then: end float 0.15 mm was said later and is within [entry 92]."),
        ("end float", "over", None),  # the last one is out of bounds too
        ("backlash", "within", None),  # another size
    ],
)
def test_a_size_that_was_put_right_later_says_so_and_stays(made, part, quantity, code, told):
    first, judged_first = size("end float", 0.4, "over")
    later, judged_later = size(quantity, 0.15, code)
    both = (
        stored(91, Entry(part="crankshaft", measures=(first,)), judged_first),
        stored(92, Entry(part="crankshaft", measures=(later,)), judged_later),
    )
    document = made(replace(part, entries=both))
    items = [item.text for item in section(document, "Look at these first").items]
    assert any("0.4 mm is over" in text for text in items), "it is never left out"
    assert [text for text in items if "Since then" in text] == ([next(text for text in items if "0.4 mm" in text)] if told else [])
    sizes = [cell for band in section(document, "Measured sizes").table.bands for block in band.blocks for row in block.rows for cell in row.cells]
    assert any("Since then" in cell for cell in sizes) is bool(told)
    if told:
        assert any(text.endswith(told) for text in items)


def test_a_torque_that_was_put_right_later_comes_last(made, part):
    def torque(number, part_name, value, code, stage=None):
        verdict = Verdict(code=code, of=f"{value:g} N·m", reason=f"{value:g} N·m is {code}.", torque=0)
        done = TorqueDone(value=value, unit="N*m", nm=value, stage=stage)
        return stored(number, Entry(part=part_name, fastener="bolt", torques=(done,)), Judgement(verdicts=(verdict,)))

    entries = (
        torque(91, "hub", 10, "under"),
        torque(92, "lid", 70, "over", 1),
        torque(93, "hub", 20, "within"),
        torque(94, "lid", 24, "within", 2),  # another stage puts nothing right
    )
    items = [item.text for item in section(made(replace(part, entries=entries)), "Look at these first").items]
    assert "70 N·m is over" in items[0] and "Since then" not in items[0]
    assert items[1].endswith("Since then: 20 N·m was said later and is within [entry 93].")
