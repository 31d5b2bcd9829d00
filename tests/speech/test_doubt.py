import pytest

from gudgeon.speech import doubt
from gudgeon.speech.doubt import Twins, hundreds, rivals, settled, twins
from gudgeon.speech.forced import log_odds
from gudgeon.speech.nets import Memory
from gudgeon.speech.runner_ups import runner_ups

PARTNERS = [
    ("torqued to 13 Nm", ["torqued to 30 Nm"]),
    ("torqued to 90 Nm.", ["torqued to 19 Nm."]),
    ("50.", ["15."]),
    ("13 then 40", ["30 then 40", "13 then 14"]),
    ("at 115 foot pounds", ["at 150 foot pounds"]),
    ("at 130 foot pounds", ["at 113 foot pounds"]),
    ("Fifteen newton metres", ["Fifty newton metres"]),
    ("one hundred and sixteen", ["one hundred and sixty"]),
    ("thirty-five", []),
    ("thirty five", []),
    ("thirty bolts", ["thirteen bolts"]),
    ("12 and 20 and 10 and 45", []),
    ("M16 bolt", ["M60 bolt"]),
    ("M10x1.5x40 and T30", ["M10x1.5x14 and T30", "M10x1.5x40 and T13"]),
    ("RPM30 bolts", []),
    ("0.15 mm and 1.30 and 2,50", []),
    ("15/16 socket", []),
    ("1300 and 2015", []),
    ("nothing", []),
]


@pytest.mark.parametrize(("text", "expected"), PARTNERS)
def test_the_text_with_each_partner(text, expected):
    assert [t.other[0] for t in twins(text)] == expected


SPELLINGS = [
    ("at 13", ("at 13", "at thirteen"), ("at 30", "at thirty")),
    ("Fifty of them", ("Fifty of them", "50 of them"), ("Fifteen of them", "15 of them")),
    ("at 119", ("at 119",), ("at 190",)),
    ("one hundred and sixty", ("one hundred and sixty",), ("one hundred and sixteen",)),
]


@pytest.mark.parametrize(("text", "same", "other"), SPELLINGS)
def test_figures_in_digits_and_in_words(text, same, other):
    (found,) = twins(text)
    assert (found.same, found.other) == (same, other)


@pytest.fixture
def net(toy):
    return lambda odds_of_first, odds_of_second: toy.net([{"▁to": 0.9}, {"▁": 0.9}, odds_of_first, odds_of_second, {"end": 0.9}])


def test_close_partners_are_kept_with_their_odds(toy, net):
    close = net({"1": 0.6, "3": 0.4}, {"3": 0.5, "0": 0.5})
    odds = {other.text: other.odds for other in rivals(close, Memory(()), "to 13", toy.tokens)}
    assert odds["to 30"] == pytest.approx(0.4, abs=0.01)
    assert odds["to 10"] == pytest.approx(0.5, abs=0.01), "the second digit is in doubt too"


def test_far_partners_are_not_kept(toy, net):
    far = net({"1": 0.999, "3": 0.001}, {"3": 0.97, "0": 0.03})
    assert rivals(far, Memory(()), "to 13", toy.tokens) == ()
    assert rivals(far, Memory(()), "to the", toy.tokens) == ()


def test_a_partner_that_explains_the_sound_better_takes_the_place_of_the_text(toy, net):
    thirty = net({"1": 0.3, "3": 0.7}, {"3": 0.45, "0": 0.55})
    text, others = settled(thirty, Memory(()), "to 13", toy.tokens)
    assert text == "to 30"
    assert {other.text: other.odds for other in others}["to 13"] == pytest.approx(0.26, abs=0.01)


def test_the_end_counts_and_lengths_may_differ(toy, net):
    tokens = toy.tokens
    short, long = log_odds(net({"1": 0.5, "3": 0.5}, {"3": 0.5, "0": 0.5}), Memory(()), [tokens.split("to"), tokens.split("to 13")])
    assert long == pytest.approx(-1.386, abs=0.01)
    assert short < -15


