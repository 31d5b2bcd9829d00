"""Sound that never came: its place is kept by silence, words from before and after it never meet, and it is told and written down."""

import time
from itertools import pairwise
from threading import Event, Timer

import numpy as np
import pytest

from gudgeon.audio import Block, Capture, Gap, KeptGap, Late, Microphone, Moment, Watch, gap_words, keep_gap, kept_gaps
from gudgeon.domain import SAMPLE_RATE

BLOCK_S = 0.1


def block(mark, clock, awake=None):
    return Block(Moment(clock, clock if awake is None else awake), np.full(round(BLOCK_S * SAMPLE_RATE), mark, dtype=np.float32))


def steady(first, last, *, mark=0.1):
    """Blocks that come as they are made, from one second to another."""
    return [block(mark, clock) for clock in np.arange(first + BLOCK_S, last + 1e-6, BLOCK_S)]


def fed(blocks):
    watch = Watch()
    found = [one for block in blocks for one in watch.feed(block)] + watch.flush()
    return [one for one in found if isinstance(one, Gap | Late)], np.concatenate([one for one in found if isinstance(one, np.ndarray)])


def seconds(sound):
    return len(sound) / SAMPLE_RATE


def runs(sound):
    """What comes after what: (mark, seconds)."""
    edges = [0, *(np.flatnonzero(np.diff(sound)) + 1), len(sound)]
    return [(round(float(sound[low]), 2), round((high - low) / SAMPLE_RATE, 2)) for low, high in pairwise(edges)]


def test_a_steady_stream_passes_at_once_and_unchanged():
    watch = Watch()
    for one in steady(0.0, 5.0):
        assert [len(given) for given in watch.feed(one)] == [1600]
    assert watch.flush() == []


def test_a_stream_that_takes_long_to_start_has_no_gap_before_it():
    told, sound = fed(steady(30.0, 35.0))
    assert told == [] and runs(sound) == [(0.1, 5.0)]


def test_late_by_a_busy_computer_is_no_gap():
    jitter = np.random.default_rng(3).uniform(0.0, 0.8, 200)
    came = np.maximum.accumulate(np.arange(1, 201) * BLOCK_S + jitter)
    told, sound = fed([block(0.1, clock) for clock in came])
    assert told == [] and runs(sound) == [(0.1, 20.0)]


def test_a_stall_after_which_all_of_it_comes_is_late_and_whole():
    told, sound = fed([*steady(0.0, 2.0), *(block(0.2, 22.01) for _ in range(200)), *steady(22.0, 25.0, mark=0.3)])
    assert told == [Late(pytest.approx(20.0, abs=0.1))]
    assert runs(sound) == [(0.1, 2.0), (0.2, 20.0), (0.3, 3.0)]


def test_what_is_made_up_bit_by_bit_is_late_and_whole():
    made_up = [block(0.2, clock) for clock in np.arange(7.1, 16.0, 0.06)]  # seven seconds in, five behind
    behind = 2.0 + len(made_up) * BLOCK_S
    told, sound = fed([*steady(0.0, 2.0), *made_up, *steady(behind, behind + 3.0, mark=0.3)])
    assert told == [Late(pytest.approx(5.1, abs=0.1))]
    assert runs(sound) == [(0.1, 2.0), (0.2, pytest.approx(len(made_up) * BLOCK_S, abs=0.01)), (0.3, 3.0)]


def test_what_never_came_is_silence_and_later_times_are_right():
    told, sound = fed([*steady(0.0, 2.0), *steady(22.0, 25.0, mark=0.3)])
    assert told == [Gap(pytest.approx(20.0, abs=0.01), pytest.approx(20.0, abs=0.01))]
    assert runs(sound) == [(0.1, 2.0), (0.0, 20.0), (0.3, 3.0)]


def test_what_had_waited_touches_neither_what_was_before_nor_what_is_after():
    """A buffer held three seconds of a stop of twenty: whether they are its first or its last is not known."""
    told, sound = fed([*steady(0.0, 2.0), *(block(0.2, 22.0) for _ in range(30)), *steady(22.0, 25.0, mark=0.3)])
    assert [gap.lasted for gap in told] == [pytest.approx(17.0, abs=0.2)]
    assert runs(sound) == [(0.1, 2.0), (0.0, 1.0), (0.2, 3.0), (0.0, pytest.approx(16.0, abs=0.2)), (0.3, 3.0)]


