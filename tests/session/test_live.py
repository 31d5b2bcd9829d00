"""The live way: each phrase is in the record and judged before it is shown; stopped, broken off, it is carried on; nothing is lost."""

from dataclasses import replace
from datetime import UTC, datetime
from threading import Event

import numpy as np
import pytest

from gudgeon.domain import SAMPLE_RATE, Clip, RecogniserFailed
from gudgeon.session import Answer, Origin, Reins, begin, listen

STARTED = datetime(2026, 5, 4, 7, 0, tzinfo=UTC)
TEXTS = ("lid at 18", "is it twenty?", "", "cover at 9")


def blocks(seconds, *, after=None):
    for second in range(seconds):
        yield np.full(SAMPLE_RATE, second / 100, dtype=np.float32)
        if after:
            after(second)


def by_the_second(stream):
    for at, block in enumerate(stream):
        yield Clip(block, float(at), at + 1.0)


def run(source, tools, sound, seconds, *, show=None, after=None, gate=by_the_second, **options):
    shown, reins = [], options.pop("reins", Reins())
    with begin(Origin(source, STARTED), tools.record, "scripted") as start:
        taken = listen(start, blocks(seconds, after=after), tools, replace(sound, gate=gate), show=show or shown.append, reins=reins, **options)
    return taken, shown


def said(tools, session):
    return [note.note.text for note in tools.record.notes(session.id)]


def test_each_phrase_is_shown_with_what_came_of_it(tools, source, sound):
    taken, shown = run(source, tools, sound(0).tools(*TEXTS), 4)
    assert (taken.session.state, taken.session.seconds, taken.stopped) == ("finished", 4.0, False)
    assert [phrase.text for phrase in shown] == list(TEXTS)
    assert [[torque.value for entry in phrase.entries for torque in entry.entry.torques] for phrase in shown] == [[18.0], [18.0], [], [18.0, 9.0]]
    assert [item.item.text for item in shown[1].items] == ["is it twenty?"]
    assert shown[2].note.note.unheard
    assert shown[3].entries[0].judgement.verdicts[0].code == "no reference"
    assert tools.record.sounds(taken.session.id)[0].seconds == 4.0


def test_a_note_is_in_the_record_and_settled_before_it_is_shown(tools, source, sound):
    seen = []

    def show(phrase):
        seen.append((said(tools, session_of(tools)), len(tools.record.entries(session_of(tools).id))))

    def session_of(tools):
        return tools.record.latest_session()

    run(source, tools, sound(0).tools(*TEXTS), 2, show=show)
    assert seen == [(["lid at 18"], 1), (["lid at 18", "is it twenty?"], 1)]


def test_stopped_half_way_all_that_came_is_read_and_the_rest_follows_later(tools, source, sound):
    reins = Reins()
    first, _ = run(source, tools, sound(0).tools(*TEXTS), 4, reins=reins, after=lambda second: second == 0 and reins.stop.set())
    assert (first.session.state, first.stopped) == ("unfinished", True)
    assert said(tools, first.session) == list(TEXTS[: len(said(tools, first.session))])
    count = len(said(tools, first.session))
    again, _ = run(source, tools, sound(0).tools(*TEXTS[count:]), 4)
    assert (again.session.id, again.session.state, again.carried_on_from) == (first.session.id, "finished", first.session.reached)
    assert said(tools, again.session) == list(TEXTS)
    assert tools.record.sounds(again.session.id)[0].seconds == 4.0


def test_a_microphone_that_is_stopped_is_finished(tools, source, sound):
    reins = Reins()
    taken, _ = run(source, tools, sound(0).tools(*TEXTS), 4, reins=reins, endless=True, after=lambda second: second == 1 and reins.stop.set())
    assert taken.session.state == "finished"


def test_broken_off_what_was_kept_and_not_read_is_read_the_next_time(tools, source, sound):
    def show(phrase):
        raise KeyboardInterrupt

    first, _ = run(source, tools, sound(0).tools(*TEXTS), 4, show=show, endless=True)
    assert (first.session.state, said(tools, first.session)) == ("unfinished", ["lid at 18"])
    again, _ = run(source, tools, sound(0).tools(*TEXTS[1:]), 4)
    assert said(tools, again.session) == list(TEXTS)


