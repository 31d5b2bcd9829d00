"""A real microphone: a file played into PulseAudio's null sink by one process, heard by ``gudgeon listen`` in another."""

import json
import os
import signal
import subprocess
import sys
import time
from pathlib import Path

import numpy as np
import pytest
from rapidfuzz import fuzz

from gudgeon.audio import cut, kept_seconds, own_times, speech_clips
from gudgeon.cli import wiring
from gudgeon.domain import SAMPLE_RATE

pytestmark = [
    pytest.mark.slow,
    pytest.mark.needs("pulseaudio", "paplay", "pactl", "flite", "espeak-ng", "sox"),
    pytest.mark.timeout(400),
    pytest.mark.flaky(reruns=2),
]
SAID = ("The drain plug got twenty five newton metres.", "The gearbox lid bolts got twenty four newton metres.")


sys.path.insert(0, str(Path(__file__).resolve().parents[2] / "benchmarks" / "voice"))
from bench_sink import bench_sink, wait_for  # noqa: E402

sys.path.pop(0)


@pytest.fixture
def bench(tmp_path):
    """The environment of a computer whose only microphone hears what is played into its null sink, with a record and settings of its own."""
    with bench_sink(tmp_path / "home") as env:
        own = {"GUDGEON_RECORD": str(tmp_path / "record"), "GUDGEON_SETTINGS": str(tmp_path / "settings.toml")}
        yield env | own
        for process in STARTED:  # what a failed test left running would listen into the next one
            if process.poll() is None:
                process.kill()
                process.wait(10)
        STARTED.clear()


STARTED: list[subprocess.Popen[bytes]] = []


def listening(env, tmp_path, *options):
    out, err = tmp_path / "out", tmp_path / "err"
    started = len(err.read_text()) if err.exists() else 0
    with open(out, "a") as o, open(err, "a") as e:
        command = [sys.executable, "-m", "gudgeon", "listen", "--json", *options]
        process = subprocess.Popen(command, env=env, stdout=o, stderr=e)
    STARTED.append(process)
    wait_for(lambda: "Listening at" in err.read_text()[started:] or process.poll() is not None, "gudgeon did not listen")
    assert process.poll() is None, err.read_text()
    return process, out, err


def speak(tmp_path, text):
    plain, quiet = tmp_path / "said.wav", tmp_path / "padded.wav"
    subprocess.run(["flite", "-voice", "slt", "-t", text, "-o", plain], check=True)
    subprocess.run(["sox", plain, quiet, "pad", "0.5", "1.5"], check=True)
    return quiet


def play(env, tmp_path, text):
    subprocess.run(["paplay", "--device=bench", speak(tmp_path, text)], env=env, check=True)


def spoken_s(tmp_path, since):
    """How many seconds of what was spoken since that second of the session are in its files by now."""
    folder = tmp_path / "record" / "sound" / "1"
    reached = kept_seconds(folder)
    if reached <= since:
        return 0.0  # nothing more was written yet
    loud = np.flatnonzero(np.abs(cut(folder, since, reached)) > 0.05)
    return (reached - since) - loud[0] / SAMPLE_RATE if loud.size else 0.0


def shown(out):
    return [json.loads(line) for line in out.read_text().splitlines()]


def torques(env):
    ran = subprocess.run([sys.executable, "-m", "gudgeon", "summary", "--json"], env=env, capture_output=True, text=True, check=True)
    return [(entry["part"], torque["value"], torque["unit"]) for entry in json.loads(ran.stdout)["entries"] for torque in entry["torques"]]


def test_what_is_played_into_the_microphone_is_in_the_record(bench, tmp_path):
    process, out, err = listening(bench, tmp_path)
    for count, text in enumerate(SAID, start=1):
        play(bench, tmp_path, text)
        wait_for(lambda count=count: len(torques(bench)) >= count, "the value is not in the record")
    process.send_signal(signal.SIGINT)
    assert process.wait(60) == 0, err.read_text()
    assert "Sound was lost" not in err.read_text()
    assert len(shown(out)) >= len(torques(bench)) == 2
    assert {value for _, value, _ in torques(bench)} == {25.0, 24.0}


