"""A place that asks of a hand what a harder one has asked is marked after others."""

import shutil
from fractions import Fraction
from pathlib import Path

import pytest

from engrave.cli import main
from engrave.music.notes import Hand
from engrave.remarks import Remark
from engrave.survey.cells import Clock, cells_of
from engrave.survey.gestures import gestures_of, shared
from engrave.survey.lines import line_of
from engrave.survey.model import Pace
from tests.sheets import bar, sheet
from tests.works import corpus

WALTZ = "C3:4 E3,G3,C4:4 E3,G3,C4:4 "
"""A bass, and a chord twice: what the left hand has of a waltz."""


def part(known: str, other: str) -> float:
    """What the left hand does in ``known`` of what it does in ``other``, both of three quarters."""
    rest = "C3:2."
    bars = [
        bar("R:2.", words, meter="3/4", name=str(number))
        for number, words in enumerate((rest, known, rest, other), 1)
    ]
    music = sheet(*bars, staves=(1, 2))
    clock = Clock(Pace(((Fraction(0), Fraction(96)),), Remark("")))
    cells = cells_of(music, clock)
    line = line_of(music, Hand.LEFT, 205.0, clock)
    return shared(gestures_of(line, cells, 3, 5), gestures_of(line, cells, 9, 11))


@pytest.mark.parametrize(
    ("known", "other", "least", "most"),
    [
        pytest.param(WALTZ, "A2:4 C3,F3,A3:4 C3,F3,A3:4", 2 / 3, 1, id="another chord"),
        pytest.param(WALTZ, "C3:4 C4,E4,G4:4 C4,E4,G4:4", 0, 2 / 3, id="a leap twice as wide"),
        pytest.param(WALTZ, "C3:4 E3:4 E3:4", 0, 1 / 3, id="no chords"),
        pytest.param(WALTZ, "C3:8 E3,G3,C4:8 E3,G3,C4:4 r:4", 0, 1 / 3, id="another rhythm"),
        pytest.param("C3:8 E3:8 " * 3, "D3:8 F3:8 " * 3, 5 / 6, 1, id="rocking on other keys"),
        pytest.param("C3:8 A3:8 " * 3, "D3:8 G3:8 " * 3, 5 / 6, 1, id="a little less far"),
        pytest.param(
            "C3:8 D3:8 E3:8 F3:8 G3:8 A3:8",
            "A3:8 G3:8 F3:8 E3:8 D3:8 C3:8",
            0,
            1 / 6,
            id="up and down",
        ),
        pytest.param(
            "C3:8 D3:8 E3:8 F3:8 G3:8 A3:8",
            "C3:8 D3:8 C3:8 D3:8 E3:8 D3:8",
            0,
            4 / 6,
            id="a run that turns",
        ),
    ],
)
def test_a_hand_does_the_same_on_other_keys(
    known: str, other: str, least: float, most: float
) -> None:
    assert least <= part(known, other) <= most


def test_a_figure_that_is_marked_is_not_marked_again_on_other_keys(tmp_path: Path) -> None:
    """Schubert, Der Lindenbaum: the triplets rock in the storm (49 to 52) as they did (3 to 6);
    the chords of the last verse ask for something else. Judged over the pages, no source."""
    path = tmp_path / "song.xml"
    shutil.copy(corpus() / "schubert" / "Lindenbaum.xml", path)
    marks = path.with_suffix(".yaml")
    assert main(["new", str(path), "--part", "Piano", "--goal", "quarter=96"]) == 0
    chosen = [
        line.split("measures: ")[1] for line in marks.read_text().splitlines() if "- m" in line
    ]
    assert "3-6" in chosen
    assert "49-52.1" not in chosen
    assert len(chosen) == 3
