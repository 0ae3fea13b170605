"""How votes for fingers are pooled in figures, and lean towards those of like places."""

import pytest

from engrave.fingering.grips import grips_of
from engrave.fingering.line import steps_of
from engrave.fingering.search import Lattice
from engrave.fingering.votes import voted
from engrave.music.notes import Hand
from tests.hand.lines import fingered, line, words

C, E = "C4 E4 A3", "C5 E5 A4"
"""The same keys an octave apart: the middle one of each is like the other's to both sides."""


def votes(groups: tuple[tuple[int, ...], ...], second: str) -> list[float]:
    """The share of the second finger at every onset of two threes, the first with 1 2 1."""
    onsets = fingered(line(f"{C} {E}"), words(f"1 2 1 {second}"))
    steps = steps_of(onsets, Hand.RIGHT, 60)
    choices = tuple(grips_of(step, 205.0) for step in steps)
    one = [[0.0] for _ in steps]
    net = Lattice(one, [[], *[[[0.0]]] * 5], [[], [], *[[[0.0]]] * 4])
    return [each[0].get(2, 0.0) for each in voted(steps, choices, net, groups)]


def test_votes_lean_towards_like_places() -> None:
    """Three likenesses a step: halfway to the mean of both, over again for each it is in."""
    assert votes((), "1 2 1") == [0.0, 1.0, 0.0, 0.0, 1.0, 0.0]
    found = votes((), "1 3 1")
    assert found[1] == pytest.approx(1 - found[4])
    assert 0.5 < found[1] < 1.0


def test_members_of_a_figure_vote_together() -> None:
    found = votes(((1, 4),), "1 3 1")
    assert found[1] == found[4] == pytest.approx(0.5)
