"""The program's own voice: played in turn, remembered before it is heard, told from a person's, silent without a fault when it cannot be heard."""

import threading

import numpy as np
import pytest

from gudgeon.audio import AGAIN, Keeper, Mouth, Whose, own_times, spoken
from gudgeon.domain import SAMPLE_RATE, Clip, MissingThing


class Bench:
    """A loudspeaker that takes as long as the sound lasts on a clock of its own, and writes down what it played."""

    def __init__(self, folder, **how):
        self.seconds, self.played, self.told = 10.0, [], []
        self.before = []
        self.folder = folder
        self.mouth = Mouth(
            folder,
            now=lambda: self.seconds,
            tell=self.told.append,
            playing=how.pop("playing", self.play),
            speech=how.pop("speech", lambda text: np.full(SAMPLE_RATE * len(text.split()), 0.1, np.float32)),
            **{"volume": 0.2, "aloud": True} | how,
        )

    def play(self, sound):
        self.before.append(own_times(self.folder))
        self.played.append(round(len(sound) / SAMPLE_RATE, 2))
        self.seconds += len(sound) / SAMPLE_RATE


def clip(start, end):
    return Clip(np.zeros(1, np.float32), start, end)


def test_in_turn_and_remembered_before_it_is_heard(tmp_path):
    bench = Bench(tmp_path)
    bench.mouth.tone("taken")
    bench.mouth.say("twenty five newton metres")
    bench.mouth.close()
    assert bench.played == [0.33, 4.0]
    assert bench.before[0] == [] and bench.before[1][0][0] == pytest.approx(10.33) and bench.before[1][0][1] >= 14.33


@pytest.mark.parametrize(
    ("start", "end", "own"),
    [(10.1, 14.5, True), (11.0, 12.0, True), (13.2, 14.4, True), (6.0, 9.9, False), (14.1, 15.3, False), (20.0, 22.0, False), (8.0, 12.0, True)],
)
def test_what_is_heard_meanwhile_is_its_own_and_a_quick_reply_is_not(tmp_path, start, end, own):
    bench = Bench(tmp_path)
    bench.mouth.say("one two three four")
    bench.mouth.close()
    assert bench.mouth.whose(clip(start, end), "one two three four") is not Whose.ANOTHER if own else True
    assert (bench.mouth.whose(clip(start, end), "lid") is Whose.ANOTHER) is not own


@pytest.mark.parametrize(
    ("start", "end", "heard", "whose"),
    [
        (8.0, 12.0, "one two", Whose.BOTH_LONG),
        (12.0, 17.0, "three four", Whose.BOTH_LONG),
        (10.2, 14.0, "Sump drain plug 25 pound feet. The makers manual decides.", Whose.ITS_OWN),
        (10.2, 14.0, "Some brain plug twenty-five pound feet, the maker's manual decides.", Whose.ITS_OWN),
        (10.2, 14.0, "I have put some thread locker on the flywheel bolts", Whose.BOTH),
        (10.2, 14.0, "The stud is pulling", Whose.ITS_OWN),
        (10.2, 14.0, "This stud is pulling badly", Whose.BOTH),
        (10.2, 14.0, "", Whose.ITS_OWN),
        (10.2, 14.0, "Sump drain plug 25 pound feet the makers manual decides the flywheel bolts got 65 newton metres", Whose.BOTH),
        (10.2, 14.0, "Subgrade blood. 25 pound feet. Pervasive cardio designs.", Whose.ITS_OWN),
    ],
)
def test_who_speaks_into_it_is_told_by_the_time_or_by_the_words(tmp_path, start, end, heard, whose):
    bench = Bench(tmp_path, speech=lambda text: np.full(SAMPLE_RATE * 4, 0.1, np.float32))
    bench.mouth.say("Sump drain plug: 25 pound feet. The maker's manual decides.")
    bench.mouth.close()
    assert bench.mouth.whose(clip(start, end), heard) is whose


def test_being_asked_to_say_it_again_is_never_heard_as_somebody(tmp_path):
    bench = Bench(tmp_path, speech=lambda text: np.full(SAMPLE_RATE * 2, 0.1, np.float32))
    bench.mouth.say(AGAIN)
    bench.mouth.close()
    for heard in ("These stay what a grain", "Please say that again", "Leave the drain"):
        assert bench.mouth.whose(clip(10.1, 12.2), heard) is Whose.ITS_OWN, heard


