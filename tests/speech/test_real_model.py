"""The real recogniser on a real person's speech.

The recording is ``two_cities.wav`` in the moonshine-voice package (MIT): someone reading the opening of Charles Dickens's
"A Tale of Two Cities" (1859, public domain; text as printed in the first edition).
"""

import re
import shutil
from importlib import metadata, resources
from pathlib import Path

import numpy as np
import pytest
from rapidfuzz.distance import Levenshtein

from gudgeon.audio import decode, speech_clips
from gudgeon.domain import Clip
from gudgeon.domain.sound import SAMPLE_RATE
from gudgeon.speech import Embedded, prepare, prepared, read_phrases, self_test
from gudgeon.speech.greedy import greedy
from gudgeon.speech.model_files import installed_model
from gudgeon.speech.nets import PlainNet, RebuiltNet

pytestmark = pytest.mark.slow

DICKENS = """It was the best of times, it was the worst of times, it was the age of wisdom, it was the age of foolishness,
it was the epoch of belief, it was the epoch of incredulity, it was the season of Light, it was the season of Darkness,
it was the spring of hope, it was the winter of despair, we had everything before us, we had nothing before us,
we were all going direct to Heaven, we were all going direct the other way--in short, the period was so far like the present period,
that some of its noisiest authorities insisted on its being received, for good or for evil, in the superlative degree of comparison only."""


def words(text):
    return re.findall(r"[a-z']+", text.lower())


def word_error_rate(said, heard):
    return Levenshtein.distance(words(said), words(heard)) / len(words(said))


def recording():
    return Path(str(next(f for f in metadata.files("moonshine-voice") if f.name == "two_cities.wav").locate()))


def clips():
    return list(speech_clips(decode(recording())))


@pytest.fixture(scope="module")
def rebuilt(tmp_path_factory):
    cache = tmp_path_factory.mktemp("cache")
    yield prepare(installed_model(), cache)
    shutil.rmtree(cache)


def test_a_person_reading_dickens_is_understood(rebuilt):
    heard = list(Embedded(cache=rebuilt.folder.parent).hear(clips()))
    assert word_error_rate(DICKENS, " ".join(h.text for h in heard)) <= 0.10
    assert all(0.5 < h.confidence <= 1.0 for h in heard)


def test_phrases_of_the_trade_do_not_turn_dickens_into_a_workshop(rebuilt):
    phrases = read_phrases((resources.files("gudgeon.speech") / "tables" / "phrases.csv").read_text(encoding="utf-8").splitlines())
    heard = list(Embedded(cache=rebuilt.folder.parent, phrases=phrases).hear(clips()))
    assert word_error_rate(DICKENS, " ".join(h.text for h in heard)) <= 0.10


def test_the_rebuilt_form_reads_the_same_tokens_as_the_plain_one(rebuilt):
    assert rebuilt.same_words
    assert prepared(installed_model(), rebuilt.folder.parent) == rebuilt
    plain, fast = PlainNet(installed_model()), RebuiltNet(rebuilt.folder)
    for clip in clips()[:3]:
        piece = clip.samples[: 4 * SAMPLE_RATE]
        slow_reading, fast_reading = (greedy(net, net.listen(piece), 40) for net in (plain, fast))
        assert slow_reading.tokens == fast_reading.tokens
        assert fast_reading.odds == pytest.approx(slow_reading.odds, abs=1e-3)


def test_a_piece_that_reads_as_nothing_is_read_with_moved_bounds(rebuilt):
    """The first six seconds of the recording give an empty text when they are read as they are."""
    samples = np.concatenate(list(decode(recording())))[: 6 * SAMPLE_RATE]
    net = RebuiltNet(rebuilt.folder)
    assert greedy(net, net.listen(samples), 60).tokens == ()
    (heard,) = Embedded(cache=rebuilt.folder.parent).hear([Clip(samples, 0.0, 6.0)])
    assert word_error_rate("It was the best of times, it was the worst of times, it was the age of wisdom", heard.text) <= 0.1


def test_noise_without_speech_gives_no_text_even_with_phrases(rebuilt):
    rng, at = np.random.default_rng(7), np.arange(3 * SAMPLE_RATE) / SAMPLE_RATE
    noises = [
        np.zeros(len(at)),
        rng.standard_normal(len(at)) * 0.05,
        np.cumsum(rng.standard_normal(len(at))) * 0.002,
        0.2 * np.sin(2 * np.pi * 50 * at) + 0.1 * np.sin(2 * np.pi * 150 * at),
        rng.standard_normal(len(at)) * np.exp(-(at % 0.5) / 0.03) * 0.4,
    ]
    ear = Embedded(cache=rebuilt.folder.parent, phrases=["newton metres", "torqued to", "foot pounds"])
    assert [h.text for h in ear.hear([Clip(n.astype(np.float32), 0.0, 3.0) for n in noises])] == [""] * len(noises)


def test_it_reads_the_built_in_clip_and_says_nothing_while_doing_so(rebuilt):
    told = []
    tried = self_test(Embedded(cache=rebuilt.folder.parent, notice=told.append))
    assert tried.ok, tried
    assert told == []


def test_word_error_rate_counts():
    assert word_error_rate("a b c d", "a x c") == 0.5
