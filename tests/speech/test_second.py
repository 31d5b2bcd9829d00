import numpy as np
import pytest

from gudgeon.domain import Clip, Hearing, Reading
from gudgeon.speech import Recogniser, Scripted, WithSecond

SURE = Hearing("lid at 18", 0.9, "first")
DOUBTED = Hearing("lid at 13", 0.9, "first", others=(Reading("lid at 30", 0.4),))
UNREAD = Hearing("", 0.0, "first")
FAINT = Hearing("lid at 9", 0.4, "first")


def clips(count):
    return [Clip(np.zeros(160, np.float32), float(n), n + 0.5) for n in range(count)]


def hear(first, second):
    return next(WithSecond(Scripted([first]), Scripted([second])).hear(clips(1)))


CASES = [
    ("a sure reading is left alone", SURE, "lid at 80", "lid at 18", []),
    ("a doubted one is read again", DOUBTED, Hearing("lid at 33", 0.7, "second"), "lid at 13", [("lid at 30", 0.4), ("lid at 33", 0.7)]),
    ("so is one with little confidence", FAINT, Hearing("lid at nine", 0.7, "second"), "lid at 9", [("lid at nine", 0.7)]),
    ("the same words add nothing", DOUBTED, "Lid at 13.", "lid at 13", [("lid at 30", 0.4)]),
    ("a reading that is known gets the second's odds", DOUBTED, Hearing("Lid, at 30!", 0.8, "second"), "lid at 13", [("Lid, at 30!", 0.8)]),
    ("what the second cannot read adds nothing", UNREAD, "", "", []),
    ("what only the second could read does not become the text", UNREAD, Hearing("lid at 9", 0.7, "second"), "", [("lid at 9", 0.7)]),
]


@pytest.mark.parametrize(("what", "first", "second", "text", "others"), CASES)
def test_both_readings_are_kept(what, first, second, text, others):
    heard = hear(first, second)
    assert (heard.text, [(o.text, o.odds) for o in heard.others]) == (text, others), what


def test_the_second_hears_the_clips_that_are_doubted():
    seen = []

    class Second:
        name = "second"

        def hear(self, clips):
            for clip in clips:
                seen.append(clip.start)
                yield Hearing("x", 0.5, "second")

    list(WithSecond(Scripted([SURE, UNREAD, SURE, FAINT]), Second()).hear(clips(4)))
    assert seen == [1.0, 3.0]


def test_it_is_a_recogniser_with_both_names():
    both = WithSecond(Scripted([]), Scripted([]))
    assert isinstance(both, Recogniser)
    assert both.name == "scripted, then scripted"