def test_killed_in_the_middle_of_a_phrase_it_is_read_the_next_time(bench, tmp_path):
    process, out, _ = listening(bench, tmp_path)
    play(bench, tmp_path, SAID[0])
    wait_for(lambda: shown(out), "the phrase was not shown")
    reached = kept_seconds(tmp_path / "record" / "sound" / "1")
    speak(tmp_path, f"{SAID[0][:-1]} and the gearbox lid bolts got twenty four newton metres after that.")
    with subprocess.Popen(["paplay", "--device=bench", tmp_path / "padded.wav"], env=bench):
        wait_for(lambda: spoken_s(tmp_path, reached) > 3.0, "what is played is not kept")  # the first value is out, the second is not
        process.kill()
        process.wait(10)
    before = len(shown(out))
    process, out, err = listening(bench, tmp_path, "--carry-on")
    wait_for(lambda: len(shown(out)) > before, "what was kept was not read")
    process.send_signal(signal.SIGINT)
    assert process.wait(60) == 0, err.read_text()
    texts = [phrase["text"] for phrase in shown(out)]
    assert "was carried on" in err.read_text()
    assert fuzz.partial_ratio("drain plug got 25", texts[before].lower().replace("twenty-five", "25").replace("twenty five", "25")) > 70, texts


def spec_sheet(env, tmp_path):
    sheet = tmp_path / "sheet.csv"
    sheet.write_text("part,fastener,count,torque,unit\nsump,drain plug,1,25,lbf*ft\ngearbox lid,bolt,8,24,N*m\n")
    subprocess.run([sys.executable, "-m", "gudgeon", "spec", "load", sheet], env=env, check=True, capture_output=True)


def notes(env):
    ran = subprocess.run([sys.executable, "-m", "gudgeon", "summary", "--json"], env=env, capture_output=True, text=True, check=True)
    return [note["text"] for note in json.loads(ran.stdout)["notes"]]


def test_a_question_is_answered_in_sound_which_is_recognised_and_is_no_note(bench, tmp_path):
    """The answer is played into the same sink that the microphone hears, as at a bench with the loudspeaker beside it."""

    spec_sheet(bench, tmp_path)
    process, out, err = listening(bench, tmp_path)
    play(bench, tmp_path, "Hello workshop, what is the torque for the drain plug?")
    wait_for(lambda: shown(out), "the question was not answered")
    answer = shown(out)[0]["answer"]
    assert answer == "Sump drain plug: 25 lb·ft (spec sheet, line 2). The maker's manual decides.", shown(out)
    sound = tmp_path / "record" / "sound" / "1"
    wait_for(lambda: len(own_times(sound)) >= 2, "the answer was not spoken")
    time.sleep(2.0)
    play(bench, tmp_path, SAID[1])
    wait_for(lambda: torques(bench), lambda: f"the value of the next phrase is not in the record: {shown(out)} {err.read_text()}")
    process.send_signal(signal.SIGINT)
    assert process.wait(60) == 0, err.read_text()
    assert len(notes(bench)) == 1 and torques(bench)[0][1:] == (24.0, "N*m")
    spoken = cut(sound, *own_times(sound)[-1])
    ear = wiring.recogniser(phrases=["sump drain plug"])
    heard = " ".join(hearing.text for hearing in ear.hear(speech_clips([spoken]))).lower()
    assert ("25" in heard or "twenty five" in heard or "twenty-five" in heard) and "pound" in heard and "manual" in heard, heard


def test_unplugged_it_says_so_and_picks_up_when_it_is_back(bench, tmp_path):
    process, out, err = listening(bench, tmp_path)
    play(bench, tmp_path, SAID[0])
    wait_for(lambda: shown(out), "the phrase was not shown")
    sinks = subprocess.run(["pactl", "list", "short", "modules"], env=bench, capture_output=True, text=True, check=True).stdout
    number = next(line.split()[0] for line in sinks.splitlines() if "module-null-sink" in line)
    subprocess.run(["pactl", "unload-module", number], env=bench, check=True)
    wait_for(lambda: "unplugged" in err.read_text(), "it was not told that the microphone is away")
    subprocess.run(["pactl", "load-module", "module-null-sink", "sink_name=bench"], env=bench, check=True, capture_output=True)
    subprocess.run(["pactl", "set-default-source", "bench.monitor"], env=bench, check=True)
    wait_for(lambda: "is back" in err.read_text(), "it did not pick up again: " + err.read_text())
    play(bench, tmp_path, SAID[1])
    wait_for(lambda: len(shown(out)) >= 2, "the phrase after it was not shown")
    process.send_signal(signal.SIGINT)
    assert process.wait(60) == 0, err.read_text()
    assert {value for _, value, _ in torques(bench)} == {25.0, 24.0}


