"""The build record as files: one form or several, with pictures and sound, and nothing overwritten."""

import base64
import json

import numpy as np
import pytest

from gudgeon.audio import Keeper, decode
from gudgeon.cli import wiring
from gudgeon.record import Sound

PNG = bytes.fromhex(
    "89504e470d0a1a0a0000000d4948445200000001000000010802000000907753de0000000c4944415408d763f8cfc000000301010018dd8db00000000049454e44ae426082"
)


class TestExportForms:
    @pytest.fixture(autouse=True)
    def _job(self, gudgeon):
        gudgeon("job", "new", "tractor")
        gudgeon("note", "lid at 18")

    def test_printed(self, gudgeon):
        assert "### lid" in gudgeon("export", "--to", "md").out
        assert gudgeon("export", "--to", "csv").out.splitlines()[1].startswith("1,")
        assert "<h1>Build record</h1>" in gudgeon("export", "--to", "html").out

    def test_several_forms_each_get_their_ending(self, gudgeon, home):
        assert gudgeon("export", "--to", "md,html,pdf,csv,json", "--out", home / "t.1").status == 0
        assert (home / "t.1.md").read_text().startswith("# Build record: tractor\n")
        assert (home / "t.1.pdf").read_bytes().startswith(b"%PDF-")
        assert (home / "t.1.csv").read_bytes().startswith("\ufeffsession,".encode()), "with its mark, a spreadsheet reads N·m right"
        assert json.loads((home / "t.1.json").read_text().splitlines()[0])["gudgeon"] == "gudgeon record"
        assert (home / "t.1.html").stat().st_mode & 0o077 == 0

    def test_nothing_is_written_when_one_is_there(self, gudgeon, home):
        (home / "t.csv").write_text("mine")
        assert gudgeon("export", "--to", "md,csv", "--out", home / "t").status == 2
        assert (home / "t.csv").read_text() == "mine" and not (home / "t.md").exists()

    @pytest.mark.parametrize(
        "asked",
        [("--to", "odt"), ("--to", ""), ("--to", "md,csv"), ("--to", "md", "--sound"), ("--to", "json", "--reverse"), ("--reverse",)],
    )
    def test_what_does_not_go_together(self, gudgeon, asked):
        ran = gudgeon("export", *asked)
        assert ran.status == 2 and ran.out == "" and ran.err.count("\n") == 2, "what happened, and what to do"

    def test_a_folder_that_is_not_there(self, gudgeon, home):
        ran = gudgeon("export", "--to", "md", "--out", home / "no" / "t.md")
        assert ran.status == 1 and "could not be written" in ran.err

    def test_the_order_of_putting_together(self, gudgeon):
        assert "# Putting together: tractor" in gudgeon("export", "--to", "md", "--reverse").out

    def test_the_order_of_putting_together_in_every_form(self, gudgeon, home):
        """The record itself has none; it says where there is one."""
        assert gudgeon("export", "--reverse", "--to", "md,html,pdf,csv,build.json", "--out", home / "back").status == 0
        assert (home / "back.csv").read_text().startswith("\ufeffstep,what,words,the sheet asks for,")
        assert json.loads((home / "back.build.json").read_text())["document"] == "putting together"
        assert "Putting together" in (home / "back.html").read_text() and (home / "back.pdf").read_bytes().startswith(b"%PDF-")
        assert "build.json" in gudgeon("export", "--reverse").err

    def test_pictures_lie_beside_markdown_and_inside_the_page(self, gudgeon, home):
        with wiring.open_record(None) as record:
            record.add_picture(1, PNG, "lid.png")
        assert gudgeon("export", "--to", "md,html", "--out", home / "t").status == 0
        assert "![lid.png](<t_pictures/note-1-1.png>)" in (home / "t.md").read_text()
        assert (home / "t_pictures" / "note-1-1.png").read_bytes().startswith(b"\x89PNG")
        assert "data:image/png;base64," in (home / "t.html").read_text()

    def test_sound_goes_into_the_page(self, gudgeon, home):
        (home / "n.srt").write_text("1\n00:00:01,000 --> 00:00:02,000\nlid at 18\n")
        gudgeon("take", home / "n.srt")
        with Keeper(home / "record" / "sound" / "2") as keeper:
            keeper.add(np.sin(np.arange(48_000, dtype=np.float32) / 20))
        with wiring.open_record(None) as record:
            record.add_sound(2, Sound(file="sound/2", start=0.0, seconds=3.0))
        assert gudgeon("export", "--to", "html", "--sound", "--out", home / "t.html").status == 0
        page = (home / "t.html").read_text()
        assert page.count("data:audio/mpeg;base64,") == 1
        clip = base64.b64decode(page.split("data:audio/mpeg;base64,")[1].split('"')[0])
        (home / "clip.mp3").write_bytes(clip)
        heard = np.concatenate(list(decode(home / "clip.mp3")))
        assert len(heard) / 16_000 == pytest.approx(1.3, abs=0.15) and np.abs(heard).max() > 0.5
        gudgeon("forget", "2", "--yes")
        assert "data:audio" not in gudgeon("export", "--to", "html", "--sound").out


class TestMarkdownOfReports:
    def test_summary_and_brief(self, gudgeon):
        gudgeon("job", "new", "tractor")
        gudgeon("note", "lid at 18")
        assert "- lid — \\[entry 1\\]\n  - 18 N·m — no reference\n" in gudgeon("summary", "--to", "md").out
        assert gudgeon("brief", "--to", "md").out.startswith("# tractor\n")

    @pytest.mark.parametrize("command", ["summary", "brief"])
    def test_another_form(self, gudgeon, command):
        gudgeon("job", "new", "tractor")
        gudgeon("note", "lid at 18")
        ran = gudgeon(command, "--to", "html")
        assert ran.status == 2 and "--to md" in ran.err
