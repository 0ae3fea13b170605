"""What ``engrave check`` lists of marks that can be built."""

import re
from pathlib import Path

import pytest

from engrave.cli import main
from tests.pipeline.small_scores import write_scores
from tests.works import DEMO

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

LISTED = """run: measure 1, right hand, 6 drills, 1 warning
  The thumb is late on every beat, and the wrist drops with it, and then the fifth finger has …
  as-written     1  whole                                           quarter note 48–96
  rhythms        2  long-short, short-long                          quarter note 48–96
  rhythms        2  in-fours-1, in-fours-4                          eighth note 96–192
  bursts         1  burst-4                                         quarter note 48–96

both: measures 6–7, both hands, 5 drills
  as-written     1  whole                                           quarter note 60–80
  leaps, left    4  step-1, step-2, step-3, step-4                  quarter note 60–80

old: measure 2, both hands, warm-up, 1 drill
  as-written     1  whole                                           quarter note 48–96

3 passages, 12 drills, 1 warning, 1 passage done and left out
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
    """Lines of at most a hundred characters, none with trailing blanks; every drill is counted."""
    assert main(["check", "--no-cache", str(DEMO.score.with_suffix(".yaml"))]) == 0
    lines = capsys.readouterr().out.splitlines()
    assert all(len(line) <= 100 and line == line.rstrip() for line in lines)
    rows = [re.match(r"  [a-z, -]+?  +(\d+)  ", line) for line in lines]
    counts = [int(row[1]) for row in rows if row]
    assert f"{sum(counts)} drills, no warnings" in lines[-1]