def test_sleep_is_known_by_the_clock_that_stood_still():
    after = [block(0.3, clock, awake=clock - 600.0) for clock in np.arange(602.1, 604.0, BLOCK_S)]
    told, sound = fed([*steady(0.0, 2.0), *after])
    assert [gap.slept for gap in told] == [True]
    assert (told[0].lasted, told[0].filled) == (pytest.approx(600.0, abs=0.1), 300.0)
    assert seconds(sound) == pytest.approx(2.0 + 300.0 + 1.9, abs=0.1)


def test_a_stream_that_ends_while_it_is_held_back_loses_nothing():
    told, sound = fed([*steady(0.0, 2.0), *steady(9.0, 9.3, mark=0.3)])
    assert len(told) == 1 and runs(sound) == [(0.1, 2.0), (0.0, 7.0), (0.3, 0.3)]


@pytest.mark.parametrize("holes", [(1.5, 4.0), (2.0, 2.5, 30.0), (5.0,), (1.05, 1.05), (0.9, 5.0)])
def test_the_end_is_where_the_clock_says_after_any_holes(holes):
    clock, blocks = 0.0, []
    for hole in holes:
        blocks += steady(clock, clock + 3.0)
        clock += 3.0 + hole
    blocks += steady(clock, clock + 3.0)
    _, sound = fed(blocks)
    assert seconds(sound) == pytest.approx(clock + 3.0, abs=1.0 * len(holes))


@pytest.mark.parametrize(
    ("gap", "words"),
    [
        (Gap(20.2, 20.2), "No sound came for 20 seconds. Silence stands for it."),
        (
            Gap(3 * 3600 + 61, 300.0, slept=True),
            "The computer slept, so no sound came for 3 hours 1 minute. Times after it are 2 hours 56 minutes too early.",
        ),
    ],
)
def test_a_gap_in_words(gap, words):
    assert gap_words(gap) == words


def test_gaps_are_kept_beside_the_sound_and_spoilt_lines_are_left_out(tmp_path):
    assert kept_gaps(tmp_path) == ()
    keep_gap(tmp_path, KeptGap(12.5, 20.25, 20.25))
    with (tmp_path / "gaps.txt").open("a") as file:
        file.write("30.0 4\x00\n")
    keep_gap(tmp_path, KeptGap(50.0, 600.0, 300.0))
    assert kept_gaps(tmp_path) == (KeptGap(12.5, 20.25, 20.25), KeptGap(50.0, 600.0, 300.0))


class Status:
    input_overflow = False


class Bench:
    """A microphone that a test feeds, on a clock that the test sets; how often it was opened is counted."""

    def __init__(self, monkeypatch):
        self.clock = self.awake = 100.0
        self.told, self.gaps, self.opened = [], [], 0
        self.when_opened = lambda: None
        known = Microphone(1, "Bench mic", 1, True)
        monkeypatch.setattr("gudgeon.audio.microphone.SILENT_FOR_S", 0.6)
        monkeypatch.setattr("gudgeon.audio.microphone.choose", lambda wanted: known)
        monkeypatch.setattr("sounddevice._terminate", lambda: None)
        monkeypatch.setattr("sounddevice._initialize", lambda: None)
        monkeypatch.setattr(Capture, "_open", lambda capture: self.open())
        self.capture = Capture(known, tell=self.told.append, gap=self.gaps.append, now=lambda: Moment(self.clock, self.awake))

    def open(self):
        self.opened += 1
        if self.opened > 1:
            self.when_opened()

    def hear(self, lasting, *, mark=0.2):
        for _ in range(round(lasting / BLOCK_S)):
            self.clock += BLOCK_S
            self.awake += BLOCK_S
            self.capture._came(np.full((1600, 1), mark, dtype=np.float32), 1600, None, Status())

    def sound(self, until):
        """What is given until that much has come; it fails after ten seconds."""
        stop, given = Event(), []
        late = Timer(10.0, stop.set)
        late.start()
        for one in self.capture.blocks(stop):
            given.append(one)
            if sum(map(len, given)) >= round(until * SAMPLE_RATE):
                stop.set()
        late.cancel()
        return np.concatenate(given)


