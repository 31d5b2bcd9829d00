"""The screen of a live session: the last note first, large, unsure marked in words, nothing written twice; keys become lines."""

import io
import re
import time

import pytest

from gudgeon.cli.live_keys import LineEditor
from gudgeon.cli.live_panel import Panel, View, large_figure, picture
from gudgeon.cli.live_screen import Notices
from gudgeon.domain import Entry, Finding, Judgement, Note, TorqueDone, Verdict
from gudgeon.record import StoredEntry, StoredNote
from gudgeon.session import Answer, Phrase

REASONS = {"within": "24 N·m is what the sheet asks for.", "over": "24 N·m is over the sheet's 18 N·m.", "unit not said": "24 had no unit."}


def phrase(code="within", *, text="gearbox lid bolts at twenty four newton metres", findings=(), **more):
    verdict = Verdict(code=code, of="24 N·m", reason=REASONS[code], torque=0)
    body = Entry(part="gearbox lid", fastener="bolt", torques=(TorqueDone(value=24.0, unit="N*m", nm=24.0, note=0),), notes=(0,))
    judgement = Judgement(verdicts=(verdict,), findings=findings)
    entry = StoredEntry(id=1, session=1, position=0, entry=body, reading=body, judgement=judgement)
    note = StoredNote(id=1, session=1, position=0, note=Note(text, 62.0, 65.0))
    return Phrase(start=62.0, end=65.0, text=text, note=note, entries=(entry,), **more)


def shown(*phrases, width=80, height=24, **view):
    seen = View()
    for each in phrases:
        seen.take(each)
    for name, text in view.items():
        setattr(seen, name, text)
    return [text for text, _ in picture(seen, "1:05 · [####......] good", width=width, height=height)]


@pytest.mark.parametrize("width", [40, 80, 200])
@pytest.mark.parametrize("height", [8, 24, 50])
def test_it_fills_the_screen_and_never_more(width, height):
    rows = shown(*[phrase()] * 20, width=width, height=height)
    assert len(rows) == height and all(len(row) <= width for row in rows)


@pytest.mark.parametrize(("code", "words"), [("within", "✓ WITHIN"), ("over", "▲ OVER"), ("unit not said", "? UNIT NOT SAID")])
def test_the_last_note_stands_first_its_figure_large_and_its_verdict_in_words(code, words):
    rows = shown(phrase(text="the one before"), phrase(code))
    assert rows[2] == "gearbox lid bolts at twenty four newton metres"
    assert any(words in row for row in rows[:12]) and any("N·m" in row for row in rows[:8])
    assert sum("██" in row for row in rows) == 5
    assert "manual decides" in "\n".join(rows)
    assert any("the one before" in row for row in rows[12:])


def test_on_a_narrow_screen_the_figure_stands_in_the_line():
    rows = shown(phrase(), width=24)
    assert not any("██" in row for row in rows) and any("24 N·m  WITHIN" in row for row in rows)


def test_what_is_unsure_asked_or_answered_is_said_in_words():
    unsure = Finding(code="heard-unsurely", reason="24 N·m may have been 20 N·m: play the sound.")
    text = "\n".join(shown(phrase(findings=(unsure,), question="Two four, or two zero?")))
    assert "! 24 N·m may have been 20 N·m" in text and "? Two four, or two zero?" in text
    answered = Phrase(start=1.0, end=2.0, text="hello workshop, pause", note=None, answer=Answer("Paused."))
    assert "Paused." in "\n".join(shown(answered))


def test_the_bottom_holds_notice_words_so_far_and_what_is_typed():
    rows = shown(phrase(), notice="The microphone is back.", partial="the drain", typed="drain pl")
    assert rows[-3:] == ["! The microphone is back.", "… the drain", "> drain pl"]


def test_every_figure_has_a_large_form_of_its_own():
    forms = {sign: tuple(large_figure(sign)) for sign in "0123456789."}
    assert len(set(forms.values())) == 11 and all(len(rows) == 5 for rows in forms.values())
    assert all(len({len(row) for row in rows}) == 1 for rows in forms.values())
    assert large_figure("1/2") == [] and large_figure("") == []


def test_rows_that_stay_the_same_are_not_written_again(monkeypatch):
    monkeypatch.setenv("COLUMNS", "80")
    monkeypatch.setenv("LINES", "24")
    out, level = io.StringIO(), ["good"]
    panel = Panel(lambda: level[0], out)
    panel.open()
    panel.phrase(phrase())
    out.truncate(0)
    time.sleep(1.2)
    assert out.getvalue().strip("\0") == ""
    level[0] = "faint"
    panel.paint()
    assert len(re.findall(r"\x1b\[\d+;1H", out.getvalue())) == 1
    assert "\x1b[2J" not in out.getvalue()
    panel.close()
    assert out.getvalue().endswith("\x1b[?25h\x1b[?1049l")


def test_notices_go_to_the_screen_while_it_is_open_and_are_said_again_after(capsys):
    notices, seen = Notices(), []
    notices.tell("before")
    with notices.on(seen.append):
        notices.tell("meanwhile")
        assert capsys.readouterr().err == "before\n"
    assert (seen, capsys.readouterr().err) == (["meanwhile"], "meanwhile\n")


@pytest.mark.parametrize(
    ("keys", "lines", "left"),
    [
        ([b"lid\n"], ["lid"], ""),
        ([b"li", b"d at 1", b"\x7f2\r"], ["lid at 2"], ""),
        ([b"\x1b[A", b"\x1b[D", b"x"], [], "x"),
        ([b"nothing\x15lid\nmore"], ["lid"], "more"),
        ([b"18 N\xc2", b"\xb7m\n"], ["18 N·m"], ""),
        ([b"\xff\x00\x07a\n"], ["\ufffda"], ""),
        ([b"x" * 5000 + b"\n"], ["x" * 2000], ""),
    ],
)
def test_keys_become_lines(keys, lines, left):
    editor = LineEditor()
    assert [line for data in keys for line in editor.keys(data)] == lines
    assert editor.line == left
