import pytest

from gudgeon.cli import wiring
from gudgeon.domain import BadTable
from gudgeon.speech import read_instructions
from gudgeon.speech.figures import as_done, fallen_apart, is_broken, is_figure, parted, tidied

PARTED = [
    ("Stage 120 newton meters stage 240 Nm", "Stage 1, 20 newton meters stage 2, 40 Nm"),
    ("pass 246 Nm", "pass 2, 46 Nm"),
    ("stage 390 degrees", "stage 3, 90 degrees"),
    ("pass to 46 Newton meters", "pass 2, 46 Newton meters"),
    ("stage for 90 degrees", "stage 4, 90 degrees"),
    ("second pass to 46 Newton meters", "second pass to 46 Newton meters"),
    ("pass to 46 people", "pass to 46 people"),
    ("stop 14 0 15 Newton meters", "stop 14 no 15 Newton meters"),
    ("1 4 0 1 5 Newton meters", "1 4 0 1 5 Newton meters"),
    ("Stage 1, 20 newton meters h240 newton meters h390 degrees", "Stage 1, 20 newton meters stage 2, 40 newton meters stage 3, 90 degrees"),
    ("the plug at h240 newton meters", "the plug at h240 newton meters"),
    ("final stage 120 Nm", "final stage 120 Nm"),
    ("second pass 120 newton metres", "second pass 120 newton metres"),
    ("stage 2 at 120 Nm", "stage 2 at 120 Nm"),
    ("on stage 120 people", "on stage 120 people"),
    ("M8 by 1.2520 newton metres", "M8 by 1.25, 20 newton metres"),
    ("M10x1.546 Nm", "M10x1.5, 46 Nm"),
    ("0.25 mm and 1.30 bar", "0.25 mm and 1.30 bar"),
    ("not 4040 was the old figure", "not 40, 40 was the old figure"),
    ("Not 40/40 was the old figure", "Not 40, 40 was the old figure"),
    ("made in 1919 or 2020", "made in 1919 or 2020"),
    ("part 4040-2 and 14040", "part 4040-2 and 14040"),
    ("torqued to 120 Nm", "torqued to 120 Nm"),
]


@pytest.mark.parametrize(("text", "expected"), PARTED)
def test_figures_that_cannot_be_one_are_parted(text, expected):
    mended = parted(text)
    assert mended.text == expected
    assert bool(mended.instead_of) is (text != expected)


def test_each_parting_can_be_undone_alone():
    assert parted("stage 120 Nm, stage 240 Nm").instead_of == ("stage 1, 20 Nm, stage 240 Nm", "stage 120 Nm, stage 2, 40 Nm")


APART = [
    ("make it 30 to with thread lock", ["make it 32 with thread lock"]),
    ("thirty to newton metres", ["thirty two newton metres"]),
    ("at 40 for newton metres", ["at 44 newton metres"]),
    ("30 to 35 newton metres", []),
    ("going from one to two", []),
    ("0.30 to be sure", []),
    ("130 to go", []),
]


@pytest.mark.parametrize(("text", "expected"), APART)
def test_a_tens_figure_that_lost_its_one(text, expected):
    assert fallen_apart(text) == expected


TIDY = [
    ("all at thirteen. Newton metre's", "all at thirteen Newton metre's"),
    ("at 24. Foot pounds", "at 24 Foot pounds"),
    ("Stage 1:20 Newton meters Stage 3:90 degrees", "Stage 1, 20 Newton meters Stage 3, 90 degrees"),
    ("we began stage 1 at 1:20", "we began stage 1 at 1:20"),
    ("its 52 newton metres", "it's 52 newton metres"),
    ("Its head is 24. Then we left.", "Its head is 24. Then we left."),
    ("Then there was one. Foot on the brake.", "Then there was one. Foot on the brake."),
]


@pytest.mark.parametrize(("text", "expected"), TIDY)
def test_invented_marks_around_figures(text, expected):
    assert tidied(text) == expected


def test_words_that_end_a_figure():
    assert all(map(is_figure, ("60", "60,", "twenty-five", "hundred", "1.5", "Ninety")))
    assert not any(map(is_figure, ("Nm", "", "of", "M", "tension")))


def test_a_figure_with_letters_in_its_midst():
    assert all(map(is_broken, ("1d5", "1d", "2e")))
    assert is_broken("d5", behind_a_figure=True)
    assert not any(is_broken(word, behind_a_figure=True) for word in ("M10", "T45", "x1.25", "bolts"))
    assert not is_broken("d5")
    assert not any(map(is_broken, ("15", "M10", "10x1.5", "10mm", "22Nm", "3rd", "2nd", "1st", "90deg", "1940s", "")))


def test_what_may_have_been_a_stage_is_left_and_said():
    mended = parted("past 346 Newton meters")
    assert mended.text == "past 346 Newton meters"
    assert mended.instead_of == ("pass 3, 46 Newton meters",)
    assert parted("past 34 Newton meters").instead_of == ()


def test_a_word_that_a_tens_figure_is_heard_as_in_noise():
    mended = parted("I've done them pretty eight foot pounds")
    assert mended.text == "I've done them pretty eight foot pounds"
    assert mended.instead_of == ("I've done them thirty eight foot pounds",)
    assert parted("guessing pretty to 35 Newton meters").instead_of == ("guessing thirty to 35 Newton meters",)
    assert parted("that is pretty good at 35 Nm").instead_of == ()


def test_no_thread_stands_before_a_torque_unit():
    mended = parted("castle M18 Newton metres backed off")
    assert mended.text == "castle 18 Newton metres backed off"
    assert mended.instead_of == ("castle M18 Newton metres backed off",)
    assert parted("M18 nut at 20 Nm").instead_of == ()


DONE = [
    ("half inch nuts torque to 75.", "half inch nuts torqued to 75."),
    ("the plug torque to ninety", "the plug torqued to ninety"),
    ("you should torque to 75", "you should torque to 75"),
    ("the book says torque to 75", "the book says torque to 75"),
    ("Torque to 75", "Torque to 75"),
    ("nuts torque to the book", "nuts torque to the book"),
]


@pytest.mark.parametrize(("text", "expected"), DONE)
def test_what_was_done_sounds_like_an_instruction(text, expected):
    assert as_done(text, read_instructions(wiring.tables("speech")["instructions"])) == expected


def test_without_the_words_of_an_instruction_nothing_is_changed():
    assert as_done("nuts torque to 75", ()) == "nuts torque to 75"


def test_a_list_without_its_column_is_refused():
    with pytest.raises(BadTable, match="word"):
        read_instructions(["said", "should"])
