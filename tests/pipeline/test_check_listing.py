"""What ``engrave check`` lists of marks that can be built."""

import re
from pathlib import Path

import pytest

from engrave.cli import main
from tests.pipeline.small_scores import write_scores
from tests.works import DEMO, Work

MARKS = """score: ferry.musicxml
tempo: {beat: quarter, goal: 96}
passages:
  - id: run
    measures: 1
    hand: right
    trouble: The thumb is late on every beat, and the wrist drops with it, and then the fifth finger
      has to reach for the C.
    drills: [rhythms: {variants: [long-short, in-fours-1]}, bursts: {sizes: [4, 16]}]
  - id: both
    measures: 6-7
    drills: [leaps]
    tempo: {goal: 80, start: 60}
  - id: old
    measures: 2
    status: warm-up
  - id: older
    measures: 12
    status: done
"""

LISTED = """run: measure 1, right hand, 5 drills, 1 warning
  The thumb is late on every beat, and the wrist drops with it, and then the fifth finger has …
  as-written     1  whole                                           quarter note 48–96
  rhythms        2  long-short, short-long                          quarter note 48–96
  rhythms        2  in-fours-1, in-fours-4                          eighth note 96–192
  bursts         1  burst-4                                         quarter note 48–96

both: measures 6–7, both hands, 4 drills
  as-written     1  whole                                           quarter note 60–80
  leaps, left    4  step-1, step-2, step-3, step-4                  quarter note 60–80

old: measure 2, both hands, warm-up
  as-written     1  whole                                           quarter note 48–96

3 passages, 9 drills, 1 warning, 1 passage done and left out
"""


def test_passages_their_drills_and_the_totals(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    write_scores(tmp_path)
    marks = tmp_path / "marks.yaml"
    marks.write_text(MARKS, "utf-8")
    assert main(["check", "--no-cache", str(marks)]) == 0
    told = capsys.readouterr()
    assert told.out == LISTED
    assert told.err == (
        f"{marks}:9:61: warning: right hand, 16 at a time: not written, "
        "because its longest run has 8 notes.\n"
    )


def test_the_demo_fits_a_terminal(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Lines of at most a hundred characters, no trailing blanks; numbered drills are counted."""
    assert main(["check", "--no-cache", str(DEMO.score.with_suffix(".yaml"))]) == 0
    lines = capsys.readouterr().out.splitlines()
    assert all(len(line) <= 100 and line == line.rstrip() for line in lines)
    numbered = [line for line in lines if not line.startswith("  as-written")]
    rows = [re.match(r"  [a-z, -]+?  +(\d+)  ", line) for line in numbered]
    counts = [int(row[1]) for row in rows if row]
    assert f"{sum(counts)} drills, no warnings" in lines[-1]


def test_in_german_names_stand_with_what_is_to_be_written(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    write_scores(tmp_path)
    marks = tmp_path / "marks.yaml"
    marks.write_text("language: de\n" + MARKS, "utf-8")
    assert main(["check", "--no-cache", str(marks)]) == 0
    told = capsys.readouterr().out
    assert re.search(r"^  Rhythmen \(rhythms\) +2  lang–kurz \(long-short\), kurz–lang", told, re.M)
    assert re.search(r"^  Sprünge \(leaps\), links +4  erster Schritt: ", told, re.M)
    assert re.search(r"^  Schnelle Gruppen \(bursts\) +1  4 auf einmal  ", told, re.M)


def test_what_is_not_made_names_its_hand(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    marks = Work("both", DEMO.score, "passages: [60-64]\n").write(tmp_path)
    assert main(["check", "--no-cache", str(marks)]) == 0
    told = capsys.readouterr().out
    assert "Not made: Blocks, right hand (step-1, step-2): that hand has no such trouble." in told


def test_hands_are_told_where_passages_are_unless_all_are_asked_for(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    write_scores(tmp_path)
    marks = tmp_path / "marks.yaml"
    marks.write_text(
        "score: ferry.musicxml\ntempo: {goal: 96}\npassages: [1]\n"
        'hands: {"1.1": {upper: left}, "6.1": {lower: right}}\n'
    )
    assert main(["check", "--no-cache", str(marks)]) == 0
    told = " ".join(capsys.readouterr().out.split())
    assert "The left hand takes 4 notes of the upper staff, as marked: 1.1" in told
    assert "6.1" not in told
    assert "Outside the passages 6 notes go to the other staff’s hand" in told
    assert main(["check", "--no-cache", "--hands", str(marks)]) == 0
    told = " ".join(capsys.readouterr().out.split())
    assert "notes of the lower staff, as marked: 6.1" in told
    assert "outside the passages" not in told
