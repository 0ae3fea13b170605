"""What a booklet says of its ladders stands where it holds, and once."""

from dataclasses import replace
from pathlib import Path

from engrave.booklet import page_style
from engrave.booklet.setting import Setting
from engrave.pipeline.checking import check
from engrave.pipeline.contents import book
from tests.booklet.samples import drawing
from tests.works import ACCOMPANYING

SENTENCE = "so that the numbers stay between 40 and 208"

TRIPLETS = """tempo: {beat: quarter, goal: 96}
passages:
  - {measures: 35-36, hand: right, drills: [rhythms]}
  - {measures: 35-36, hand: left, drills: [rhythms]}
"""


def test_why_ladders_of_a_family_count_otherwise_is_said_at_its_head(tmp_path: Path) -> None:
    """Half of three quarters of 96 is on no metronome: all patterns in fours count eighths."""
    (song,) = [work for work in ACCOMPANYING if "Lindenbaum" in work.name]
    checked = check(replace(song, marks=TRIPLETS).write(tmp_path))
    music = {
        drill.id: (drawing(100),)
        for passage in checked.passages
        for drill in (passage.written, *passage.numbered)
    }
    made = book(checked.marks, checked.score, checked.passages, music)
    first, second = [family for pages in made.passages for family in pages.families]
    counted = [page for page in first.drills if page.drill.ladder.moved]
    assert len(counted) > 1
    assert [first.own(page).moved for page in counted] == [()] * len(counted)
    assert {page.drill.ladder.moved for page in second.drills} == {None}
    html = Setting(made, page_style()).html()
    head, _, drills = html.partition("long–short</b>")
    assert head.count(SENTENCE) == 1
    assert SENTENCE not in drills
