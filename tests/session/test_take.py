"""A recording becomes a session; broken off, it is carried on; nothing is lost and nothing comes twice."""

from datetime import UTC, datetime
from itertools import pairwise

import numpy as np
import pytest

from gudgeon.domain import BadInput, Hearing, MissingThing, RecogniserFailed, SpecRow, SpecSheet
from gudgeon.session import Origin, settle, settle_all, take_recording, take_text

STARTED = datetime(2026, 5, 4, 7, 0, tzinfo=UTC)
TEXTS = ("lid at 18", "is it twenty?", "", "cover at 9")


def take(source, tools, sound_tools, **options):
    steps = []
    taken = take_recording(Origin(source, STARTED, **options), tools, sound_tools, progress=steps.append)
    return taken, steps


def said(tools, session):
    return [(note.note.text, note.note.start, note.note.end) for note in tools.record.notes(session)]


def test_the_whole_way(tools, source, sound):
    taken, steps = take(source, tools, sound(4).tools(*TEXTS), by="Ada")
    record, session = tools.record, taken.session
    assert (session.state, session.seconds, session.recogniser, session.by, session.started) == ("finished", 4.0, "scripted", "Ada", STARTED)
    assert said(tools, session.id) == [("lid at 18", 0.0, 0.9), ("is it twenty?", 1.0, 1.9), ("", 2.0, 2.9), ("cover at 9", 3.0, 3.9)]
    assert [note.note.unheard for note in record.notes(session.id)] == [False, False, True, False]
    (entry,) = record.entries(session.id)
    assert [(torque.value, torque.note) for torque in entry.entry.torques] == [(18.0, 0), (9.0, 3)]
    assert [item.item.text for item in record.items_of_session(session.id)] == ["is it twenty?"]
    assert [step.text for step in steps] == ["lid at 18", "is it twenty?", "", "cover at 9", None]
    assert steps[-1].done == 4.0
    assert record.check() == ()


def test_time_is_told_apart(tools, source, sound):
    taken, _ = take(source, tools, sound(3).tools(*TEXTS))
    timing = taken.timing
    assert timing.audio_s == 3.0
    assert timing.gate_s > 0 and timing.decode_s > 0 and timing.total_s >= timing.gate_s + timing.decode_s


def test_all_sound_is_kept(tools, source, sound):
    taken, _ = take(source, tools, sound(4).tools(*TEXTS))
    (kept,) = tools.record.sounds(taken.session.id)
    raw = np.frombuffer((tools.record.folder / kept.file / "sound.raw").read_bytes(), dtype=np.float32)
    assert kept.seconds == 4.0
    assert np.array_equal(raw[::16_000], np.float32([0.0, 0.01, 0.02, 0.03]))


def test_ctrl_c_keeps_what_was_read_and_it_is_carried_on(tools, source, sound):
    stopped, _ = take(source, tools, sound(4, stop_at=2).tools(*TEXTS))
    assert (stopped.stopped, stopped.session.state) == (True, "unfinished")
    assert [text for text, _, _ in said(tools, stopped.session.id)] == ["lid at 18", "is it twenty?"]
    assert len(tools.record.entries(stopped.session.id)) == 1

    again, _ = take(source, tools, sound(4).tools("", "cover at 9"))
    assert (again.session.id, again.session.state, again.carried_on_from) == (stopped.session.id, "finished", 1.9)
    notes = said(tools, again.session.id)
    assert [text for text, _, _ in notes[:2]] == ["lid at 18", "is it twenty?"]
    assert all(first[2] <= second[1] for first, second in pairwise(notes))
    (kept,) = tools.record.sounds(again.session.id)
    assert kept.seconds == 4.0


def test_a_fall_before_the_end_is_carried_on(tools, source, sound):
    """A kill leaves the session open and its entries behind its notes; taking the file again goes on from there."""
    with pytest.raises(SystemExit):
        take(source, tools, sound(4, stop_at=2, error=SystemExit()).tools(*TEXTS))
    (session,) = tools.record.sessions()
    assert (session.state, tools.record.unsettled()) == ("open", (session.id,))
    again, _ = take(source, tools, sound(4).tools("", "cover at 9"))
    assert again.session.id == session.id
    assert tools.record.unsettled() == ()


def test_taken_before_is_not_taken_twice(tools, source, sound):
    first, _ = take(source, tools, sound(2).tools(*TEXTS))
    second, _ = take(source, tools, sound(2).tools(*TEXTS))
    assert (second.already, second.session.id) == (True, first.session.id)
    third, _ = take(source, tools, sound(2).tools(*TEXTS), again=True)
    assert third.session.id != first.session.id


def test_the_same_file_for_another_job_is_another_session(tools, source, sound):
    tools.record.new_job("tractor")
    first, _ = take(source, tools, sound(2).tools(*TEXTS))
    second, _ = take(source, tools, sound(2).tools(*TEXTS), job="tractor")
    assert second.session.id != first.session.id