def test_many_texts_are_scored_as_each_alone(toy, net):
    tokens, even = toy.tokens, net({"1": 0.5, "3": 0.5}, {"3": 0.5, "0": 0.5})
    texts = [tokens.split(text) for text in ("to", "to 13", "to 30", "to 10", "to 33") * 3]
    assert log_odds(even, Memory(()), texts) == pytest.approx([log_odds(even, Memory(()), [text])[0] for text in texts])


def test_a_digit_that_nearly_was_another_is_a_runner_up(toy):
    near = toy.net([{"▁to": 0.9}, {"▁": 0.9}, {"4": 0.8, "3": 0.2}, {"0": 0.9}, {"end": 0.9}])
    assert runner_ups(near, Memory(()), "to 40", toy.tokens) == ["to 30"]
    text, (other,) = settled(near, Memory(()), "to 40", toy.tokens)
    assert (text, other.text) == ("to 40", "to 30")
    assert other.odds == pytest.approx(0.2, abs=0.01)


def test_so_is_one_digit_more_or_less(toy):
    more = toy.net([{"▁to": 0.9}, {"▁": 0.9}, {"4": 0.9}, {"▁the": 0.7, "0": 0.3}, {"end": 0.9}])
    assert runner_ups(more, Memory(()), "to 4 the", toy.tokens) == ["to 40 the"]
    less = toy.net([{"▁to": 0.9}, {"▁": 0.9}, {"4": 0.9}, {"0": 0.7, "▁the": 0.3}, {"▁the": 0.9}, {"end": 0.9}])
    assert runner_ups(less, Memory(()), "to 40 the", toy.tokens) == ["to 4 the"]


def test_far_digits_and_texts_without_digits_have_no_runner_ups(toy):
    sure = toy.net([{"▁to": 0.9}, {"▁": 0.9}, {"4": 0.99}, {"0": 0.99}, {"end": 0.99}])
    assert runner_ups(sure, Memory(()), "to 40", toy.tokens) == []
    assert runner_ups(sure, Memory(()), "to the", toy.tokens) == []


HUNDREDS = [
    ("nuts at one hundred and eighteen Nm", ("nuts at 118 Nm",), ("nuts at one hundred and eighty Nm", "nuts at 180 Nm")),
    ("nuts at a hundred thirty", ("nuts at 130",), ("nuts at a hundred thirteen", "nuts at 113")),
    ("nuts at 240 Nm", ("nuts at two hundred and forty Nm",), ("nuts at 214 Nm", "nuts at two hundred and fourteen Nm")),
    ("two hundred and forty one", None, None),
    ("120 Nm on M118 and 1.118", None, None),
]


@pytest.mark.parametrize(("text", "same", "other"), HUNDREDS)
def test_a_hundred_is_spelled_both_ways(text, same, other):
    assert hundreds(text) == ([Twins((text, *same), other)] if same else [])


class AsSpelled:
    """Word pieces that are the text itself, with its log probability written down."""

    def split(self, text):
        return text


@pytest.mark.parametrize(
    ("scores", "odds"),
    [
        ({"118 Nm": -14.0, "one hundred and eighteen Nm": -10.4, "180 Nm": -14.7, "one hundred and eighty Nm": -16.7}, 0.0149),
        ({"118 Nm": -11.6, "one hundred and eighteen Nm": -11.9, "180 Nm": -10.0, "one hundred and eighty Nm": -12.1}, 0.5),
    ],
)
def test_the_spelling_marks_a_figure_and_never_takes_its_place(monkeypatch, scores, odds):
    monkeypatch.setattr(doubt, "log_odds", lambda net, heard, texts: [scores[text] for text in texts])
    monkeypatch.setattr(doubt, "runner_ups", lambda net, heard, text, tokens: [])

    text, (other,) = settled(None, None, "one hundred and eighteen Nm", AsSpelled())

    assert (text, other.text) == ("one hundred and eighteen Nm", "one hundred and eighty Nm")
    assert other.odds == pytest.approx(odds, rel=0.01)