def test_a_stream_that_stops_without_an_error_is_opened_anew_and_the_gap_is_told(monkeypatch):
    bench = Bench(monkeypatch)

    def back():
        bench.clock, bench.awake = bench.clock + 12.0, bench.awake + 12.0
        bench.hear(2.0, mark=0.3)

    bench.when_opened = back
    bench.clock -= 1.0
    bench.awake -= 1.0
    bench.hear(1.0)
    sound = bench.sound(until=14.0)
    assert bench.opened == 2
    assert [text.split(":")[0] for text in bench.told] == ["The microphone Bench mic gives no sound", "The microphone is back."]
    assert [(round(gap.lasted, 1), gap.slept) for gap in bench.gaps] == [(12.0, False)]
    assert runs(sound) == [(0.2, 1.0), (0.0, 12.0), (0.3, 2.0)]


def test_after_sleep_the_microphone_is_opened_anew_even_though_its_stream_goes_on(monkeypatch):
    bench = Bench(monkeypatch)
    bench.clock -= 1.0
    bench.awake -= 1.0
    bench.hear(1.0)
    bench.clock += 120.0
    bench.hear(2.0, mark=0.3)
    sound = bench.sound(until=123.0)
    assert bench.opened == 2 and bench.told == []
    assert [(round(gap.lasted), gap.slept) for gap in bench.gaps] == [(120, True)]
    assert runs(sound) == [(0.2, 1.0), (0.0, 120.0), (0.3, 2.0)]


def test_a_stopped_program_does_not_take_its_own_sleep_for_an_unplugged_microphone(monkeypatch):
    bench = Bench(monkeypatch)
    bench.clock -= 1.0
    bench.awake -= 1.0
    bench.hear(1.0)
    bench.clock, bench.awake = bench.clock + 20.0, bench.awake + 20.0
    for _ in range(200):
        bench.capture._came(np.full((1600, 1), 0.3, dtype=np.float32), 1600, None, Status())
    bench.hear(2.0, mark=0.4)
    sound = bench.sound(until=23.0)
    assert bench.opened == 1 and bench.gaps == []
    assert len(bench.told) == 1 and "none is lost" in bench.told[0]
    assert runs(sound) == [(0.2, 1.0), (0.3, 20.0), (0.4, 2.0)]


def test_a_microphone_that_gives_only_silence_after_a_gap_is_named(monkeypatch):
    bench = Bench(monkeypatch)
    bench.clock -= 1.0
    bench.awake -= 1.0
    bench.hear(1.0)
    bench.clock, bench.awake = bench.clock + 10.0, bench.awake + 10.0
    bench.hear(2.0, mark=0.3)
    stop, given, fell_silent = Event(), 0, False
    late = Timer(10.0, stop.set)
    late.start()
    for one in bench.capture.blocks(stop):
        given += len(one)
        if given > 12 * SAMPLE_RATE and not fell_silent:
            fell_silent = True
            bench.hear(6.0, mark=0.0)
        if any("is it muted?" in text for text in bench.told):
            stop.set()
    late.cancel()
    assert bench.told == ["The microphone Bench mic is silent: is it muted?"]


def test_a_microphone_that_cannot_be_closed_holds_nothing_up(monkeypatch):
    bench, left_alone, over = Bench(monkeypatch), [], Event()
    monkeypatch.setattr("gudgeon.audio.microphone.CLOSED_IN_S", 0.2)
    monkeypatch.setattr("gudgeon.audio.microphone.atexit.unregister", left_alone.append)
    monkeypatch.setattr(Capture, "_shut", lambda capture: over.wait(20.0))
    monkeypatch.setattr(bench.capture, "_now", lambda: Moment(*[time.monotonic()] * 2))
    begun = time.monotonic()
    stop = Event()
    stop.set()
    bench.hear(1.0)
    given = np.concatenate(list(bench.capture.blocks(stop)))
    bench.capture.close()
    over.set()
    assert time.monotonic() - begun < 5.0 and len(given) == SAMPLE_RATE
    assert len(left_alone) == 1, "PortAudio would wait at the end of the program, too"
