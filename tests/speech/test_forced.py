import pytest

from gudgeon.speech.forced import AT_ONCE, log_odds
from gudgeon.speech.nets import Memory


class Watched:
    """The made-up model; remembers how much it was given at once."""

    def __init__(self, net):
        self.net, self.fed = net, []

    def step(self, tokens, memory):
        self.fed.append(tokens.shape)
        return self.net.step(tokens, memory)


def test_many_texts_and_long_ones_are_never_scored_all_at_once(toy):
    net = Watched(toy.net([{"▁to": 0.7, "▁the": 0.2}, {"▁crush": 0.1, "▁new": 0.5}] * 60))
    words = [toy.number("▁to"), toy.number("▁new"), toy.number("▁the")]
    texts = [[words[(n + at) % 3] for at in range(length)] for n, length in enumerate((3, 40, 41, 2, 2, 30, 110, 1, 5, 94, 95, 3))]

    together = log_odds(net, Memory(()), texts)

    assert together == pytest.approx([log_odds(net.net, Memory(()), [text])[0] for text in texts])
    assert len(net.fed) < len(texts)
    assert all(rows * steps <= AT_ONCE or rows == 1 for rows, steps in net.fed)


def test_no_text_no_odds(toy):
    assert log_odds(toy.net([]), Memory(()), []) == []
