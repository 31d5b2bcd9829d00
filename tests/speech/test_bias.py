import pytest

from gudgeon.speech.beam import beam
from gudgeon.speech.bias import Bias, spellings
from gudgeon.speech.greedy import greedy
from gudgeon.speech.nets import Memory
from gudgeon.speech.tokens import END

NOTHING = Memory(())
CRUSH = [{"▁nuke": 0.6, "▁new": 0.3}, {"▁rush": 0.55, "▁crush": 0.4}, {"▁washer": 0.9}, {"end": 0.95, ".": 0.04}]


@pytest.fixture
def biased(toy):
    return lambda *phrases, strength=1.5: Bias(phrases, toy.tokens, strength=strength)


@pytest.fixture
def places(toy):
    def walk(bias, *pieces):
        place = bias.start()
        for piece in pieces:
            place = bias.after(place, END if piece == "end" else toy.number(piece))
        return place

    return walk


def test_a_likely_phrase_wins_over_words_that_sound_alike(toy, biased):
    tokens, net = toy.tokens, toy.net(CRUSH)
    assert tokens.text(greedy(net, NOTHING, 20).tokens) == "nuke rush washer"
    found = beam(net, NOTHING, 20, biased("new crush washer"))
    assert tokens.text(found.tokens) == "new crush washer"
    assert found.odds == pytest.approx((0.3, 0.4, 0.9), rel=0.2), "confidence comes from the model alone, without the bonus"


def test_a_phrase_that_the_sound_does_not_hold_is_not_made_up(toy, biased):
    net = toy.net([{"▁the": 0.999, "▁new": 1e-5}, {"▁wash": 0.999, "▁crush": 1e-5}, {"end": 0.99}])
    found = beam(net, NOTHING, 20, biased("new crush washer", strength=2.0))
    assert toy.tokens.text(found.tokens) == "the wash"


def test_without_end_the_reading_is_cut(toy, biased):
    net = toy.net([{"▁the": 0.9}] * 50)
    found = beam(net, NOTHING, 6, biased("new"))
    assert found.cut
    assert len(found.tokens) == 6
    assert greedy(net, NOTHING, 6).cut


def test_the_bonus_grows_along_the_phrase_and_stays_at_its_end(biased, places):
    bias = biased("new crush washer")
    along = [places(bias, *["▁new", "▁crush", "▁washer"][:n]).bonus for n in range(4)]
    assert along == sorted(along)
    assert along[0] == 0
    assert along[3] == pytest.approx(1.5 * 3)
    assert places(bias, "▁new", "▁crush", "▁washer", "end").bonus == pytest.approx(4.5)
    assert places(bias, "▁new", "▁crush", "▁washer", "▁the").bonus == pytest.approx(4.5)
    assert places(bias, "▁new", "▁crush", "▁washer", "▁the", "▁new", "▁crush", "▁washer").bonus == pytest.approx(9.0)


def test_the_bonus_is_taken_back_when_the_phrase_breaks_off(biased, places):
    bias = biased("new crush washer")
    assert places(bias, "▁new", "▁crush").bonus > 0
    assert places(bias, "▁new", "▁crush", "▁the").bonus == 0


def test_a_phrase_must_end_with_the_word(biased, places):
    bias = biased("wash")
    assert places(bias, "▁wash").bonus > 0
    assert places(bias, "▁wash", "ing").bonus == 0
    assert places(bias, "▁wash", ".").bonus > 0


def test_a_shorter_phrase_on_the_way_of_a_longer_one_is_kept(biased, places):
    bias = biased("new", "new crush washer")
    short = places(biased("new"), "▁new", "end").bonus
    assert places(bias, "▁new", "▁crush", "▁the").bonus == pytest.approx(short)


def test_every_way_to_split_a_phrase_leads_to_the_same_bonus(biased, places):
    bias = biased("new washer")
    whole = places(bias, "▁new", "▁washer", "end").bonus
    assert places(bias, "▁", "n", "e", "w", "▁wash", "er", "end").bonus == pytest.approx(whole)
    assert places(bias, "▁new", "▁", "end").bonus == 0


def test_strength_scales_the_bonus(biased, places):
    weak, strong = (places(biased("new washer", strength=s), "▁new", "▁washer", "end").bonus for s in (0.5, 2.0))
    assert strong == pytest.approx(4 * weak)


def test_spellings():
    assert spellings("drain  plug") == {"drain plug", "Drain plug"}
    assert spellings("Allen key") == {"Allen key", "allen key"}
    assert spellings("M8 bolts") == {"M8 bolts"}


def test_a_unit_is_the_likelier_right_after_a_figure(toy):
    bias = Bias(["new washer"], toy.tokens, strength=1.6, units=["new washer"])

    def bonus(*pieces):
        place = bias.start()
        for piece in pieces:
            place = bias.after(place, END if piece == "end" else toy.number(piece))
        return place.bonus

    plain = bonus("▁the", "▁new", "▁washer", "end")
    assert bonus("▁", "1", "3", "▁new", "▁washer", "end") > plain + 5
    assert bonus("▁", "1", "3", "▁the", "▁new", "▁washer", "end") == pytest.approx(plain)
    assert bonus("▁", "1", "3", "▁new", "▁crush", "end") == 0, "taken back when it breaks off"


def test_a_figure_with_letters_in_its_midst_costs(biased, places):
    assert places(biased("washer"), "▁", "1", "e", "3").bonus < -5
    assert places(biased("washer"), "▁", "1", "3").bonus == 0
