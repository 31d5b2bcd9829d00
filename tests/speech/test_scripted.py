import numpy as np

from gudgeon.domain import Clip, Hearing
from gudgeon.speech import Recogniser, Scripted


def clip(start):
    return Clip(np.zeros(160, np.float32), start, start + 0.01)


def test_texts_in_order_then_nothing():
    heard = list(Scripted(["one", Hearing("two", 0.5, "else")]).hear([clip(0), clip(1), clip(2)]))
    assert [h.text for h in heard] == ["one", "two", ""]
    assert [h.recogniser for h in heard] == ["scripted", "else", "scripted"]
    assert heard[2].confidence == 0.0


def test_a_clip_is_taken_only_when_asked_for():
    taken = []

    def clips():
        for n in range(3):
            taken.append(n)
            yield clip(n)

    hearing = Scripted(["a", "b", "c"]).hear(clips())
    assert taken == []
    next(hearing)
    assert taken == [0]


def test_it_is_a_recogniser():
    assert isinstance(Scripted([]), Recogniser)
