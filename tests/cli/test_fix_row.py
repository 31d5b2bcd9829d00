"""``gudgeon fix --row``: the owner overrules which line of the sheet an entry belongs to, and that is learnt."""

from gudgeon.cli import wiring


def learnt() -> dict[str, str]:
    with wiring.open_record(None) as record:
        return record.learnt_joints(None)


def load(gudgeon, home):
    sheet, talk = home / "sheet.csv", home / "talk.txt"
    sheet.write_text("part,fastener,torque,unit\nlid,,18,Nm\ncover,,25,Nm\n", encoding="utf-8")
    talk.write_text("lid 25\n", encoding="utf-8")
    assert gudgeon("spec", "load", sheet).status == 0
    assert gudgeon("take", talk).status == 0


def test_a_line_is_learnt_for_the_joint(gudgeon, home):
    load(gudgeon, home)
    assert gudgeon("fix", 1, "--row", 3).status == 0
    assert list(learnt().values()) == ["cover |  |  | "]


def test_line_0_is_none_of_them(gudgeon, home):
    load(gudgeon, home)
    assert gudgeon("fix", 1, "--row", 0).status == 0
    assert list(learnt().values()) == [""]


def test_a_line_that_is_not_there_changes_nothing(gudgeon, home):
    load(gudgeon, home)
    ran = gudgeon("fix", 1, "--row", 9)
    assert (ran.status, learnt()) == (2, {})
    assert "no torque row on line 9" in ran.err
