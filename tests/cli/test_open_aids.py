"""Sums offered beside open questions: shown with their cautions, kept apart from the answer, silent where no sum can help."""


def take(gudgeon, home, *lines):
    talk = home / "talk.txt"
    talk.write_text("\n".join(lines) + "\n", encoding="utf-8")
    assert gudgeon("take", talk).status == 0


def test_a_question_of_sums_gets_one_and_stays_open(gudgeon, home):
    take(gudgeon, home, "lid 100", "what do I set with a fifty millimetre crowfoot on the five hundred millimetre wrench?")
    (item,) = gudgeon("open", "--json").lines
    assert item["state"] == "open"
    assert "Set 90.91 N·m to get 100 N·m" in item["aid"]["text"]
    shown = gudgeon("open").out
    assert "What may help" in shown
    assert "! " in shown and "manual" in shown
    assert max(len(line) for line in shown.splitlines()) <= 80


def test_other_questions_have_none(gudgeon, home):
    take(gudgeon, home, "lid 18", "does the lid want grease?")
    (item,) = gudgeon("open", "--json").lines
    assert item["aid"] is None
    assert "What may help" not in gudgeon("open").out


def test_the_value_that_was_worked_on_is_taken_and_not_a_later_one(gudgeon, home):
    take(gudgeon, home, "lid 100", "what do I set with a fifty millimetre crowfoot on the five hundred millimetre wrench?", "cover 20")
    (item,) = gudgeon("open", "--json").lines
    assert "to get 100 N·m" in item["aid"]["text"]


def test_an_answered_question_has_none(gudgeon, home):
    take(gudgeon, home, "lid 18", "what is thirty five foot pounds in newton metres?")
    assert "47.4536" in gudgeon("open").out
    gudgeon("answer", "1", "forty seven and a half")
    assert gudgeon("open", "--all", "--json").lines[0]["aid"] is None