def test_a_recogniser_that_gives_up_says_what_was_kept(tools, source, sound):
    error = RecogniserFailed("The recogniser gave up.", next_step="Run `gudgeon ears`.")
    with pytest.raises(RecogniserFailed) as told:
        take(source, tools, sound(4, stop_at=2, error=error).tools(*TEXTS))
    assert told.value.kept == "2 notes are kept in session 1."
    assert told.value.next_step.startswith("Run `gudgeon ears`. Then take")
    assert tools.record.session(1).state == "unfinished"


def test_silence_is_a_session_without_notes(tools, source, sound):
    silent = sound(3)
    silent.gate = lambda blocks: (clip for block in blocks for clip in ())
    taken, _ = take(source, tools, silent.tools())
    assert (taken.session.state, taken.session.seconds, said(tools, taken.session.id)) == ("finished", 3.0, [])


def test_other_readings_are_kept(tools, source, sound):
    from gudgeon.domain import Reading

    hearing = Hearing(text="lid at 13", confidence=0.6, recogniser="scripted", others=(Reading("lid at 30", 0.4),))
    taken, _ = take(source, tools, sound(1).tools(hearing))
    (note,) = tools.record.notes(taken.session.id)
    assert (note.note.others, note.note.confidence) == (hearing.others, 0.6)


def test_an_unknown_job_stores_nothing(tools, source, sound):
    with pytest.raises(MissingThing, match="no job"):
        take(source, tools, sound(2).tools(*TEXTS), job="nowhere")
    assert tools.record.sessions() == ()


class TestTexts:
    def take(self, tools, path, **options):
        return take_text(Origin(path, STARTED, **options), tools, progress=lambda step: None)

    def test_lines(self, tools, tmp_path):
        path = tmp_path / "notes.txt"
        path.write_text("lid at 18\n\n  is it\ttwenty?  \n")
        taken = self.take(tools, path)
        assert said(tools, taken.session.id) == [("lid at 18", None, None), ("is it twenty?", None, None)]
        assert taken.session.recogniser is None

    def test_stopped_and_carried_on(self, tools, tmp_path):
        path = tmp_path / "notes.txt"
        path.write_text("one 1\ntwo 2\nthree 3\n")

        def stop(step):
            if step.done == 2:
                raise KeyboardInterrupt

        stopped = take_text(Origin(path, STARTED), tools, progress=stop)
        assert (stopped.stopped, len(said(tools, stopped.session.id))) == (True, 2)
        again = self.take(tools, path)
        assert [text for text, _, _ in said(tools, again.session.id)] == ["one 1", "two 2", "three 3"]

    def test_nothing_in_it(self, tools, tmp_path):
        (tmp_path / "empty.txt").write_text("\n  \n")
        with pytest.raises(BadInput, match="no note"):
            self.take(tools, tmp_path / "empty.txt")
        assert tools.record.sessions() == ()


class TestSettling:
    def test_the_sheet_and_the_past_reach_the_judge(self, tools, tmp_path):
        tools.record.new_job("tractor")
        for name in ("one", "two"):
            (tmp_path / f"{name}.txt").write_text(f"lid at 18 {name}\n")
            taken = take_text(Origin(tmp_path / f"{name}.txt", STARTED, job="tractor"), tools, progress=lambda step: None)
        sheet = SpecSheet(rows=(SpecRow(part="lid", line=2, torque=18.0, unit="N*m"),))
        stored = tools.record.put_sheet(name="s.csv", text="part,torque,unit\nlid,18,N*m\n", sheet=sheet, job="tractor")
        assert settle_all(tools.record, tools.rules, sheet=stored) == 2
        (entry,) = tools.record.entries(taken.session.id)
        assert entry.judgement.verdicts[0].reason == "1 earlier, 1 rows."

    def test_a_struck_note_counts_no_more(self, tools, tmp_path):
        (tmp_path / "n.txt").write_text("lid at 18\nlid at 19\n")
        taken = take_text(Origin(tmp_path / "n.txt", STARTED), tools, progress=lambda step: None)
        tools.record.strike_note(tools.record.notes(taken.session.id)[1].id)
        assert tools.record.unsettled() == (taken.session.id,)
        (entry,) = settle(tools.record, taken.session.id, tools.rules)
        assert [torque.value for torque in entry.entry.torques] == [18.0]


def test_two_programs_do_not_fill_one_session(tools, source, sound, tmp_path):
    """A second program that takes the same file while the first one reads it is told so, and nothing comes twice."""
    from gudgeon.domain import Failure
    from gudgeon.record import Record

    told = []

    def interfere(step):
        if not told:
            with Record.open(tools.record.folder) as other:
                second = type(tools)(record=other, read=tools.read, rules=tools.rules, clock=tools.clock)
                with pytest.raises(Failure, match="Another gudgeon is filling session 1") as refused:
                    take_recording(Origin(source, STARTED), second, sound(4).tools(*TEXTS), progress=lambda step: None)
                told.append(refused.value)

    taken = take_recording(Origin(source, STARTED), tools, sound(4).tools(*TEXTS), progress=interfere)
    assert told
    assert len(tools.record.sessions()) == 1
    assert [text for text, _, _ in said(tools, taken.session.id)] == list(TEXTS)
    assert not list((tools.record.folder / "locks").iterdir())
