"""A hand rocks in a tremolo; not in a broken chord, a turn of the fingers or a bass with chords."""

import pytest

from engrave.passage.rocking import rocking
from tests.hand.lines import line


@pytest.mark.parametrize(
    ("text", "rocks"),
    [
        ("C2 C3 C2 C3", "++++"),
        ("D2 C2 C3 C2 C3 F1 F2 G1", ".++++..."),
        ("C3-E3 C4 C3-E3 C4 C3-E3 C4", "++++++"),
        ("C3 A3 C3 A3", "...."),  # a sixth, which fingers play as well
        ("C3 A3 C3 A3 C3 A3", "++++++"),
        ("C4 D4 C4 D4 C4 D4 C4 D4", "........"),  # a trill
        ("C3 G3 E3 G3 C3 G3 E3 G3", "........"),  # an accompaniment
        ("C2 E3-G3 C2 E3-G3 C2 E3-G3", "......"),  # leaps
        ("C3 C4 D3 D4 E3 E4", "......"),  # octaves that go on
    ],
)
def test_where_a_hand_rocks(text: str, rocks: str) -> None:
    assert "".join("+" if each else "." for each in rocking(line(text))) == rocks
