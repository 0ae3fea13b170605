"""The default model against the handbooks: scales, arpeggios and the chromatic scale.

The tables and their source stand in ``handbook.py``; ``python -m tests.hand.handbook`` prints the
misses.
"""

import pytest

from engrave.music.notes import Hand
from tests.hand.handbook import Line, arpeggios, chromatic, scales


def missed(lines: list[Line]) -> list[str]:
    found = [(each, each.computed()) for each in lines]
    return [f"{each.key} {each.hand}: {got}" for each, got in found if each.misses(got)]


def test_at_least_46_of_48_scale_lines() -> None:
    lines = list(scales())
    assert len(lines) == 48
    assert len(missed(lines)) <= 2, missed(lines)


def test_at_least_47_of_48_arpeggio_lines() -> None:
    lines = list(arpeggios())
    assert len(lines) == 48
    assert len(missed(lines)) <= 1, missed(lines)


@pytest.mark.parametrize("hand", Hand)
def test_the_chromatic_scale(hand: Hand) -> None:
    assert missed([chromatic(hand)]) == []
