"""The summary: what needs a look comes first, every value has its verdict in words, and it fits the width."""

import itertools
import re
from dataclasses import replace

import pytest

from gudgeon.domain import Finding
from gudgeon.reports import Line, as_text, summary


def text_of(view, **options):
    return as_text(summary(view, **options))


def test_what_needs_a_look_comes_first(view):
    text = text_of(view)
    order = ["Look at these first", "wheel hub, left", "part not named", "Done", "gearbox lid", "main shaft", "Faults", "Questions", "Take care"]
    assert [text.index(words) for words in order] == sorted(text.index(words) for words in order)


@pytest.mark.parametrize(
    "words",
    [
        "stage 1: 90 lb·ft (122 N·m) + 90°  OVER",
        "stage 2: 40 (no unit said), a guess  UNIT NOT SAID",
        "it may have been 14",
        "18 N·m                        within",
        "45° further",
        "end float 0.12 mm",
        "gearbox lid · 8 bolts M8x1.25, grade 8.8 · 12 mm socket · thread locker, medium strength · all done  [entry 1, 0:00]",
        "! 90 would be right in N·m: was the unit mixed up?",
        "not clear: two parts were named before it",
        "copper washer (4)",
        "bleed the brakes — answered: bled on Sunday",
        "Speech at 2:40 could not be read; its sound is kept.",
        "5 notes from orchard_session.flac, heard by embedded, spoken by Ada",
    ],
)
def test_it_says(view, words):
    assert words in text_of(view, width=120)


def test_a_value_within_needs_no_reason(view):
    assert "17.28" not in text_of(view)
    assert "17.28" in text_of(view, why=True)


def test_why_shows_the_words_and_the_sum(view):
    text = text_of(view, why=True, width=120)
    for words in ("said: “that's all eight”", "why: “all eight” closes it", "Sum: 18 ± 4 %.", "joint: line 2 of the spec sheet"):
        assert words in text


def test_struck_entries_are_left_out(view):
    assert "never shown" not in text_of(view)


def test_a_caution_is_said_once(view):
    assert text_of(view).count("The maker's manual decides") == 1


@pytest.mark.parametrize("width", [60, 80, 120])
@pytest.mark.parametrize("why", [False, True])
def test_it_fits(view, width, why):
    assert max(len(line.text) for line in summary(view, width=width, why=why)) <= width


@pytest.mark.parametrize(("asked", "most"), [(20, 60), (300, 120)])
def test_widths_out_of_reason(view, asked, most):
    assert max(len(line.text) for line in summary(view, width=asked)) <= most


def test_long_words_are_cut_not_pushed_out(view):
    wide = replace(view, session=replace(view.session, source="a" * 200))
    assert max(len(line.text) for line in summary(wide, width=60)) <= 60


def test_nothing_heard(empty_view):
    text = text_of(empty_view)
    assert "No speech was found in it." in text
    assert "broken off at 1:02; take the same file again" in text


def test_talk_without_entries(view):
    assert "Nothing was said that makes an entry" in text_of(replace(view, entries=()))


def test_colour_is_never_the_only_signal(view):
    """Every line with a tone of alarm says so in words too."""
    alarmed = [line.text for line in summary(view) if line.tone in ("bad", "unsure")]
    told = ("OVER", "UNIT NOT SAID", "may have been", "!", "not clear", "could not be read")
    assert alarmed and all(any(words in text for words in told) for text in alarmed)


def test_as_text_has_no_trailing_spaces():
    assert as_text([Line("a  "), Line("")]) == "a\n"


def test_without_a_sheet_it_is_said_once(view):
    from gudgeon.domain import Judgement, Verdict

    told = Judgement(verdicts=(Verdict(code="no reference", of="18 N·m", reason="Nothing to hold it against.", torque=0),))
    bare = replace(view, entries=[replace(entry, judgement=told) for entry in view.entries])
    assert "no spec sheet is loaded for it" in text_of(bare)
    assert "Nothing to hold it against." not in text_of(bare)
    with_sheet = replace(bare, sheet="tractor.csv")
    assert "held against tractor.csv" in text_of(with_sheet)
    assert "Nothing to hold it against." in text_of(with_sheet)


def test_out_of_bounds_before_unsure_before_guessed(view):
    from gudgeon.domain import Judgement, TorqueDone, Verdict

    def entry(part, code, hedged=False):
        torque = TorqueDone(value=9.0, unit="N*m", nm=9.0, hedged=hedged)
        told = Judgement(verdicts=(Verdict(code=code, of="it", reason="r", torque=0),))
        first = view.entries[0]
        return replace(first, entry=replace(first.entry, part=part, place=None, torques=(torque,)), judgement=told)

    text = text_of(replace(view, entries=[entry("guessed part", "within", True), entry("bare part", "unit not said"), entry("tight part", "over")]))
    assert text.index("tight part") < text.index("bare part") < text.index("guessed part")


def test_as_markdown_it_says_the_same(view):
    """Read by a Markdown reader from outside: every word of the text is there, in order, under the same headings."""
    from markdown_it import MarkdownIt

    from gudgeon.reports import ENDLESS, lines_as_markdown

    lines = summary(view, width=ENDLESS, why=True)
    tokens = MarkdownIt("commonmark").parse(lines_as_markdown(lines))
    inline = [(before.type, token.content) for before, token in itertools.pairwise(tokens) if token.type == "inline"]
    read = [re.sub(r"\\(.)", r"\1", content) for _, content in inline]
    assert [" ".join(text.replace(" — ", " ").split()) for text in read] == [
        " ".join(line.text.replace(" — ", " ").split()) for line in lines if line.text
    ]
    headed = [content for kind, content in inline if kind == "heading_open"]
    assert len(headed) == sum(line.tone == "heading" for line in lines)
    assert not [token for token in tokens if token.type in ("code_block", "html_block", "fence")]


def test_several_entries_of_one_part_stand_under_its_name(view):
    twins = replace(view, entries=(view.entries[0], replace(view.entries[0], id=9)))
    lines = text_of(twins).splitlines()
    assert lines.count("  gearbox lid") == 1
    assert sum(line.startswith("    8 bolts M8x1.25") for line in lines) == 2


def test_an_item_whose_words_do_not_say_the_part_is_given_it(view):
    raised = replace(view.items[4], item=replace(view.items[4].item, part="flywheel"))
    assert "  11  flywheel: I think it's forty" in text_of(replace(view, items=(raised,)))
    said = replace(view.items[2], item=replace(view.items[2].item, part="Wheel hub"))
    assert "   9  left wheel hub stud stripped" in text_of(replace(view, items=(said,)))


def test_a_doubt_stands_once(view):
    """The finding has the odds and what to do; the line under the value is for when there is none."""
    hub = view.entries[1]
    for findings, times in (((), 1), ((Finding(code="heard-unsurely", reason="40 may have been 14 (40%): play the sound."),), 1)):
        changed = replace(hub, judgement=replace(hub.judgement, findings=findings))
        assert text_of(replace(view, entries=(changed,))).count("may have been 14") == times