def test_a_muted_microphone_is_named(bench, tmp_path):
    subprocess.run(["pactl", "set-source-mute", "bench.monitor", "1"], env=bench, check=True)
    process, _, err = listening(bench, tmp_path)
    wait_for(lambda: "is it muted?" in err.read_text(), "it was not told that the microphone is muted")
    process.send_signal(signal.SIGINT)
    assert process.wait(60) == 0, err.read_text()


def test_a_chosen_microphone_is_remembered(bench, tmp_path):
    process, _, err = listening(bench, tmp_path, "--microphone", "pulse")
    process.send_signal(signal.SIGINT)
    assert process.wait(60) == 0, err.read_text()
    assert "is the microphone from now on" in err.read_text()
    assert 'microphone = "pulse"' in (tmp_path / "settings.toml").read_text()


def test_killed_while_it_speaks_its_voice_is_no_note_the_next_time_either(bench, tmp_path):
    spec_sheet(bench, tmp_path)
    process, out, _ = listening(bench, tmp_path)
    play(bench, tmp_path, "Hello workshop, what is the torque for the drain plug?")
    wait_for(lambda: shown(out), "the question was not answered")
    times = tmp_path / "record" / "sound" / "1" / "own_voice.txt"
    wait_for(times.exists, "the answer was not spoken")
    time.sleep(3.0)
    process.kill()
    process.wait(10)
    process, out, err = listening(bench, tmp_path, "--carry-on", "--quiet")
    time.sleep(8.0)  # what the killed program had handed to the sound server is still played when somebody listens again
    play(bench, tmp_path, SAID[1])
    wait_for(lambda: len(shown(out)) >= 2, "the phrase after it was not shown")
    process.send_signal(signal.SIGINT)
    assert process.wait(60) == 0, err.read_text()
    assert "was carried on" in err.read_text()
    assert len(notes(bench)) == 1 and torques(bench)[0][1:] == (24.0, "N*m")


def note_starts(env):
    ran = subprocess.run([sys.executable, "-m", "gudgeon", "summary", "--json"], env=env, capture_output=True, text=True, check=True)
    session = json.loads(ran.stdout)
    return [note["start"] for note in session["notes"]], session.get("missing", [])


def before_and_after(bench, tmp_path, process, meanwhile):
    """Plays a phrase, lets something happen, plays another; how far apart they began at the microphone, by the clock and by their notes."""
    out, begun = tmp_path / "out", []
    wait_for(lambda: kept_seconds(tmp_path / "record" / "sound" / "1") > 2.0, "no sound comes")  # the first of a stream takes up to two seconds
    for text, done in zip(SAID, (1, 2), strict=True):
        sound = speak(tmp_path, text)
        begun.append(time.monotonic())
        subprocess.run(["paplay", "--device=bench", sound], env=bench, check=True)
        wait_for(lambda done=done: len(shown(out)) >= done, "a phrase was not shown")
        if done == 1:
            meanwhile()
    process.send_signal(signal.SIGINT)
    assert process.wait(60) == 0, (tmp_path / "err").read_text()
    starts, missing = note_starts(bench)
    assert len(starts) == 2 and {value for _, value, _ in torques(bench)} == {25.0, 24.0}
    return begun[1] - begun[0], starts[1] - starts[0], missing


