"""Which drills a passage gets, and what becomes of those that cannot be printed, or never end."""

from datetime import date
from pathlib import Path

import pytest

from engrave.cli import main
from engrave.errors import Mistakes
from engrave.pipeline import checking, drilling
from engrave.pipeline.checking import check
from tests.checks.manifest import read_output
from tests.pipeline.demo import edit, lay_out
from tests.pipeline.small_scores import write_scores
from tests.works import DEMO, Work, corpus

WORK = Work(
    "thirteen",
    corpus() / "cpebach" / "h186.mxl",
    """tempo: {beat: quarter, goal: 80}
passages:
  - {measures: 1-8, hand: both, drills: [hands-apart, outline]}
""",
)
"""Measure 5 has thirteen notes in two beats; the outline would break them up inside a beat."""


def test_the_other_families_are_made(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["build", str(WORK.write(tmp_path)), "--out", str(tmp_path / "out")]) == 0
    told = capsys.readouterr().err
    assert "warning: Outline: not written, because the notes of one beat would fall" in told
    families = {drill.family for drill in read_output(tmp_path / "out" / WORK.name).drills}
    assert families == {"as-written", "hands-apart"}


def test_a_whole_piece_as_one_passage_may_be_endless(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(drilling, "MOST_ONSETS", 500)
    marks = Work("all", DEMO.score, "passages:\n  - {measures: 1-40, drills: [staccato, chain]}\n")
    assert main(["check", "--no-cache", str(marks.write(tmp_path))]) == 2
    assert capsys.readouterr().err.splitlines()[-2:] == [
        f"{tmp_path}/all.yaml:4:16: error: the drills of measures 1–40 are endless: after 3 "
        "of them there are more than 500 onsets to engrave",
        "  hint: mark the measures that give trouble, or ask for fewer families",
    ]


def test_a_booklet_may_be_endless(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(checking, "MOST_ONSETS", 500)
    marks = Work("all", DEMO.score, "passages:\n  - measures: 46-48\n  - measures: 1-40\n")
    assert main(["check", "--no-cache", str(marks.write(tmp_path))]) == 2
    assert capsys.readouterr().err.splitlines()[-2:] == [
        f"{tmp_path}/all.yaml:5:15: error: with this passage the booklet has more than 500 onsets "
        "to engrave",
        "  hint: spread the passages over several marks files",
    ]


PLAIN = """score: ferry.musicxml
tempo: {goal: 60}
passages:
  - {id: hand, measures: 10, hand: right}
  - {id: hands, measures: 12-13, hand: both}
  - {id: note, measures: 13, hand: right}
  - {id: warm, measures: 12-13, hand: both, status: warm-up}
"""


def test_a_passage_that_suits_no_family_is_practised_all_the_same(tmp_path: Path) -> None:
    """Somebody marked it: link by link (common practice, no source).

    Hands apart where the chain would be the passage itself: its second measure is no more than a
    landing.
    """
    write_scores(tmp_path)
    marks = tmp_path / "plain.yaml"
    marks.write_text(PLAIN, "utf-8")
    families = {
        each.passage.id: list(dict.fromkeys(drill.family for drill in each.drills))
        for each in check(marks).passages
    }
    assert families == {
        "hand": ["as-written", "chain"],
        "hands": ["as-written", "hands-apart"],
        "note": ["as-written"],
        "warm": ["as-written"],
    }


def test_drills_stand_in_the_order_in_which_they_were_asked_for(tmp_path: Path) -> None:
    write_scores(tmp_path)
    marks = tmp_path / "order.yaml"
    for asked in (["chain", "rhythms"], ["rhythms", "chain"], ["chain", "as-written", "rhythms"]):
        passage = f"{{measures: 1, drills: [{', '.join(asked)}]}}"
        marks.write_text(f"score: ferry.musicxml\ntempo: {{goal: 60}}\npassages: [{passage}]\n")
        families = dict.fromkeys(drill.family for drill in check(marks).drills)
        assert list(families) == ["as-written", *(name for name in asked if name != "as-written")]


TICKED = """score: ferry.musicxml
tempo: {beat: quarter, goal: 96}
passages:
  - measures: 1
    hand: right
    tempo: {reached: {mark: 66, day: 2027-02-18}}
    drills: [rhythms: {variants: [long-short]}, chain: {reached: {mark: 52, day: 2027-02-19}}]
"""


def test_what_was_reached_ticks_what_was_played_and_no_drill_beside_it(tmp_path: Path) -> None:
    write_scores(tmp_path)
    marks = tmp_path / "ticked.yaml"
    marks.write_text(TICKED, "utf-8")
    ladders = {drill.family: drill.ladder for drill in check(marks).drills}
    assert {family: found.reached for family, found in ladders.items()} == {
        "as-written": 66,
        "rhythms": None,
        "chain": 52,
    }
    assert ladders["rhythms"].days == ()
    for family, day in (("as-written", date(2027, 2, 18)), ("chain", date(2027, 2, 19))):
        ladder, until = ladders[family], ladders[family].reached
        assert until is not None
        assert ladder.days == tuple(day if mark == until else None for mark in ladder.marks)


def test_what_a_copy_of_the_process_drills_is_the_same(tmp_path: Path) -> None:
    """And so is what is wrong, in the order of the file."""
    marks = lay_out(tmp_path)
    assert check(marks, alone=False) == check(marks)
    for place in ("46.1", "39.1"):
        edit(marks, f'"{place}":', '"99.1":')
    with pytest.raises(Mistakes) as alone:
        check(marks)
    with pytest.raises(Mistakes) as together:
        check(marks, alone=False)
    told = [str(each) for each in together.value.errors]
    assert told == [str(each) for each in alone.value.errors]
    assert len(told) >= 2
