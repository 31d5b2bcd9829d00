import numpy as np
import pytest

from gudgeon.domain import Clip, Hearing, Reading
from gudgeon.domain.sound import SAMPLE_RATE
from gudgeon.speech import Embedded, Recogniser, embedded, model_files
from gudgeon.speech.model_files import model_in

SAID = [{"▁to": 0.9}, {"▁": 0.9}, {"1": 0.6, "3": 0.4}, {"3": 0.5, "0": 0.5}, {"end": 0.9}]
CRUSH = [{"▁nuke": 0.6, "▁new": 0.3}, {"▁rush": 0.55, "▁crush": 0.4}, {"▁washer": 0.9}, {"end": 0.95, ".": 0.04}]


def clip(seconds=2.0):
    return Clip(np.ones(round(seconds * SAMPLE_RATE), np.float32), 0.0, seconds)


@pytest.fixture
def ear(toy, tmp_path, monkeypatch):
    """The embedded recogniser over a made-up model that always says the given steps."""
    for name in (model_files.ENCODER, model_files.DECODER, model_files.TOKENIZER):
        (tmp_path / name).write_bytes(b"x")
    monkeypatch.setattr(embedded.Tokens, "read", lambda path: toy.tokens)

    def made(steps, **options):
        monkeypatch.setattr(embedded, "best_net", lambda files, cache, threads, notice: toy.net(steps))
        return Embedded(model_in(tmp_path), **options)

    return made


def test_text_confidence_and_the_other_figure(ear):
    (heard,) = ear(SAID).hear([clip()])
    assert heard.text == "to 13"
    assert heard.recogniser == "embedded"
    assert heard.confidence == pytest.approx((1 + 1 + 0.6 + 0.5) / 4, abs=0.01)
    assert ("to 30", 0.4) in [(o.text, round(o.odds, 1)) for o in heard.others]


def test_phrases_change_the_text_and_no_strength_or_no_phrase_does_not(ear):
    def text(**options):
        return next(ear(CRUSH, **options).hear([clip()])).text

    assert text(phrases=["new crush washer"]) == "new crush washer"
    assert text(phrases=["new crush washer"], strength=0.0) == "nuke rush washer"
    assert text(phrases=[]) == "nuke rush washer"


def test_more_readings_are_followed_when_the_best_is_unsure(ear, monkeypatch):
    widths = []
    real = embedded.beam

    def counted(net, heard, most, bias, width=4, give_up=False):
        widths.append(width)
        return real(net, heard, most, bias, width=width, give_up=give_up)

    monkeypatch.setattr(embedded, "beam", counted)
    next(ear([{"▁the": 0.9}, {"end": 0.9}], phrases=["new washer"]).hear([clip()]))
    assert widths == [4]
    next(ear([{"▁the": 0.5, "▁wash": 0.5}, {"end": 0.9}], phrases=["new washer"]).hear([clip()]))
    assert widths == [4, 4, embedded.WIDE]


def test_what_cannot_be_read_is_an_empty_text(ear):
    (heard,) = ear([]).hear([clip()])
    assert (heard.text, heard.confidence, heard.others) == ("", 0.0, ())
    (heard,) = ear([{"▁the": 0.9}] * 200).hear([clip(4.0)])
    assert heard.text == "", "never-ending is not a text"


def test_a_clip_that_cannot_be_read_whole_is_read_in_halves(ear, monkeypatch):
    short = Reading("fifty", 0.3)
    known = {3.0: Hearing("fifteen", 0.8, "embedded", others=(short,)), 6.0: Hearing("", 0.0, "embedded"), 5.0: Hearing("", 0.0, "embedded")}
    known |= {2.0: Hearing("", 0.0, "embedded")}
    said = ear(SAID)
    monkeypatch.setattr(said, "_read_whole", lambda net, samples: known[round(len(samples) / SAMPLE_RATE)])
    monkeypatch.setattr(embedded, "halves", lambda samples: (samples[: 3 * SAMPLE_RATE], samples[3 * SAMPLE_RATE :]))
    both, one = said.hear([clip(6.0), clip(5.0)])
    assert both.text == "fifteen fifteen"
    assert both.confidence == 0.8
    assert [o.text for o in both.others] == ["fifty fifteen", "fifteen fifty"]
    assert (one.text, one.confidence) == ("fifteen …", 0.4)


def test_clips_are_taken_one_at_a_time(ear):
    taken = []

    def clips():
        for n in range(3):
            taken.append(n)
            yield clip()

    hearings = ear(SAID).hear(clips())
    next(hearings)
    assert taken == [0]
    assert len(list(hearings)) == 2


def test_an_empty_clip_is_an_empty_text(ear):
    (heard,) = ear([]).hear([clip(0.0)])
    assert heard.text == ""


def test_several_readers_give_the_same_in_the_same_order(ear):
    clips = [clip(), clip(0.0), clip(3.0)]
    assert list(ear(SAID, readers=2).hear(clips)) == list(ear(SAID).hear(clips))


def test_it_is_a_recogniser(ear):
    assert isinstance(ear(SAID), Recogniser)