def test_it_waits_until_nobody_speaks(tmp_path):
    speaking = [True, True, True, False]
    bench = Bench(tmp_path, busy=lambda: speaking.pop(0) if speaking else False)
    bench.mouth.say("one two")
    bench.mouth.close()
    assert (bench.played, speaking) == ([2.0], [])


def test_what_finds_no_pause_is_left_to_the_screen(tmp_path, monkeypatch):
    monkeypatch.setattr("gudgeon.audio.speaking.POLITE_S", 0.3)
    bench = Bench(tmp_path, busy=lambda: True)
    bench.mouth.say("one two")
    bench.mouth.close()
    assert (bench.played, own_times(tmp_path)) == ([], [])


def test_after_a_kill_it_is_still_known(tmp_path):
    bench = Bench(tmp_path)
    bench.mouth.say("one two three four")
    bench.mouth.close()
    with (tmp_path / "own_voice.txt").open("a") as file:
        file.write("30.0 3\x00")
    with Keeper(tmp_path) as keeper:
        keeper.add(np.zeros(round(12.0 * SAMPLE_RATE), np.float32))
    again = Bench(tmp_path)
    again.mouth.close()
    assert again.mouth.whose(clip(10.5, 12.0), "two three") is Whose.ITS_OWN
    assert again.mouth.whose(clip(12.0, 14.0), "lid at 18") is Whose.ANOTHER, "what was said after the kill is new"
    assert all(end <= 12.0 for _, end in own_times(tmp_path))


def test_tones_are_no_voice(tmp_path):
    bench = Bench(tmp_path)
    bench.mouth.tone("out of range")
    bench.mouth.close()
    assert bench.played and bench.mouth.whose(clip(9.9, 10.9), "lid") is Whose.ANOTHER


def test_silence_is_silent(tmp_path):
    bench = Bench(tmp_path, volume=0.0, aloud=False)
    bench.mouth.tone("heard")
    bench.mouth.say("one two")
    bench.mouth.close()
    assert (bench.played, own_times(tmp_path)) == ([], [])


def test_without_a_loudspeaker_it_says_so_once_and_goes_on(tmp_path):
    def broken(sound):
        raise MissingThing("Sound cannot be played: no loudspeaker was found.")

    bench = Bench(tmp_path, playing=broken)
    for _ in range(3):
        bench.mouth.tone("heard")
        bench.mouth.say("one two")
    bench.mouth.close()
    assert len(bench.told) == 1 and "shown, not spoken" in bench.told[0]
    assert not any(thread.name == "gudgeon-mouth" and thread.is_alive() for thread in threading.enumerate())


def test_without_espeak_it_is_said_what_to_do(monkeypatch):
    monkeypatch.setenv("PATH", "")
    with pytest.raises(MissingThing, match="apt install espeak-ng"):
        spoken("hello")


@pytest.mark.needs("espeak-ng")
@pytest.mark.parametrize("text", ["Sump drain plug: 25 pound feet.", "--help; $(touch /tmp/x) `id` -w /dev/null", "<speak>tags</speak> & more"])
def test_espeak_says_any_text_and_none_is_taken_for_an_option(text, tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    sound = spoken(text)
    assert 1.0 < len(sound) / SAMPLE_RATE < 15.0 and 0.5 < np.abs(sound).max() <= 0.61
    assert list(tmp_path.iterdir()) == []


@pytest.mark.parametrize(
    ("heard", "own"),
    [
        ("25 pound feet, by the spec sheet.", True),
        ("Sump drain plug 25 pound feet by the spec sheet the makers manual decides", True),
        ("the sump drain plug got 40 newton metres", False),
        ("The gearbox lid bolts got 25 pound feet", False),
        ("one three", False),
        ("", False),
    ],
)
def test_its_own_words_heard_late_are_known_by_their_text(tmp_path, heard, own):
    bench = Bench(tmp_path)
    bench.mouth.say("Sump drain plug: 25 pound feet, by the spec sheet. The maker's manual decides.")
    bench.mouth.close()
    assert bench.mouth.said(heard) is own
    again = Bench(tmp_path)
    again.mouth.close()
    assert again.mouth.said(heard) is own, "also after a kill"