def test_stopped_for_twenty_seconds_it_goes_on_tells_and_its_times_are_right(bench, tmp_path):
    process, _, err = listening(bench, tmp_path, "--quiet")  # what it tells is not spoken into the second phrase

    def stopped():
        process.send_signal(signal.SIGSTOP)
        time.sleep(20.0)
        process.send_signal(signal.SIGCONT)
        wait_for(lambda: "For 2" in err.read_text() or "No sound came for" in err.read_text(), "it was not told")

    by_clock, by_notes, missing = before_and_after(bench, tmp_path, process, stopped)
    assert by_clock > 20.0 and by_notes == pytest.approx(by_clock, abs=1.0)
    assert "none is lost" in err.read_text() or [gap["seconds"] for gap in missing] == [pytest.approx(20.0, abs=3.0)]


def test_a_sound_server_that_stood_still_is_opened_anew_the_gap_is_kept_and_times_are_right(bench, tmp_path):
    process, _, err = listening(bench, tmp_path, "--quiet")  # what it tells is not spoken into the second phrase
    server = server_of(bench)

    def stopped():
        os.kill(server, signal.SIGSTOP)
        time.sleep(12.0)
        os.kill(server, signal.SIGCONT)
        wait_for(lambda: "is back" in err.read_text(), "it did not pick up again")
        wait_for(lambda: "No sound came for" in err.read_text(), "the gap was not told")

    by_clock, by_notes, missing = before_and_after(bench, tmp_path, process, stopped)
    assert by_clock > 12.0 and by_notes == pytest.approx(by_clock, abs=1.0)
    assert [gap["seconds"] for gap in missing] == [pytest.approx(12.0, abs=4.0)]
    assert "No sound came at" in subprocess.run([sys.executable, "-m", "gudgeon", "summary"], env=bench, capture_output=True, text=True).stdout


def test_ctrl_c_ends_it_in_order_while_the_sound_server_stands_still(bench, tmp_path):
    process, out, err = listening(bench, tmp_path, "--quiet")
    play(bench, tmp_path, SAID[0])
    wait_for(lambda: shown(out), "the phrase was not shown")
    server = server_of(bench)
    os.kill(server, signal.SIGSTOP)
    try:
        wait_for(lambda: "unplugged" in err.read_text(), "it was not told that the microphone is away")
        process.send_signal(signal.SIGINT)
        assert process.wait(60) == 0, err.read_text()
    finally:
        os.kill(server, signal.SIGCONT)
    assert "is finished: 1 note" in err.read_text() and torques(bench)[0][1:] == (25.0, "N*m")


def server_of(env):
    """The number of the process of this bench's own sound server."""
    for folder in Path("/proc").iterdir():
        try:
            words, around = (folder / "cmdline").read_bytes(), (folder / "environ").read_bytes()
        except OSError:
            continue
        if words.startswith(b"pulseaudio\0") and f"HOME={env['HOME']}\0".encode() in around:
            return int(folder.name)
    raise AssertionError("the sound server was not found")


def test_what_is_spoken_into_an_answer_is_kept_as_a_note_without_words_and_without_a_value(bench, tmp_path):
    spec_sheet(bench, tmp_path)
    process, out, err = listening(bench, tmp_path)
    said = (
        "The flywheel bolts got sixty five newton metres with a long socket and some blue thread locker on every thread and a washer under each head"
    )
    said = speak(tmp_path, said).rename(tmp_path / "into.wav")  # longer than the answer by far
    play(bench, tmp_path, "Hello workshop, what is the torque for the drain plug?")
    wait_for(lambda: shown(out), "the question was not answered")
    wait_for(lambda: own_times(tmp_path / "record" / "sound" / "1"), "the answer was not spoken")
    subprocess.run(["paplay", "--device=bench", said], env=bench, check=True)
    wait_for(lambda: len(shown(out)) >= 2, lambda: f"what was spoken into the answer was not shown: {shown(out)} {err.read_text()}")
    process.send_signal(signal.SIGINT)
    assert process.wait(60) == 0, err.read_text()
    phrase = shown(out)[1]
    assert (phrase["text"], phrase["entries"]) == ("", []) and phrase["note"] is not None
    assert phrase["answer"].startswith("Spoken into an answer")
    assert torques(bench) == [] and notes(bench)[0] == ""
    assert len(cut(tmp_path / "record" / "sound" / "1", phrase["start"], phrase["end"])) > 2 * SAMPLE_RATE