def test_sound_is_kept_while_a_phrase_is_being_read(tools, source, sound):
    came_all, waited = Event(), []

    def show(phrase):
        waited.append(came_all.wait(5))

    run(source, tools, sound(0).tools(*TEXTS), 4, show=show, after=lambda second: second == 3 and came_all.set())
    assert waited == [True] * 4


def test_a_command_that_is_taken_is_no_note_and_one_that_is_not_stays_one_without_facts(tools, source, sound):
    def obey(clip, hearing):
        return {"lid at 18": (Answer("Done."), False), "cover at 9": (Answer("Not understood.", taken=False), True)}.get(hearing.text, (None, True))

    taken, shown = run(source, tools, sound(0).tools("lid at 18", "lid at 20", "cover at 9"), 3, obey=obey)
    assert said(tools, taken.session) == ["lid at 20", "cover at 9"]
    assert [torque.value for entry in tools.record.entries(taken.session.id) for torque in entry.entry.torques] == [20.0]
    assert [phrase.answer and phrase.answer.text for phrase in shown] == ["Done.", None, "Not understood."]


def test_trouble_tells_what_was_kept(tools, source, sound):
    class Tired:
        name = "tired"

        def hear(self, clips):
            yield from sound(0).tools("lid at 18").recogniser.hear([next(iter(clips))])
            raise RecogniserFailed("It gave up.")

    with pytest.raises(RecogniserFailed, match="1 note and the sound are kept"):
        run(source, tools, replace(sound(0).tools(), recogniser=Tired()), 4)
    session = tools.record.latest_session()
    assert (session.state, said(tools, session), len(tools.record.entries(session.id))) == ("unfinished", ["lid at 18"], 1)


def test_a_typed_line_is_a_note_of_the_same_session_in_its_turn(tools, source, sound):
    reins = Reins()
    reins.typed.extend(["lid   at 20", "  "])
    taken, shown = run(source, tools, sound(0).tools("lid at 18"), 1, reins=reins)
    assert said(tools, taken.session) == ["lid at 20", "lid at 18"]
    assert [(phrase.text, phrase.typed) for phrase in shown] == [("lid at 20", True), ("lid at 18", False)]
    note = tools.record.notes(taken.session.id)[0].note
    assert (note.start, note.end, note.confidence) == (None, None, None)
    assert [torque.value for entry in tools.record.entries(taken.session.id) for torque in entry.entry.torques] == [20.0, 18.0]
    assert taken.session.reached == 1.0


def test_its_own_voice_is_kept_as_sound_and_never_a_note(tools, source, sound):
    def obey(clip, hearing):
        return None, not 0.5 < clip.start < 1.5

    taken, shown = run(source, tools, sound(0).tools("lid at 18", "lid at 19", "lid at 20"), 3, obey=obey)
    assert said(tools, taken.session) == ["lid at 18", "lid at 20"] and len(shown) == 2
    assert [phrase.start for phrase in shown] == [0.0, 2.0]
    assert tools.record.sounds(taken.session.id)[0].seconds == 3.0


def test_what_was_spoken_into_an_answer_is_a_note_with_its_sound_and_no_words(tools, source, sound):
    def obey(clip, hearing):
        both = 0.5 < clip.start < 1.5
        return (Answer("Spoken into an answer.", taken=False, unread=True) if both else None), True

    taken, shown = run(source, tools, sound(0).tools("lid at 18", "lid at 19", "lid at 20"), 3, obey=obey)
    notes = [note.note for note in tools.record.notes(taken.session.id)]
    assert [(note.text, note.unheard, note.start, note.end, note.others) for note in notes][1] == ("", True, 1.0, 2.0, ())
    assert [torque.value for entry in tools.record.entries(taken.session.id) for torque in entry.entry.torques] == [18.0, 20.0]
    assert (shown[1].text, shown[1].note.id, shown[1].answer.text) == ("", tools.record.notes(taken.session.id)[1].id, "Spoken into an answer.")
